"""The free area of one zone, as the design check answers it: the same figures, the same checks, the same sentences."""

from collections import defaultdict
from dataclasses import dataclass

from zones.design_basis.practice import current_practice
from zones.design_check import parts
from zones.design_check.findings import SHOWN, ShownFinding
from zones.design_check.records import with_models
from zones.engineering.findings import Severity, worst_first
from zones.engineering.quantities import QuantityError
from zones.engineering.replacement_air import check_inlets
from zones.engineering.zone_areas import check_zone_area
from zones.models import Vent


@dataclass(frozen=True)
class AreaAnswer:
    """What can be said of a zone's free area: a state, its sentence, and every finding behind it, the worst first."""

    key: str
    word: str
    sentence: str
    lines: tuple[ShownFinding, ...] = ()


def answer_of(zone, vents):
    """Required area against the vents; a figure that is not known gives no verdict. Four queries for any number."""
    if not vents:
        key, word = SHOWN[Severity.MISSING]
        return AreaAnswer(key, word, "No vent recorded in this zone yet: its free area is not checked.")
    lines = tuple(ShownFinding(one) for one in worst_first(findings_of_area(zone, vents, current_practice())))
    return AreaAnswer(lines[0].key, lines[0].state_word, lines[0].sentence, lines)


def findings_of_area(zone, vents, practice):
    """What the design check of the panel says of the free area of this zone."""
    found, plain, name = [], [], parts.zone_name(zone)
    names, movers = _names(zone, vents), defaultdict(list)
    for position in with_models(zone.positions.in_use().exclude(vent=None)):
        movers[position.vent_id].append(position)
    for vent in vents:
        try:
            plain.append(parts.vent_of(found, vent, names[vent.pk], name, movers[vent.pk]))
        except QuantityError as error:
            found.append(parts.not_used(f"Vent {names[vent.pk]}", error.in_words()))
    try:
        asked = parts.zone_of(found, zone)
    except QuantityError as error:
        return [*found, parts.not_used(f"Zone {name}", str(error))]
    return [*found, *check_zone_area(asked, plain, practice), *check_inlets(asked, plain, practice)]


def _names(zone, vents):
    """Vents as the panel's check calls them: with their zone where the panel has a tag twice."""
    if zone.panel_id is None:
        return parts.vent_names(vents)
    return parts.vent_names(Vent.objects.filter(smoke_zone__panel=zone.panel_id).select_related("smoke_zone"))
