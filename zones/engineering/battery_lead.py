"""Finding about the leads between battery and panel: does the fuse of the battery protect them?"""

from math import inf

from zones.engineering.battery_set import BatterySet
from zones.engineering.cable_ratings import Insulation, Laying, Method, least_rating_a
from zones.engineering.conductors import STANDARD_AREAS_MM2, Conductor
from zones.engineering.findings import Figure, Finding, Severity, at_least, fail, meets
from zones.engineering.fuses import ProtectiveDevice
from zones.engineering.quantities import rounded_down, rounded_up
from zones.engineering.sources import DATA_SHEET, IEC_60364_4_43_OVERLOAD
from zones.engineering.trade_practice import TradePractice

# Single cores in a warm cabinet [P]: as in trunking, at 40 °C.
IN_THE_CABINET = Laying(Insulation.THERMOPLASTIC, Method.B1, 1, 40.0)


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
