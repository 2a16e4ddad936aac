"""Terminal schedule of a panel, cable and end-of-line schedule of a building: the same rows on screen and paper.

Columns as an electrician reads them (handbook process.md §6, rows 6 to 8).
"""

from collections import defaultdict
from dataclasses import dataclass, field
from typing import NamedTuple

from django.conf import settings
from django.db.models import Prefetch
from django.urls import reverse
from django.utils import timezone

from inspections.documents.base import TitleBlock, render_pdf
from inspections.models import Result
from sites_registry.templatetags.register_tags import plain_number
from zones.models import ActuatorCircuit, Core, DetectionLine, EndElement
from zones.natural_order import natural_key
from zones.wiring_page import add_ticks, blocks_of
from zones.wiring_records import wired_panel
from zones.wiring_state import WiringState, state_of, state_of_building

TICKED, OPEN = "☑", "☐"
END_OF_LINE_CHECK = "end-of-line-resistance"  # the code of the protocols; it stays the same over versions


class Column(NamedTuple):
    """A column: heading, width class of the print CSS, and how a cell is set ("", "tag", "number")."""

    heading: str
    width: str = ""
    look: str = ""


@dataclass
class Part:
    """Rows under one heading; each row a list of texts as wide as the columns."""

    heading: str
    note: str = ""
    rows: list = field(default_factory=list)


@dataclass
class Schedule:
    """A table in parts with all that its sheet and its page state; `record` is the panel or the building."""

    title: str
    lead: str
    columns: tuple
    parts: list
    record: object
    building: object
    wiring: WiringState
    number: str
    address: str
    pdf_address: str
    landscape: bool = False
    note: str = ""

    @property
    def row_count(self):
        return sum(len(part.rows) for part in self.parts)

    def rows_with_looks(self):
        return [(part, [list(zip(row, self.columns, strict=True)) for row in part.rows]) for part in self.parts]


def schedule_pdf(schedule, *, prepared_by, now):
    """A schedule as PDF with a title block; `now` an aware datetime."""
    local = timezone.localtime(now)
    title_block = TitleBlock(
        title=schedule.title,
        number=schedule.number,
        building=schedule.building.name,
        client=schedule.building.client.name,
        issued_on=local.date(),
        revision=f"as of {local:%H:%M}",
        prepared_by=prepared_by.full_name,
        address=settings.PUBLIC_URL + schedule.address,
        landscape=schedule.landscape,
        stamp=schedule.wiring.notice(local.date()),
    )
    return render_pdf("documents/wiring_schedule.html", {"schedule": schedule}, title_block=title_block, created_at=now)


# Terminals ------------------------------------------------------------------------------------------------------------

TERMINAL_COLUMNS = (
    Column("Terminal", "w-kind", "tag"), Column("Function"), Column("Core", "w-number", "number"),
    Column("Colour", "w-batch", "tag"), Column("Cable", "w-kind", "tag"), Column("Far end", "w-as", "tag"),
    Column("Checked", "w-batch"),
)  # fmt: skip


def terminal_schedule(panel):
    """Every terminal of a panel block by block; twelve queries for any size."""
    wired = wired_panel(panel)
    blocks = blocks_of(wired)
    add_ticks([row for block in blocks for row in block.rows])
    parts = [Part(block.heading, block.note, [_terminal_cells(row) for row in block.rows]) for block in blocks]
    schedule = Schedule(
        title=f"Terminal schedule {panel.tag}",
        lead=f"{panel.building.name}, panel {panel.tag}: terminals by block and number (IEC 61666).",
        columns=TERMINAL_COLUMNS, parts=parts, record=panel, building=panel.building, wiring=state_of([wired]),
        number=f"{panel.building.slug}/{panel.tag}/terminals", address=reverse("terminal-schedule", args=[panel.pk]),
        pdf_address=reverse("terminal-schedule-pdf", args=[panel.pk]),
        note=f"{TICKED} seen on site as recorded · {OPEN} to be checked · Never infer polarity from a colour: measure.",
    )  # fmt: skip
    schedule.lead += f" {schedule.row_count} terminal{'' if schedule.row_count == 1 else 's'}."
    return schedule


def _terminal_cells(row):
    function = " ".join(filter(None, [row.function or row.kind, row.pole]))
    function = " · ".join(filter(None, [function, row.links and f"linked to {row.links}", row.element]))
    checked = f"{TICKED} {row.checked['at']:%-d %b %Y}" if row.checked else OPEN
    core = row.core_only.rpartition(".")[2]
    return [row.designation, function, core, row.colour, row.cable, row.far or row.outside, checked]


# Cables ---------------------------------------------------------------------------------------------------------------

CABLE_COLUMNS = (
    Column("Tag", "w-tag", "tag"), Column("Type", "w-model"), Column("Cores × mm²", "w-kind"),
    Column("Length (m)", "w-batch", "number"), Column("From", "w-serial"), Column("To", "w-tag"),
    Column("Fire rating", "w-batch"), Column("Route"), Column("Run of", "w-as"), Column("Spare cores", "w-serial"),
)  # fmt: skip


def cable_schedule(building):
    """Every cable of a building in natural order of the tags; two queries for any number, and those of the wiring."""
    cores = Prefetch("cores", Core.objects.order_by("number"), to_attr="all_cores")
    cables = building.cables.select_related(
        "actuator_circuit__panel__position", "detection_line__panel__position", "feeds", "far_box"
    ).prefetch_related(cores)
    cables = sorted(cables, key=lambda cable: natural_key(cable.tag))
    return Schedule(
        title="Cable schedule",
        lead=f"{building.name}: {len(cables)} cable{'' if len(cables) == 1 else 's'}. “–”: not recorded.",
        columns=CABLE_COLUMNS, parts=[Part("", "", [_cable_cells(cable) for cable in cables])], record=building,
        building=building, wiring=state_of_building(building), number=f"{building.slug}/cables",
        address=reverse("cable-schedule", args=[building.slug]),
        pdf_address=reverse("cable-schedule-pdf", args=[building.slug]), landscape=True,
    )  # fmt: skip


def _cable_cells(cable):
    size = f"{plain_number(cable.area_mm2)} mm²" if cable.area_mm2 is not None else cable.awg and f"AWG {cable.awg}"
    cores = f"{cable.cores_count or '?'} × {size or '?'}" if cable.cores_count or size else ""
    to = cable.to_place or (cable.feeds or cable.far_box or "")
    spare = ", ".join(f"{core.number} {core.colour}".strip() for core in cable.all_cores if core.is_spare)
    recorded = spare if cable.all_cores else "cores not recorded"
    run = cable.actuator_circuit or cable.detection_line
    cells = [
        cable.tag, cable.cable_type, cores, "" if cable.length_m is None else plain_number(cable.length_m),
        cable.from_place, str(to), cable.fire_rating, cable.route, str(run or ""), recorded or "none",
    ]  # fmt: skip
    return [cell or "–" for cell in cells]


# Ends of lines --------------------------------------------------------------------------------------------------------

END_COLUMNS = (
    Column("Line or output", "w-kind"), Column("Last device", "w-tag", "tag"), Column("Across", "w-as", "tag"),
    Column("Kind", "w-date"), Column("Value (Ω)", "w-date", "number"), Column("Measured"),
)  # fmt: skip


def end_of_line_schedule(building):
    """The end element of every line and output of a building; five queries for any number, and those of the wiring."""
    runs = [
        *DetectionLine.objects.filter(panel__building=building).select_related("panel__position"),
        *ActuatorCircuit.objects.filter(panel__building=building).select_related("panel__position"),
    ]
    last, measured = _last_devices(building), _readings(building)
    elements = _elements(building)
    of_panel = defaultdict(list)
    for run in sorted(runs, key=lambda run: (isinstance(run, ActuatorCircuit), run.number)):
        key = (type(run), run.pk)
        of_panel[run.panel].append(_end_cells(run, last.get(key), elements.get(key, []), measured.get(key)))
    panels = sorted(of_panel, key=lambda panel: panel.position.tag_key)
    parts = [Part(f"Panel {panel.tag}", "", of_panel[panel]) for panel in panels]
    schedule = Schedule(
        title="End-of-line schedule", lead="", columns=END_COLUMNS, parts=parts, record=building, building=building,
        wiring=state_of_building(building), number=f"{building.slug}/ends-of-lines",
        address=reverse("end-of-line-schedule", args=[building.slug]),
        pdf_address=reverse("end-of-line-schedule-pdf", args=[building.slug]),
        note="A normal reading does not prove that the resistor is at the true end: a tee beyond it is not monitored.",
    )  # fmt: skip
    counted = "line or output" if schedule.row_count == 1 else "lines and outputs"
    schedule.lead = f"{building.name}: {schedule.row_count} {counted}. Measured: the last reading on record."
    return schedule


def _last_devices(building):
    """The last device in use of each line and output, by (model, key)."""
    last = {}
    positions = building.positions.in_use().exclude(actuator_circuit=None, detection_line=None)
    for position in positions.order_by("order_on_line", "tag_key"):
        key = _key(position.actuator_circuit_id, position.detection_line_id)
        if position.order_on_line is not None or key not in last:
            last[key] = position
    return last


def _key(circuit_id, line_id):
    return (ActuatorCircuit, circuit_id) if circuit_id else (DetectionLine, line_id)


def _elements(building):
    """Ends of line by the line or output of their panel terminal or device."""
    found = defaultdict(list)
    elements = EndElement.objects.filter(first__building=building).select_related(
        "first__position", "first__panel__position", "second"
    )
    for element in elements:
        first = element.first
        owner = first.position if first.position_id else first
        if owner.actuator_circuit_id or owner.detection_line_id:
            found[_key(owner.actuator_circuit_id, owner.detection_line_id)].append(element)
    return found


def _readings(building):
    """The latest reading of the end-of-line check by line or output."""
    results = Result.objects.filter(
        test_point__visit__building=building, test_point__code=END_OF_LINE_CHECK, reading__isnull=False,
        latest_of__isnull=False,
    ).select_related("test_point__position")  # fmt: skip
    found = {}
    for result in results.order_by("seen_at"):
        position = result.test_point.position
        found[_key(position.actuator_circuit_id, position.detection_line_id)] = result
    return found


def _end_cells(run, last, elements, result):
    across = ", ".join(f"{(one.first.panel or one.first.position).tag} {one.first} {one.second}" for one in elements)
    kinds = ", ".join(dict.fromkeys(one.get_kind_display() for one in elements))
    planned = getattr(run, "end_of_line_ohm", None)
    if planned and not elements:
        kinds = "planned"
    values = [one.value_ohm for one in elements if one.value_ohm is not None]
    value = ", ".join(dict.fromkeys(plain_number(one) for one in values)) or (plain_number(planned) if planned else "")
    measured = ""
    if result:
        day = timezone.localtime(result.seen_at)
        measured = f"{plain_number(result.reading)} {result.test_point.unit}, {day:%-d %b %Y}"
    name = f"{'output' if isinstance(run, ActuatorCircuit) else 'line'} {run.number} {run.name}".strip()
    place = across or (run.get_end_place_display() if run.end_place else "")
    cells = [name, last.tag if last else "none", place, kinds, value, measured]
    return [cell or "–" for cell in cells]
