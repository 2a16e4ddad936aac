"""The leads between battery and panel: their resistance, and whether the fuse of the battery protects them."""

from math import inf
from typing import NamedTuple

from zones.engineering.battery_set import BatterySet
from zones.engineering.cable_ratings import Insulation, Laying, Method, least_rating_a
from zones.engineering.conductors import STANDARD_AREAS_MM2, Conductor, resistance_ohm_per_km, warm_factor
from zones.engineering.findings import Figure, Finding, Severity, at_least, fail, meets
from zones.engineering.fuses import ProtectiveDevice
from zones.engineering.quantities import rounded_down, rounded_up
from zones.engineering.sources import DATA_SHEET, IEC_60364_4_43_OVERLOAD
from zones.engineering.trade_practice import TradePractice

# Single cores in a warm cabinet [P]: as in trunking, at 40 °C.
_WARM_C = 70.0  # as warm as the insulation allows
IN_THE_CABINET = Laying(Insulation.THERMOPLASTIC, Method.B1, 1, 40.0)


LONGEST_M = 3.0  # of leads within or beside a cabinet, one way, where nobody entered how long they are [P]


class LeadOhm(NamedTuple):
    """Resistance of both leads, warm, ohm, at the least and at the most; `asks`: what must be entered to know it."""

    least: float = 0.0
    most: float = 0.0
    asks: str = ""


NO_LEADS = LeadOhm()


def lead_ohm(battery: BatterySet | None) -> LeadOhm:
    """Resistance of the leads of a battery; what is not known of them counts as nothing and as the worst.

    Source:   IEC 60228:2004, class 5 [S2], at 70 °C; the longest that leads may be is common practice [P].
    """
    area_mm2, length_m = (battery.lead_mm2, battery.lead_m) if battery else (None, None)
    most = _loop_ohm(STANDARD_AREAS_MM2[0] if area_mm2 is None else area_mm2, length_m or LONGEST_M)
    if length_m is None:
        return LeadOhm(0.0, most, "length of the battery leads")
    if area_mm2 is None:
        return LeadOhm(0.0, most, "area of the battery leads")
    return LeadOhm(most, most)


def lead_figures(leads: LeadOhm) -> tuple[Figure, ...]:
    """Their resistance, where they have any."""
    if not leads.most:
        return ()
    least, most = rounded_up(leads.least, 4), rounded_up(leads.most, 4)
    return (Figure("leads of the battery, warm", most if least == most else f"0 to {most:g}", "Ω"),)


def leads_not_known(code: str, circuit: str, leads: LeadOhm, words: str, inputs) -> Finding:
    """No verdict on short circuits of a circuit, because only the leads decide; `words`: with the worst of them."""
    sentence = (
        f"{leads.asks} not known: short circuits of {circuit} not checked. With the most resistance that they may have "
        f"(common practice) {words}. Enter it to get a verdict."
    )
    return Finding(code, Severity.MISSING, circuit, sentence, DATA_SHEET, (Figure(leads.asks, None), *inputs))


def _loop_ohm(area_mm2, length_m):
    standard = max((area for area in STANDARD_AREAS_MM2 if area <= area_mm2), default=STANDARD_AREAS_MM2[0])
    thinner = max(1.0, standard / area_mm2)
    return 2e-3 * resistance_ohm_per_km(standard, 5) * thinner * length_m * warm_factor(_WARM_C)


def lead_findings(panel: str, battery: BatterySet, practice: TradePractice) -> list[Finding]:
    """The leads of the battery against its fuse: overload and short circuit; nothing where no section is recorded.

    Source:   IEC 60364-4-43, 433.1 and 434.5.2 [S2]; that they lie as single cores at 40 °C is common practice [P].
    """
    code, area_mm2, fuse_a = "battery.lead", battery.lead_mm2, battery.fuse_a
    if area_mm2 is None or fuse_a is None:
        return []  # a fuse that lacks is told with the current
    fuse = ProtectiveDevice(battery.fuse_kind, fuse_a)
    inputs = (Figure("leads of the battery", area_mm2, "mm²"), Figure("fuse of the battery", fuse_a, "A"))
    if fuse.kind is None:
        words = f"{panel}: kind of the fuse not known: leads of the battery not checked. Enter it to get a verdict."
        unknown = Figure("kind of the fuse", None)
        return [Finding(code, Severity.MISSING, panel, words, DATA_SHEET, (unknown, *inputs))]
    needed_a, through = _asked_by(fuse, practice)
    rating_a, bears = _of_leads(area_mm2)
    inputs += (
        Figure("current rating that the fuse asks for", rounded_up(needed_a, 2), "A"),
        Figure("current rating of the leads, single cores at 40 °C", rounded_down(rating_a, 2), "A"),
        Figure("fuse lets through, at the most", rounded_up(through / 1000, 3), "kA²s"),
        Figure("leads bear", rounded_down(bears / 1000, 3), "kA²s"),
    )
    source, formula = IEC_60364_4_43_OVERLOAD, "In ≤ Iz, I2 ≤ 1.45 × Iz, I²t ≤ k²S²"
    compared = at_least(rounded_down(rating_a, 2), rounded_up(needed_a, 2), "A", rating_a - needed_a)
    if rating_a >= needed_a and bears >= through:
        words = (
            f"{panel}: leads of the battery of {area_mm2:g} mm² are rated {rounded_down(rating_a, 2):g} A, its {fuse}"
        )
        return [meets(code, panel, f"{words} asks for {rounded_up(needed_a, 2):g} A", source, inputs, formula)]
    enough = (area for area in STANDARD_AREAS_MM2 if _of_leads(area)[0] >= needed_a and _of_leads(area)[1] >= through)
    area = next(enough, None)
    remedy = f"Use leads of {area:g} mm²." if area else "Ask the maker of the panel for leads and fuse that suit."
    words = (
        f"{panel}: the fuse of the battery ({fuse}) asks for leads of {rounded_up(needed_a, 2):g} A; {area_mm2:g} mm² "
        f"are rated {rounded_down(rating_a, 2):g} A. {remedy}"
    )
    return [fail(code, panel, words, source, inputs, formula, compared=compared)]


def _asked_by(fuse, practice):
    within_s = practice.disconnection_s
    through = fuse.energy_a2s(fuse.least_opening_a(within_s), inf, within_s)
    return max(fuse.rated_a, fuse.surely_opens_a / 1.45), through


def _of_leads(area_mm2):
    """(rating A, k²S²) of leads, by the largest standard section not above theirs."""
    standard = max((area for area in STANDARD_AREAS_MM2 if area <= area_mm2), default=None)
    if standard is None:
        return 0.0, 0.0
    rated_a = least_rating_a(Conductor(standard, 5), IN_THE_CABINET)
    return rated_a, (IN_THE_CABINET.least_k * standard) ** 2
