"""Data links of call points: how many there are, how long the link is, and the voltage that the last of them gets."""

from dataclasses import dataclass

from zones.engineering.conductors import Conductor
from zones.engineering.findings import Figure, Finding, at_least, counted, missing, note, verdict
from zones.engineering.quantities import check_optional, rounded_down
from zones.engineering.sources import DATA_SHEET, OHMS_LAW, RECORD


@dataclass(frozen=True, slots=True)
class LinkDevice:
    """A call point on a data link with the cable that leads to it from the one before; ``None`` = not known.

    `fed_from`: name of the call point before it, "" from the panel. `current_a`: what it draws in alarm.
    """

    name: str
    fed_from: str = ""
    length_m: float | None = None
    conductor: Conductor | None = None
    current_a: float | None = None
    minimum_voltage_v: float | None = None

    def __post_init__(self):
        for quantity, field in (("length", "length_m"), ("current", "current_a"), ("voltage", "minimum_voltage_v")):
            check_optional(quantity, getattr(self, field), field=field, subject=self.name)


@dataclass(frozen=True, slots=True)
class DataLink:
    """A data link as recorded; `listed`: how many call points the panel lists, ``None`` where nobody entered it."""

    name: str
    devices: tuple[LinkDevice, ...] = ()
    listed: int | None = None


def check_data_link(link: DataLink, discharged_v: float | None) -> list[Finding]:
    """Number, length and least voltage of one link.

    Args:     discharged_v: at the panel's terminals at the end of battery discharge, V; ``None``: not known.
    Source:   Ohm's law over supply and return, IEC 60228 resistances at 20 °C, all call points in alarm at once.
    """
    return [_count(link), *_length(link), *_voltage(link, discharged_v)] if link.devices else [_count(link)]


def _count(link: DataLink) -> Finding:
    code, subject, recorded = "link.count", link.name, len(link.devices)
    if link.listed is None:
        what = "call points as the panel lists them"
        return missing(code, subject, what, [], RECORD, not_checked=f"number of {link.name}")
    inputs = (Figure("recorded", recorded), Figure("listed", link.listed))
    return verdict(
        *(code, subject, recorded == link.listed),
        f"{subject}: {counted(recorded, 'call point')} recorded, as the panel lists",
        f"{subject}: {counted(recorded, 'call point')} recorded, {link.listed} listed by the panel. Look for the one "
        f"that does not report, or complete the record.",
        *(RECORD, inputs),
    )


def _length(link: DataLink) -> list[Finding]:
    unknown = [one.name for one in link.devices if one.length_m is None]
    if unknown:
        return [missing("link.length", link.name, "cable length", unknown, RECORD, not_checked=link.name)]
    total_m = sum(one.length_m for one in link.devices)
    words = f"{link.name} has {total_m:g} m of cable. Compare with what the panel's maker allows."
    return [note("link.length", link.name, words, RECORD, (Figure("cable", round(total_m, 1), "m"),))]


def _voltage(link: DataLink, discharged_v: float | None) -> list[Finding]:
    code, gaps = "link.voltage", []
    for what, field in (
        ("cable section or class", "conductor"),
        ("current in alarm", "current_a"),
        ("least voltage", "minimum_voltage_v"),
    ):
        if owners := [one.name for one in link.devices if getattr(one, field) is None]:
            gaps.append((what, owners))
    if discharged_v is None:
        gaps.append(("voltage at the end of discharge", []))
    if gaps:
        unchecked = f"voltage on {link.name}"
        return [missing(code, link.name, what, owners, DATA_SHEET, not_checked=unchecked) for what, owners in gaps]
    if any(one.length_m is None for one in link.devices):
        return []  # said of its length
    volts = voltages(link, discharged_v)
    last = min(link.devices, key=lambda one: volts[one.name] - one.minimum_voltage_v)
    words = f"{link.name} gives {last.name} {volts[last.name]:.1f} V at the end of discharge, all in alarm"
    inputs = (Figure("voltage", round(volts[last.name], 2), "V"), Figure("least", last.minimum_voltage_v, "V"))
    return [
        verdict(
            *(code, link.name, volts[last.name] >= last.minimum_voltage_v),
            f"{words}; it runs from {last.minimum_voltage_v:g} V",
            f"{words}; it needs {last.minimum_voltage_v:g} V. Use a larger section or a shorter link.",
            *(OHMS_LAW, inputs, "U at the panel less 2·ρ·l·I/A of every section on the way"),
            compared=at_least(
                rounded_down(volts[last.name], 2),
                last.minimum_voltage_v,
                "V",
                volts[last.name] - last.minimum_voltage_v,
            ),
        )
    ]


def voltages(link: DataLink, source_v: float) -> dict[str, float]:
    """Voltage at each call point, V; figures must be known, and a call point stands after the one that feeds it."""
    beyond = {one.name: one.current_a for one in link.devices}
    for one in reversed(link.devices):
        if one.fed_from:
            beyond[one.fed_from] += beyond[one.name]
    found = {}
    for one in link.devices:
        ohm = 2e-3 * one.conductor.ohm_per_km * one.length_m
        found[one.name] = (found[one.fed_from] if one.fed_from else source_v) - beyond[one.name] * ohm
    return found
