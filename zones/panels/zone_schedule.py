"""The zone schedule: each smoke zone with its panel, areas, vents, groups and devices, and the vents one by one."""

from collections import Counter
from dataclasses import dataclass

from django.db.models import Count
from django.urls import reverse

from sites_registry.documents.base import TitleBlock, render_pdf
from sites_registry.documents.papers import Made
from sites_registry.spreadsheets import Sheet, workbook_of
from sites_registry.words import plain_number
from zones.as_installed.on_paper import revisions_of
from zones.design_check.free_areas import required_of
from zones.device_lists.cells import tidy
from zones.engineering.natural_order import natural_key
from zones.models import AreaKind
from zones.models.kinds import kinds_where
from zones.panels.device_schedule import facts_of

COUNTED = [
    (kind, kind.facts.schedule_column.heading)
    for kind in sorted(kinds_where(lambda facts: facts.schedule_column), key=lambda kind: kind.facts.schedule_column)
]


@dataclass(frozen=True)
class ZoneRow:
    """One zone; `required` says by whom (`Required`). `vents` are smoke outlets and inlets.

    `area_m2` is the sum over the outlets of the kind that is required, None when one's is not known; `inlet_m2` over
    the inlets.
    """

    zone: object
    required: object
    vents: tuple
    groups: int
    area_m2: object
    inlet_m2: object
    counts: tuple  # of COUNTED, then all other kinds

    @property
    def outlets_count(self):
        return sum(not vent.is_inlet for vent in self.vents)

    @property
    def is_short(self):
        required = self.required.area_m2
        return required is not None and self.area_m2 is not None and self.area_m2 < required


def rows_of(building):
    """A ZoneRow per zone in the order of their numbers; four queries for any number."""
    zones = building.smoke_zones.select_related("panel__position").prefetch_related("vents")
    zones = zones.annotate(group_count=Count("vent_groups", distinct=True)).order_by("number")
    counts = {}
    found = building.positions.in_use().exclude(smoke_zone=None).order_by()
    for zone_id, kind, number in found.values_list("smoke_zone", "kind").annotate(number=Count("pk")):
        counts.setdefault(zone_id, Counter())[kind] = number
    return [_row(zone, counts.get(zone.pk, Counter())) for zone in zones]


def _row(zone, counts):
    vents = tuple(sorted(zone.vents.all(), key=lambda vent: natural_key(vent.tag)))
    required = required_of(zone)
    outlets_m2, inlets_m2 = (_declared_m2(vents, required.kind, is_inlet=is_inlet) for is_inlet in (False, True))
    numbers = [counts.pop(kind, 0) for kind, _ in COUNTED]
    return ZoneRow(zone, required, vents, zone.group_count, outlets_m2, inlets_m2, (*numbers, sum(counts.values())))


def _declared_m2(vents, kind, *, is_inlet):
    """Declared area of the outlets or the inlets, of one kind; None: there are none, or one's is not known."""
    field = "geometric_area_m2" if kind == AreaKind.GEOMETRIC else "aerodynamic_area_m2"
    areas = [getattr(vent, field) for vent in vents if vent.is_inlet == is_inlet]
    return sum(areas) if areas and None not in areas else None


def zone_schedule_pdf(building, rows, *, prepared_by, now):
    """The schedule as an A4 landscape PDF; `rows` as of `rows_of`, `now` an aware datetime."""
    title_block = TitleBlock.as_of(
        now,
        building,
        title="Zone schedule",
        number=f"{building.slug}/zone-schedule",
        prepared_by=prepared_by,
        address=reverse("zone-list", args=[building.slug]),
        landscape=True,
        revisions=revisions_of(building, now),
    )
    context = {
        "building": building,
        "rows": rows,
        "vent_rows": [(row.zone, vent) for row in rows for vent in row.vents],
        "totals": [sum(numbers) for numbers in zip(*(row.counts for row in rows), strict=True)] if rows else [],
        "outlets": sum(row.outlets_count for row in rows),
        "inlets": sum(len(row.vents) - row.outlets_count for row in rows),
        "groups": sum(row.groups for row in rows),
        "has_short": any(row.is_short for row in rows),
        "kinds": [label for _, label in COUNTED],
    }
    return render_pdf("zones/panels/zone_schedule_paper.html", context, title_block=title_block, created_at=now)


HEADINGS = (
    "Zone",
    "Name",
    "Storey",
    "Extent",
    "Panel",
    "Required area (m²)",
    "Kind of area",
    "Source of the requirement",
    "Declared area (m²)",
    "Declared inlets (m²)",
    "Vents",
    "Vent groups",
    *(label for _, label in COUNTED),
    "Other devices",
    "Lock-out group",
)
NUMBERS = (0, *range(10, 13 + len(COUNTED)))


def zone_schedule_xlsx(building, rows, *, now):
    table = [[tidy(text) for text in _cells(row)] for row in rows]
    facts = facts_of("Zone schedule", building, now)
    return workbook_of(Sheet(title="Zone schedule", headings=HEADINGS, rows=table, numbers=NUMBERS, facts=facts))


def _cells(row):
    zone = row.zone
    return [
        str(zone.number),
        zone.name,
        zone.storey,
        zone.extent,
        zone.panel.position.tag if zone.panel else "",
        _area(row.required.area_m2),
        row.required.kind,
        zone.required_area_source or (str(row.required.found.method.source) if row.required.is_by_method else ""),
        _area(row.area_m2),
        _area(row.inlet_m2),
        str(row.outlets_count),
        str(row.groups),
        *map(str, row.counts),
        zone.lockout_group,
    ]


def _area(value):
    return "" if value is None else plain_number(value)


def schedule_asked_for(building, asked):
    rows = rows_of(building)
    return Made(zone_schedule_pdf(building, rows, prepared_by=asked.by, now=asked.now), is_blank=not rows)


def spreadsheet_asked_for(building, asked):
    return Made(zone_schedule_xlsx(building, rows_of(building), now=asked.now))
