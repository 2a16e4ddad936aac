"""Terminal schedule of a panel, cable and end-of-line schedule of a building: the same rows on screen and paper.

Columns as an electrician reads them (handbook process.md §6, rows 6 to 8).
"""

from collections import defaultdict
from dataclasses import dataclass, field
from typing import NamedTuple

from django.db.models import Prefetch
from django.urls import reverse
from django.utils import timezone

from inspections.models import Result
from sites_registry.documents import typeset
from sites_registry.documents.base import TitleBlock
from sites_registry.documents.blocks import small, soft, stamp, table, words
from sites_registry.documents.papers import Made
from sites_registry.documents.typeset import typeset_pdf
from sites_registry.words import plain_number
from zones.as_installed.on_paper import revisions_of
from zones.engineering.natural_order import natural_key
from zones.engineering.wiring.runs import runs_of
from zones.engineering.wiring.stubs import stub_of
from zones.engineering.wiring.tracing import TracedWiring
from zones.engineering.wiring.wired_panel import WiredCircuit, WiredInput, WiredLine
from zones.models import ActuatorCircuit, Core, DetectionLine, EndOfLinePart, InputPort
from zones.wiring.page import add_ticks, blocks_of, blocks_of_offering
from zones.wiring.port_words import runs_of_cables
from zones.wiring.records import wired_panel, wired_panels
from zones.wiring.state import WiringState, state_of, state_of_building

TICKED, OPEN = "☑", "☐"
END_OF_LINE_CHECK = "end-of-line-resistance"  # the code of the protocols; it stays the same over versions


class Column(NamedTuple):
    """A column: heading, its width on paper (None: what is left), and how a cell is set ("", "tag", "number")."""

    heading: str
    width_mm: int | None = None
    look: str = ""


@dataclass
class ScheduleTable:
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
    grouped_by: str = ""  # the heading of the column whose rows a phone folds together; "" for the parts themselves

    @property
    def row_count(self):
        return sum(len(part.rows) for part in self.parts)

    def rows_with_looks(self):
        return [(part, [list(zip(row, self.columns, strict=True)) for row in part.rows]) for part in self.parts]


def schedule_pdf(schedule, *, prepared_by, now):
    """A schedule as PDF with a title block; `now` an aware datetime."""
    title_block = TitleBlock.as_of(
        now,
        schedule.building,
        title=schedule.title,
        number=schedule.number,
        prepared_by=prepared_by,
        address=schedule.address,
        landscape=schedule.landscape,
        revisions=revisions_of(schedule.building, now),
        stamp=schedule.wiring.notice(timezone.localdate(now)),
    )
    blocks = [
        *([stamp(title_block.stamp)] if title_block.stamp else []),
        table(
            map(_paper_column, schedule.columns),
            *(_paper_group(part, len(schedule.columns)) for part in schedule.parts),
        ),
        *([] if schedule.row_count else [words("Nothing is recorded.")]),
        *([small(schedule.note)] if schedule.note else []),
    ]
    data = {"heading": schedule.title, "lead": schedule.lead, "blocks": blocks}
    return typeset_pdf("documents/blocks_paper.typ", data, title_block=title_block, created_at=now)


def _paper_column(column):
    return typeset.Column(column.heading, column.width_mm, "code" if column.look == "tag" else column.look)


def _paper_group(part, width):
    title = [part.heading, f" · {part.note}" if part.note else ""] if part.heading else None
    return title, part.rows or [[soft("Nothing is recorded."), *[""] * (width - 1)]]


# Terminals ------------------------------------------------------------------------------------------------------------

TERMINAL_COLUMNS = (
    Column("Terminal", 27, "tag"),
    Column("Function"),
    Column("Core", 11, "number"),
    Column("Colour", 17, "tag"),
    Column("Cable", 27, "tag"),
    Column("Far end", 34, "tag"),
    Column("Checked", 17),
)


def terminal_schedule(panel):
    """Every terminal of a panel block by block, then of devices that offer lines or inputs; fixed queries."""
    wired = wired_panel(panel)
    blocks = [*blocks_of(wired), *blocks_of_offering(wired)]
    add_ticks([row for block in blocks for row in block.rows])
    parts = [
        ScheduleTable(block.heading, block.note, [cells for row in block.rows for cells in _terminal_rows(row)])
        for block in blocks
    ]
    schedule = Schedule(
        title=f"Terminal schedule {panel.tag}",
        lead=f"{panel.building.name}, panel {panel.tag}: terminals by block and number (IEC 61666).",
        columns=TERMINAL_COLUMNS,
        parts=parts,
        record=panel,
        building=panel.building,
        wiring=state_of([wired]),
        number=f"{panel.building.slug}/{panel.tag}/terminals",
        address=reverse("terminal-schedule", args=[panel.pk]),
        pdf_address=reverse("terminal-schedule-pdf", args=[panel.pk]),
        note=f"{TICKED} seen on site as recorded · {OPEN} to be checked · Never infer polarity from a colour: measure.",
    )
    count = sum(len(block.rows) for block in blocks)
    schedule.lead += f" {count} terminal{'' if count == 1 else 's'}."
    return schedule


def _terminal_rows(row):
    """One row for a terminal, and one more for each further core where it takes several."""
    yield _terminal_cells(row)
    for core, colour, cable, far in row.more:
        yield ["", "second core" if len(row.more) == 1 else "further core", core, colour, cable, far, ""]


def _terminal_cells(row):
    function = " ".join(filter(None, [row.function or row.kind, row.pole]))
    starts = row.run and f"{row.run} starts here"
    function = " · ".join(filter(None, [function, starts, row.links and f"linked to {row.links}", row.element]))
    checked = f"{TICKED} {row.checked['at']:%-d %b %Y}" if row.checked else OPEN
    core = row.core_only.rpartition(".")[2]
    return [row.designation, function, core, row.colour, row.cable, row.far or row.outside, checked]


# Cables ---------------------------------------------------------------------------------------------------------------

CABLE_COLUMNS = (
    Column("Tag", 24, "tag"),
    Column("Type", 40),
    Column("Cores × mm²", 27),
    Column("Length (m)", 17, "number"),
    Column("From", 27),
    Column("To", 24),
    Column("Fire rating", 17),
    Column("Route"),
    Column("Run of", 34),
    Column("Spare cores", 27),
)


def cable_schedule(building):
    """Every cable of a building in natural order of the tags; six queries for any number, and those of the wiring."""
    cores = Prefetch("cores", Core.objects.order_by("number"), to_attr="all_cores")
    cables = building.cables.select_related(
        "actuator_circuit__panel__position", "detection_line__panel__position", "feeds", "far_box"
    ).prefetch_related(cores)
    cables = sorted(cables, key=lambda cable: natural_key(cable.tag))
    others = runs_of_cables(cables)
    return Schedule(
        title="Cable schedule",
        lead=f"{building.name}: {len(cables)} cable{'' if len(cables) == 1 else 's'}. “–”: not recorded.",
        columns=CABLE_COLUMNS,
        parts=[ScheduleTable("", "", [_cable_cells(cable, others) for cable in cables])],
        record=building,
        building=building,
        wiring=state_of_building(building),
        number=f"{building.slug}/cables",
        address=reverse("cable-schedule", args=[building.slug]),
        pdf_address=reverse("cable-schedule-pdf", args=[building.slug]),
        landscape=True,
        grouped_by="Run of",
    )


def _cable_cells(cable, others):
    size = f"{plain_number(cable.area_mm2)} mm²" if cable.area_mm2 is not None else cable.awg and f"AWG {cable.awg}"
    cores = f"{cable.cores_count or '?'} × {size or '?'}" if cable.cores_count or size else ""
    to = cable.to_place or (cable.feeds or cable.far_box or "")
    spare = ", ".join(f"{core.number} {core.colour}".strip() for core in cable.all_cores if core.is_spare)
    recorded = spare if cable.all_cores else "cores not recorded"
    run = cable.actuator_circuit or cable.detection_line or others.get(cable.pk)
    cells = [
        cable.tag,
        cable.cable_type,
        cores,
        "" if cable.length_m is None else plain_number(cable.length_m),
        cable.from_place,
        str(to),
        cable.fire_rating,
        cable.route,
        str(run or ""),
        recorded or "none",
    ]
    return [cell or "–" for cell in cells]


# Ends of lines --------------------------------------------------------------------------------------------------------

END_COLUMNS = (
    Column("Line, input or output", 27),
    Column("Starts at", 24, "tag"),
    Column("Last device", 24, "tag"),
    Column("Across", 34, "tag"),
    Column("Kind", 20),
    Column("Value (kΩ)", 20, "number"),
    Column("Measured"),
)
_RECORD_OF = {WiredLine: DetectionLine, WiredInput: InputPort, WiredCircuit: ActuatorCircuit}
_WORD_OF = {DetectionLine: "line", InputPort: "input", ActuatorCircuit: "output"}


def end_of_line_schedule(building):
    """The end-of-line part of every line, monitored input and output; four queries and those of the wiring."""
    panels = wired_panels(building)
    as_wired = {
        (int(wired.panel.key[1:]), _RECORD_OF[type(run.order)], run.order.number): run
        for wired in panels
        for run in runs_of(TracedWiring(wired))
        if type(run.order) in _RECORD_OF
    }
    measured, of_panel = _readings(building), defaultdict(list)
    for record in _ending(building):
        run = as_wired[record.panel.position_id, type(record), record.number]
        of_panel[record.panel].append(_end_cells(record, run, measured.get((type(record), record.pk))))
    parts = [
        ScheduleTable(f"Panel {panel.tag}", "", of_panel[panel])
        for panel in sorted(of_panel, key=lambda panel: panel.position.tag_key)
    ]
    schedule = Schedule(
        title="End-of-line schedule",
        lead="",
        columns=END_COLUMNS,
        parts=parts,
        record=building,
        building=building,
        wiring=state_of_building(building, panels),
        number=f"{building.slug}/ends-of-lines",
        address=reverse("end-of-line-schedule", args=[building.slug]),
        pdf_address=reverse("end-of-line-schedule-pdf", args=[building.slug]),
        note="A normal reading does not prove that the resistor is at the true end: a tee beyond it is not monitored.",
    )
    counted = "line, input or output" if schedule.row_count == 1 else "lines, inputs and outputs"
    schedule.lead = f"{building.name}: {schedule.row_count} {counted}. Measured: the last reading on record."
    return schedule


def _ending(building):
    """Lines, monitored inputs and outputs of a building, each by number."""
    for model in (DetectionLine, InputPort, ActuatorCircuit):
        found = model.objects.filter(panel__building=building).select_related("panel__position").order_by("number")
        yield from found.filter(is_monitored=True) if model is InputPort else found


def _readings(building):
    """The latest reading of the end-of-line check by line or output."""
    results = Result.objects.filter(
        test_point__visit__building=building,
        test_point__code=END_OF_LINE_CHECK,
        reading__isnull=False,
        latest_of__isnull=False,
    ).select_related("test_point__position")
    found = {}
    for result in results.order_by("seen_at"):
        position = result.test_point.position
        circuit, line = position.actuator_circuit_id, position.detection_line_id
        found[(ActuatorCircuit, circuit) if circuit else (DetectionLine, line)] = result
    return found


def _end_cells(record, run, result):
    wiring, elements = run.wiring, run.elements()
    across = ", ".join(
        f"{wiring.name(one.first)} {wiring.terminals[one.second].designation}"
        if one.second in wiring.terminals
        else wiring.name(one.first)
        for one in elements
    )
    stub = stub_of(run)
    kinds = ", ".join(dict.fromkeys(EndOfLinePart.Kind(one.kind).label for one in elements))
    planned = getattr(record, "end_of_line_ohm", None)
    if planned and not elements:
        kinds = "planned"
    values = ", ".join(
        dict.fromkeys(plain_number(one.value_ohm / 1000) for one in elements if one.value_ohm is not None)
    )
    measured = ""
    if result:
        day = timezone.localtime(result.seen_at)
        measured = f"{plain_number(result.reading)} {result.test_point.unit}, {day:%-d %b %Y}"
    place = across or (record.get_end_place_display() if record.end_place else "")
    name = record.name or (record.get_function_display() if isinstance(record, InputPort) else "")
    cells = [
        f"{_WORD_OF[type(record)]} {record.number} {name}".strip(),
        run.origin.tag,
        run.last().tag if run.devices else "none",
        " · ".join(filter(None, [place, stub and stub.words])),
        kinds,
        values or (plain_number(planned / 1000) if planned else ""),
        measured,
    ]
    return [cell or "–" for cell in cells]


def schedule_asked_for(read):
    """How the schedule that `read` makes of a record is printed."""

    def make(record, asked):
        schedule = read(record)
        return Made(schedule_pdf(schedule, prepared_by=asked.by, now=asked.now), is_blank=not schedule.row_count)

    return make
