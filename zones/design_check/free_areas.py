"""The free area of one zone, as the design check answers it: the same figures, the same checks, the same sentences."""

from collections import defaultdict
from dataclasses import dataclass, field

from zones.design_basis.practice import current_practice
from zones.design_check import parts
from zones.design_check.findings import SHOWN, ShownFinding
from zones.design_check.rows import with_models
from zones.design_check.vents import vent_of
from zones.engineering.asked_areas import asked_of
from zones.engineering.findings import Severity, worst_first
from zones.engineering.quantities import QuantityError, rounded_down
from zones.engineering.replacement_air import check_inlets, inlet_coefficient, ratio_of
from zones.engineering.required_areas import RequiredArea
from zones.engineering.trade_practice import TRADE_PRACTICE
from zones.engineering.zone_areas import check_zone_area, vent_area
from zones.models import Vent


@dataclass(frozen=True)
class VentFigures:
    """What one vent opens, m², and which definition stands behind each figure; `estimate` only where none holds."""

    geometric_m2: float | None = None
    geometric_by: str = ""
    aerodynamic_m2: float | None = None
    aerodynamic_by: str = ""
    estimate: str = ""


@dataclass(frozen=True)
class AreaAnswer:
    """What can be said of a zone's free area: a state, its sentence, and every finding behind it, the worst first.

    `of_vents`: figures by the key of the vent.
    """

    key: str
    word: str
    sentence: str
    lines: tuple[ShownFinding, ...] = ()
    of_vents: dict = field(default_factory=dict)

    @property
    def is_of_air(self):
        """Whether the state is that of the replacement air."""
        return bool(self.lines) and self.lines[0].finding.code.startswith("air.")


@dataclass(frozen=True)
class Required:
    """What a zone must open: `area_m2` as the strategy says, else by its method (`is_by_method`).

    `found`: what the method says, None without one. `ratio` of the inlets, None where none is asked or nobody said.
    """

    area_m2: float | None
    kind: str
    is_by_method: bool
    found: RequiredArea | None
    ratio: object


def required_of(zone, practice=TRADE_PRACTICE):
    """What is required of a zone; no query. Figures that cannot be are as not known."""
    plain = parts.zone_of([], zone)
    asked = asked_of(plain, None, practice)
    return Required(asked.area_m2, str(asked.kind or ""), asked.whose is not None, asked.found, ratio_of(plain))


def answer_of(zone, vents):
    """Required area against the vents; a figure that is not known gives no verdict. Four queries for any number."""
    if not vents:
        key, word = SHOWN[Severity.MISSING]
        return AreaAnswer(key, word, "No vent recorded in this zone yet: its free area is not checked.")
    practice = current_practice()
    found, plain = _plain_vents(zone, vents)
    lines = tuple(ShownFinding(one) for one in worst_first([*found, *_checked(zone, plain, practice)]))
    of_vents = {key: _figures(vent, practice) for key, vent in plain.items()}
    if all(vent.is_inlet for vent in vents):
        key, word = SHOWN[Severity.MISSING]
        words = "No smoke outlet recorded in this zone yet, only inlets: its free area is not checked."
        return AreaAnswer(key, word, words, lines, of_vents)
    return AreaAnswer(lines[0].key, lines[0].state_word, lines[0].sentence, lines, of_vents)


def _plain_vents(zone, vents):
    """(findings on what cannot be, engineering's vent by key) of these vents of a zone."""
    found, plain, name = [], {}, parts.zone_name(zone)
    names, movers = _names(zone, vents), defaultdict(list)
    for position in with_models(zone.positions.in_use().exclude(vent=None)):
        movers[position.vent_id].append(position)
    for vent in vents:
        try:
            plain[vent.pk] = vent_of(found, vent, names[vent.pk], name, movers[vent.pk])
        except QuantityError as error:
            found.append(parts.not_used(f"Vent {names[vent.pk]}", error.in_words()))
    return found, plain


def _checked(zone, plain, practice):
    """What the design check of the panel says of the free area and the inlets of this zone."""
    found = []
    try:
        asked = parts.zone_of(found, zone)
    except QuantityError as error:
        return [parts.not_used(f"Zone {parts.zone_name(zone)}", error.in_words())]
    vents = list(plain.values())
    return [*found, *check_zone_area(asked, vents, practice), *check_inlets(asked, vents, practice)]


def _figures(vent, practice):
    try:
        area = vent_area(vent)
    except QuantityError:
        return VentFigures()
    estimate = "" if area.aerodynamic_m2 is not None else _estimate(vent, area, practice)
    return VentFigures(_down(area.geometric_m2), area.geometric_by, _down(area.aerodynamic_m2), area.by, estimate)


def _estimate(vent, area, practice):
    """As the check estimates it: an inlet by its opening angle, an outlet by a coefficient on what it opens."""
    if vent.is_inlet:
        coefficient, of_m2, of = inlet_coefficient(area.angle_deg), vent.frame_m2, "frame"
    else:
        coefficient = vent.discharge_coefficient or practice.estimated_discharge_coefficient
        of_m2, of = area.geometric_m2, "geometric"
    if None in (coefficient, of_m2):
        return ""
    return f"estimate, {of} × {coefficient:g}: about {rounded_down(of_m2 * coefficient, 2):g} m²"


def _down(area_m2):
    return None if area_m2 is None else rounded_down(area_m2, 2)


def _names(zone, vents):
    """Vents as the panel's check calls them: with their zone where the panel has a tag twice."""
    if zone.panel_id is None:
        return parts.vent_names(vents)
    return parts.vent_names(Vent.objects.filter(smoke_zone__panel=zone.panel_id).select_related("smoke_zone"))
