"""The device schedule: every position of a building with its place, wiring and unit (handbook process.md §6, row 5)."""

from dataclasses import dataclass
from itertools import groupby

from django.urls import reverse
from django.utils import timezone
from django.utils.formats import date_format

from sites_registry.documents.base import TitleBlock
from sites_registry.documents.papers import Made, NothingToShow, SeePage
from sites_registry.documents.typeset import Column, table_of, typeset_pdf
from sites_registry.spreadsheets import Sheet, workbook_of
from sites_registry.words import counted, storey_name
from zones.as_installed.on_paper import revisions_of
from zones.device_lists.cells import tidy
from zones.wiring.port_words import input_words, run_words

# This many take a second and 200 MB: a large schedule is printed panel by panel.
ROWS_PER_DOCUMENT = 1_000


@dataclass(frozen=True)
class SchedulePart:
    """The positions of one panel, or of none: what a large schedule is printed by. `key` goes in addresses."""

    key: str
    name: str
    positions: tuple


def positions_of(building):
    """Positions in use with all that the schedule shows; two queries for any number."""
    return building.positions.in_use().with_wiring().with_fitted_unit().with_inputs().select_related("control_panel")


def parts_of(positions):
    """Positions by panel, panels in natural order of their tags, each in walking order with the panel itself first.

    A panel with more rows than a document takes is cut into several parts.
    """
    parts = []
    for (_, panel_id, name), group in groupby(
        sorted(positions, key=_printed_order), key=lambda p: _printed_order(p)[0]
    ):
        rows = tuple(group)
        for number, start in enumerate(range(0, len(rows), ROWS_PER_DOCUMENT), start=1):
            cut = rows[start : start + ROWS_PER_DOCUMENT]
            is_whole = len(cut) == len(rows)
            parts.append(
                SchedulePart(
                    key=f"{panel_id or 'none'}-{number}",
                    name=name if is_whole else f"{name}, {cut[0].tag} to {cut[-1].tag}",
                    positions=cut,
                )
            )
    return parts


def _printed_order(position):
    own_panel = getattr(position, "control_panel", None)
    panel = own_panel or position.panel
    if panel is None:
        place = (1, ""), None, "Without a panel"
    elif own_panel:
        place = (0, position.tag_key), panel.pk, f"Panel {position.tag}"
    else:
        place = (0, panel.position.tag_key), panel.pk, f"Panel {panel.position.tag}"
    return place, own_panel is None, position.walking_order, position.tag_key


HEADINGS = (
    "Panel",
    "Tag",
    "Kind",
    "Zone",
    "Storey",
    "Room",
    "Place",
    "Circuit",
    "Line",
    "Data link",
    "Order",
    "Inputs",
    "Maker",
    "Model",
    "Serial",
    "Date code",
    "Fitted",
)
NUMBERS = (3, 7, 8, 9, 10)


def device_schedule_xlsx(building, parts, *, now):
    """The schedule as a workbook, with what it is of and when above the table."""
    rows = [[tidy(text) for text in _cells(position)] for part in parts for position in part.positions]
    facts = facts_of("Device schedule", building, now)
    return workbook_of(Sheet(title="Device schedule", headings=HEADINGS, rows=rows, numbers=NUMBERS, facts=facts))


def facts_of(title, building, now):
    """What stands above the table of a schedule's workbook."""
    as_of = timezone.localtime(now)
    return (
        ("Document", title),
        ("Building", building.name),
        ("Client", building.client.name),
        ("As of", f"{as_of:%-d %b %Y, %H:%M}"),
    )


def _cells(position):
    own_panel = getattr(position, "control_panel", None)
    panel = own_panel or position.panel
    planned = position.product_model
    return [
        panel.position.tag if panel else "",
        position.tag,
        position.get_kind_display(),
        str(position.smoke_zone.number) if position.smoke_zone else "",
        position.storey,
        position.room,
        position.place,
        str(position.actuator_circuit.number) if position.actuator_circuit else "",
        str(position.detection_line.number) if position.detection_line else "",
        str(position.data_link.number) if position.data_link else "",
        "" if position.order_on_line is None else str(position.order_on_line),
        input_words(wired.input_port for wired in position.at_inputs),
        position.maker_name or (f"planned: {planned.maker.name}" if planned else ""),
        position.model_name or (f"planned: {planned.name}" if planned else ""),
        position.serial or "",
        position.batch or "",
        position.fitted_on.isoformat() if position.fitted_on else "",
    ]


PAPER_COLUMNS = (
    Column("Tag", 24, "code"),
    Column("Kind", 27),
    Column("Zone", 11, "number"),
    Column("Storey", 21),
    Column("Room", 21),
    Column("Place"),
    Column("Wired to", 18),
    Column("Order", 11, "number"),
    Column("Maker, model", 40),
    Column("Serial", 27, "code"),
    Column("Date code", 17, "code"),
    Column("Fitted", 20),
)


def device_schedule_pdf(building, parts, *, prepared_by, now, subtitle=""):
    """The schedule as an A4 landscape PDF; `parts` as of `parts_of`, `now` an aware datetime."""
    title_block = TitleBlock.as_of(
        now,
        building,
        title="Device schedule",
        subtitle=subtitle,
        number=f"{building.slug}/device-schedule",
        prepared_by=prepared_by,
        address=reverse("position-list", args=[building.slug]),
        landscape=True,
        revisions=revisions_of(building, now),
    )
    positions = [position for part in parts for position in part.positions]
    of = f"{building.name} · {subtitle}" if subtitle else building.name
    without_unit = sum(not position.serial for position in positions)
    lacking = f", {without_unit} without a unit (–)" if without_unit else ""
    data = {
        "heading": "Device schedule",
        "lead": f"{of}: {counted(len(positions), 'positions')} in walking order{lacking}.",
        **table_of(PAPER_COLUMNS, *map(_paper_group, parts)),
    }
    return typeset_pdf("documents/schedule_paper.typ", data, title_block=title_block, created_at=now)


def _paper_group(part):
    title = [part.name, f" · {counted(len(part.positions), 'positions')}"]
    return title, [_paper_row(position) for position in part.positions]


def _paper_row(position):
    zone, order = position.smoke_zone, position.order_on_line
    model = str(position.product_model) if position.product_model else ""
    if position.serial:
        model = f"{position.maker_name} {position.model_name}"
    elif model:
        model = f"planned: {model}"
    cells = (
        position.tag,
        position.get_kind_display(),
        str(zone.number) if zone else "",
        str(storey_name(position.storey) or ""),
        position.room,
        position.place,
        run_words(position),
        "" if order is None else str(order),
        model,
        position.serial,
        position.batch,
        date_format(position.fitted_on, "j M Y") if position.fitted_on else "",
    )
    return [cell or "–" for cell in cells]


def schedule_asked_for(building, asked):
    """The whole schedule, or the part that `?part=` names; a long one leads to the list of its parts."""
    parts, subtitle = parts_of(positions_of(building)), ""
    total = sum(len(part.positions) for part in parts)
    if key := asked.query.get("part"):
        parts = [part for part in parts if part.key == key]
        if not parts:
            raise NothingToShow
        subtitle = parts[0].name
    elif total > ROWS_PER_DOCUMENT:
        raise SeePage(reverse("schedule-list", args=[building.slug]) + "#parts")
    content = device_schedule_pdf(building, parts, prepared_by=asked.by, now=asked.now, subtitle=subtitle)
    return Made(content, words=f"device schedule {subtitle}".strip(), is_blank=not total)


def spreadsheet_asked_for(building, asked):
    return Made(device_schedule_xlsx(building, parts_of(positions_of(building)), now=asked.now))
