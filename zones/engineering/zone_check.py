"""All that is said of one smoke zone; zones alike are judged once."""

from collections.abc import Sequence
from functools import lru_cache, partial

from zones.engineering.copies import Kind, kind_of
from zones.engineering.findings import Finding, Severity, all_when_read
from zones.engineering.replacement_air import check_inlets
from zones.engineering.smoke_zones import SmokeZone
from zones.engineering.trade_practice import TRADE_PRACTICE, TradePractice
from zones.engineering.vent_classes import VentClasses, check_classes
from zones.engineering.vents import Vent, by_zone
from zones.engineering.zone_areas import check_zone_area


def check_zones(
    zones: Sequence[SmokeZone],
    vents: Sequence[Vent],
    classes_asked: VentClasses | None = None,
    practice: TradePractice = TRADE_PRACTICE,
) -> list[Finding]:
    """Free area, replacement air and classes of each zone. Source: each finding names its own."""
    findings, of_zone, asked = [], by_zone(vents), kind_of(classes_asked, practice)
    for zone in zones:
        own = of_zone.get(zone.name, [])
        judge = partial(_judged, zone, own, classes_asked, practice)
        # What is said of several vents goes by their names.
        if len({vent.name for vent in own}) < len(own):
            findings += judge()
        else:
            findings += all_when_read(_verdicts(zone.what, tuple([vent.what for vent in own]), asked), zone.name, judge)
    return findings


def _judged(zone, vents, classes_asked, practice) -> list[Finding]:
    return [
        *check_zone_area(zone, vents, practice),
        *check_inlets(zone, vents, practice),
        *check_classes(zone.name, vents, classes_asked),
    ]


@lru_cache(maxsize=1024)
def _verdicts(zone: Kind, vents: tuple[Kind, ...], asked: Kind) -> tuple[tuple[str, Severity], ...]:
    """(code, severity) of each finding about such a zone, whatever it and its vents are called."""
    named = [Vent(str(k), zone="zone", **dict(one.figures)) for k, one in enumerate(vents)]
    found = _judged(SmokeZone("zone", **dict(zone.figures)), named, *asked.figures)
    return tuple((one.code, one.severity) for one in found)
