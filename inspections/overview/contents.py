"""Panels and zones of a building in one table: what of the four answers belongs to each."""

from collections import Counter
from dataclasses import dataclass, field
from functools import cached_property

from django.utils import timezone

from sites_registry.states import key_and_word, tone_rank
from sites_registry.words import storey_words
from zones.design_check import parts
from zones.design_check.checked import CheckedBuilding, CheckedPanel, counts_of
from zones.design_check.findings import heading_of
from zones.design_check.free_areas import required_of
from zones.engineering.findings import Severity, worst_severity
from zones.engineering.quantities import QuantityError, rounded_down
from zones.engineering.vents import AreaKind
from zones.engineering.zone_areas import vent_area
from zones.models import SmokeZone

WITHIN = "within the limit"
NOT_KNOWN = "not known"
LIMITS_OF_MANY = {"not_met": "not met", "not_known": NOT_KNOWN, "question": "to review", "meets": WITHIN}
# A screen of 900 px has room for eight rows; of more, for five and the line of what is folded.
ROWS_AT_ONCE = 8
ROWS_AT_ONCE_OF_MANY = 5
ZONES_AT_LEAST = 2


@dataclass
class ContentsRow:
    """A panel, or one of its zones. `limits` and `tested`: (key of a state, words), the key "" for a plain word."""

    record: object
    tag: str
    name: str
    place: str
    is_zone: bool = False
    wanted: int = 0
    fitted: int = 0
    limits: tuple = ("", "")
    tested: tuple = ("", "")
    area: str = ""
    required: str = ""

    @property
    def tones(self):
        """How this is to be taken in each respect, the worst first."""
        fitted = "missing" if self.fitted < self.wanted else "meets"
        return sorted(tone_rank(key or "meets") for key in (self.limits[0], self.tested[0], fitted))


@dataclass
class Contents:
    """The rows in the order of the panels; what hangs on no panel comes last."""

    rows: list = field(default_factory=list)
    panels: int = 0
    zones: int = 0

    @property
    def at_once(self):
        """The rows that stand on the page: all of a small building, else the panels with the worst of the zones."""
        first = self._first_zones
        return [row for row in self.rows if not row.is_zone or row in first]

    @property
    def folded(self):
        """The zones left, each below its panel, in the order of the rows."""
        first, found = self._first_zones, []
        for row in self.rows:
            if not row.is_zone:
                head = row
            elif row not in first:
                found += [row] if head is None else [head, row]
                head = None
        return found

    @property
    def zones_left(self):
        return sum(row.is_zone for row in self.folded)

    @property
    def folded_states(self):
        """[(key of a state, words)]: in how many of the zones left, the worst first."""
        left = [row for row in self.folded if row.is_zone]
        limits = Counter(row.limits[0] for row in left)
        found = [(key, f"{limits[key]} {words}") for key, words in LIMITS_OF_MANY.items() if limits[key]]
        if old := sum(bool(row.tested[0]) for row in left):
            found.append(("not_accessible", f"{old} not tested in a year"))
        if not_fitted := sum(row.fitted < row.wanted for row in left):
            found.append(("missing", f"{not_fitted} not all fitted"))
        return found

    @cached_property
    def _first_zones(self):
        zones = [row for row in self.rows if row.is_zone]
        if len(self.rows) <= ROWS_AT_ONCE:
            return zones
        room = max(ROWS_AT_ONCE_OF_MANY - (len(self.rows) - len(zones)), ZONES_AT_LEAST)
        return sorted(zones, key=lambda row: row.tones)[:room]


def contents_of(building, checked: CheckedBuilding, places, test, old):
    """All panels with their zones. One query, for zones that hang on no panel.

    Args:     places, test, old: as of `places_of`, `last_test`, `not_tested_lately`.
    """
    contents = Contents()
    tested = _Tested(test, old)
    for panel in checked.panels:
        contents.rows.append(_panel_row(panel, places, tested))
        contents.rows += [_zone_row(zone, places, tested, panel) for zone in panel.records.zones]
        contents.panels += 1
    loose = list(SmokeZone.objects.filter(building=building, panel=None).order_by("number"))
    number = places.number(places.wanted, panel=None)
    if loose or number:
        contents.rows.append(_loose_row(places, tested))
        contents.rows += [_zone_row(zone, places, tested) for zone in loose]
    contents.zones = sum(row.is_zone for row in contents.rows)
    return contents


def _panel_row(checked: CheckedPanel, places, tested):
    panel, position = checked.panel, checked.panel.position
    where = [storey_words(position.storey), position.room, position.place]
    return ContentsRow(
        record=panel,
        tag=position.tag,
        name=str(checked.records.model or ""),
        place=" · ".join(filter(None, where)),
        wanted=places.number(places.wanted, panel=panel.pk),
        fitted=places.number(places.fitted, panel=panel.pk),
        limits=_limits(checked.findings),
        tested=tested.words(panel=panel.pk),
    )


def _loose_row(places, tested):
    return ContentsRow(
        record=None,
        tag="",
        name="On no panel",
        place="",
        wanted=places.number(places.wanted, panel=None),
        fitted=places.number(places.fitted, panel=None),
        limits=("", ""),
        tested=tested.words(panel=None),
    )


def _zone_row(zone, places, tested, checked: CheckedPanel | None = None):
    area, required = _areas(zone, checked)
    return ContentsRow(
        record=zone,
        tag=str(zone.number),
        name=zone.name,
        place=" · ".join(filter(None, [storey_words(zone.storey), zone.extent])),
        is_zone=True,
        wanted=places.number(places.wanted, zone=zone.pk),
        fitted=places.number(places.fitted, zone=zone.pk),
        limits=_limits(_findings_of_zone(zone, checked) if checked else ()),
        tested=tested.words(zone=zone.pk),
        area=area,
        required=required,
    )


def _findings_of_zone(zone, checked):
    """What the check says of the zone, of its lines, and of the circuits that move its vents."""
    records = checked.records
    names = {f"Zone {parts.zone_name(zone)}"}
    for circuit in records.circuits:
        if any(position.smoke_zone_id == zone.pk for position in records.on_circuit[circuit.pk]):
            names.add(parts.circuit_name(circuit))
    for line in records.lines:
        on_it = records.on_line[line.pk]
        if line.smoke_zone_id == zone.pk or any(position.smoke_zone_id == zone.pk for position in on_it):
            names.add(f"Line {parts.line_name(line)}")
    return [finding for finding in checked.findings if heading_of(checked, finding) in names]


def _limits(findings):
    """The worst that the check says, and of how many things."""
    worst, counts = worst_severity(findings), counts_of(findings)
    match worst:
        case Severity.FAIL:
            return "not_met", f"{counts[worst]} {key_and_word('not_met')[1]}"
        case Severity.MISSING:
            return "not_known", f"{counts[worst]} {NOT_KNOWN}"
        case Severity.QUESTION:
            return "question", f"{counts[worst]} to review"
        case Severity.MEETS:
            return "meets", WITHIN
    return "not_known", "not checked"


def _areas(zone, checked):
    """Free area and required area of a zone in words, m²; of the kind that is asked for, as the check takes it."""
    asked = required_of(zone)
    required = "" if asked.area_m2 is None else f"{asked.area_m2:.2f}"
    if checked is None:
        return "", required
    name = parts.zone_name(zone)
    vents = [vent for vent in checked.design.vents if vent.zone == name and not vent.is_inlet]
    if not vents:
        return "", required
    try:
        areas = [vent_area(vent) for vent in vents]
    except QuantityError:
        return NOT_KNOWN, required
    is_geometric = asked.kind == AreaKind.GEOMETRIC
    known_m2 = [area.geometric_m2 if is_geometric else area.aerodynamic_m2 for area in areas]
    return NOT_KNOWN if None in known_m2 else f"{rounded_down(sum(known_m2), 2):.2f}", required


class _Tested:
    """When the positions of a panel or zone were last tested, and which of them not for 12 months."""

    def __init__(self, test, old):
        self.last_at, self.old = test.last_at, old

    def words(self, *, panel=..., zone=...):
        old = [one for one in self.old if panel in (..., one[1]) and zone in (..., one[2])]
        if old:
            never = [one for one in old if not one[3]]
            said = never or old
            who = said[0][0] if len(said) == 1 else str(len(said))
            return "not_accessible", f"{who} {'never' if never else 'not in a year'}"
        days = [at for (p, z), at in self.last_at.items() if panel in (..., p) and zone in (..., z)]
        return "", f"{timezone.localtime(max(days)):%-d %b %Y}" if days else ""
