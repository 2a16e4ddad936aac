"""Classes of EN 12101-2: what a vent is declared for against what the fire strategy asks.

A class is a number: higher is better, but for the low temperature, where T(-15) is better than T(00). Class names and
their order stand here from memory; look into the declaration and the standard before relying on them.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from zones.engineering.findings import Figure, Finding, fail, listed, meets, missing, question
from zones.engineering.quantities import QuantityError
from zones.engineering.sources import DATA_SHEET, EN_12101_2_CLASSES

_CODE = "class.asked"
STEEP_DEG = 45.0  # EN 12101-2: SL 0 only above this pitch, where snow slides off [M]


@dataclass(frozen=True, slots=True)
class VentClasses:
    """Numbers of the classes; ``None`` = not asked, or not declared.

    `wind_pa` of WL and `snow_pa` of SL, N/m²; `cold_c` of T, °C, 0 or below; `reliability` of Re, operations; `heat_c`
    of B, °C.
    """

    wind_pa: int | None = None
    snow_pa: int | None = None
    cold_c: int | None = None
    reliability: int | None = None
    heat_c: int | None = None

    def __post_init__(self):
        if self.cold_c is not None and self.cold_c > 0:
            raise QuantityError("cold_c", self.cold_c, "0 °C or below; T(-15) is -15")
        for name in ("wind_pa", "snow_pa", "reliability", "heat_c"):
            value = getattr(self, name)
            if value is not None and value < 0:
                raise QuantityError(name, value, "0 or more")

    @property
    def asked(self) -> list[str]:
        """Which of them have a number."""
        return [name for name in _WORDS if getattr(self, name) is not None]


_WORDS = {
    "wind_pa": lambda n: f"WL {n}",
    "snow_pa": lambda n: f"SL {n}",
    "cold_c": lambda n: f"T({n:03d})" if n < 0 else "T(00)",
    "reliability": lambda n: f"Re {n}",
    "heat_c": lambda n: f"B {n}",
}
_LETTERS = {"wind_pa": "WL", "snow_pa": "SL", "cold_c": "T", "reliability": "Re", "heat_c": "B"}


def in_words(name: str, number: int) -> str:
    """A class as a declaration writes it: "WL 1500", "T(-15)", "T(00)"."""
    return _WORDS[name](number)


def is_enough(name: str, declared: int, asked: int) -> bool:
    """Whether a declared class is at least the one asked."""
    return declared <= asked if name == "cold_c" else declared >= asked


def check_classes(zone: str, vents: Sequence, asked: VentClasses | None) -> list[Finding]:
    """The smoke vents of a zone against the classes asked; silent where none is asked, and of inlets for air.

    Args:     vents: `Vent`s of the zone, each with `classes` as declared and `leaf` for its slope.
    Source:   EN 12101-2 [M] for the classes; which are asked is the fire strategy's.
    """
    vents = [vent for vent in vents if not vent.is_inlet]
    if asked is None or not asked.asked or not vents:
        return []
    findings, lacking, kept = [], {}, []
    for name in asked.asked:
        wanted = getattr(asked, name)
        declared = {vent.name: getattr(vent.classes, name, None) for vent in vents}
        if unknown := tuple(vent for vent, number in declared.items() if number is None):
            lacking.setdefault(unknown, []).append(_LETTERS[name])
        low = {vent: n for vent, n in declared.items() if n is not None and not is_enough(name, n, wanted)}
        if low:
            findings.append(_too_low(zone, name, wanted, low))
        elif not unknown:
            kept.append(name)
    for owners, letters in lacking.items():
        what = f"declared class{'es' if len(letters) > 1 else ''} {listed(letters)}"
        unchecked = f"class{'es' if len(letters) > 1 else ''} {listed(letters)} of zone {zone}"
        findings.append(missing(_CODE, zone, what, owners, DATA_SHEET, not_checked=unchecked))
    findings += _snow_on_the_flat(zone, vents, asked)
    if kept:
        findings.append(_kept(zone, vents, asked, kept))
    return findings


def _too_low(zone, name, wanted, low):
    wants = in_words(name, wanted)
    has = listed(f"{in_words(name, number)} of {vent}" for vent, number in low.items())
    words = f"Zone {zone}: {wants} is asked, declared is {has}. Fit vents declared for it, or correct what is asked."
    inputs = (Figure("asked", wants), *(Figure(f"declared, {vent}", in_words(name, n)) for vent, n in low.items()))
    return fail(_CODE, zone, words, EN_12101_2_CLASSES, inputs, "declared class at least the class asked")


def _kept(zone, vents, asked, kept):
    wants = listed(in_words(name, getattr(asked, name)) for name in kept)
    inputs = [Figure("asked", wants)]
    for vent in vents:
        inputs.append(Figure(vent.name, ", ".join(in_words(name, getattr(vent.classes, name)) for name in kept)))
    its = "its vent is" if len(vents) == 1 else f"its {len(vents)} vents are"
    words = f"Zone {zone}: {its} declared for {wants} or better"
    formula = "declared class at least the class asked; of T the lower temperature is better"
    return meets(_CODE, zone, words, EN_12101_2_CLASSES, tuple(inputs), formula, limit="fire strategy")


def _snow_on_the_flat(zone, vents, asked):
    """SL 0 says that snow slides off: on a flat roof nothing does."""
    if asked.snow_pa is None:
        return []
    flat = [
        vent
        for vent in vents
        if vent.leaf and vent.leaf.installed_deg is not None and vent.leaf.installed_deg <= STEEP_DEG
    ]
    if not (without := [vent for vent in flat if getattr(vent.classes, "snow_pa", None) == 0]):
        return []
    words = (
        f"Zone {zone}: {listed(vent.name for vent in without)} {'is' if len(without) == 1 else 'are'} declared SL 0, "
        f"which is meant for a slope above {STEEP_DEG:g}°, but installed at "
        f"{min(vent.leaf.installed_deg for vent in without):g}°. Check declaration and slope."
    )
    return [question("class.snow_slope", zone, words, EN_12101_2_CLASSES)]
