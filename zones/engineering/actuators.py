"""Actuators: what they draw, and how long they take to open the vent.

A calculated time is not a measured time: the measured opening time on battery, with the leaf on it, outranks
every figure here.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from zones.engineering.cables import Load, LoadModel
from zones.engineering.findings import (
    Figure,
    Finding,
    at_least,
    at_most,
    fail,
    listed,
    meets,
    missing,
    note,
    question,
    verdict,
)
from zones.engineering.quantities import QuantityError, check_optional, check_quantity, rounded_down, rounded_up
from zones.engineering.sources import DATA_SHEET, EN_12101_2_TIME, PRACTICE
from zones.engineering.trade_practice import TRADE_PRACTICE, TradePractice

_TIME_FORMULA = "opening time = stroke / speed + delay"
_CHECKED = (
    ("current", "rated_current_a"),
    ("current", "starting_current_a"),
    ("voltage", "rated_voltage_v"),
    ("voltage", "minimum_voltage_v"),
    ("stroke", "stroke_mm"),
    ("speed", "speed_mm_per_s"),
)


@dataclass(frozen=True, slots=True)
class Actuator:
    """The drive on a vent, with its data-sheet figures; ``None`` = not known.

    `at` names the cable run at whose far end it hangs, `vent` the vent it moves.
    """

    name: str
    at: str | None = None
    vent: str | None = None
    rated_current_a: float | None = None
    starting_current_a: float | None = None
    rated_voltage_v: float | None = None
    minimum_voltage_v: float | None = None
    stroke_mm: float | None = None
    speed_mm_per_s: float | None = None
    load_model: LoadModel = LoadModel.CONSTANT_CURRENT

    def __post_init__(self):
        for quantity, field in _CHECKED:
            check_optional(quantity, getattr(self, field), field=field, subject=self.name)
        low, rated = self.minimum_voltage_v, self.rated_voltage_v
        if low is not None and rated is not None and low > rated:
            raise QuantityError("minimum_voltage_v", low, f"at most the rated voltage, {rated:g} V", subject=self.name)

    def running_load(self) -> Load:
        """The load at rated current. `rated_current_a` must be known, with other models `rated_voltage_v` too."""
        match self.load_model:
            case LoadModel.CONSTANT_CURRENT:
                value = self.rated_current_a
            case LoadModel.CONSTANT_POWER:
                value = self.rated_voltage_v * self.rated_current_a
            case LoadModel.RESISTIVE:
                value = self.rated_voltage_v / self.rated_current_a
        return Load(self.name, self.at, value, self.load_model)

    def starting_load(self) -> Load:
        """The load while starting: a constant current, whatever the model of the running load."""
        return Load(self.name, self.at, max(self.starting_current_a, self.rated_current_a))


def opening_time_s(stroke_mm: float, speed_mm_per_s: float, delay_s: float = 0.0) -> float:
    """Time from the signal to the open position, s. Source: t = stroke/speed + delay [calc]."""
    check_quantity("stroke", stroke_mm, field="stroke_mm")
    check_quantity("speed", speed_mm_per_s, field="speed_mm_per_s")
    check_quantity("delay", delay_s, field="delay_s")
    return stroke_mm / speed_mm_per_s + delay_s


def least_speed_mm_per_s(stroke_mm: float, delay_s: float = 0.0, limit_s: float = 60.0) -> float:
    """Least speed that opens within the limit, mm/s, not rounded.

    Raises:   QuantityError: the delay alone uses up the limit.
    Source:   v = s/(limit - delay), limit 60 s from EN 12101-2 [S2].
    """
    check_quantity("stroke", stroke_mm, field="stroke_mm")
    check_quantity("delay", delay_s, field="delay_s")
    if delay_s >= limit_s:
        raise QuantityError("delay_s", delay_s, f"less than the opening limit, {limit_s:g} s")
    return stroke_mm / (limit_s - delay_s)


def partial_opening_time_s(wanted_mm: float, speed_mm_per_s: float) -> float:
    """Run time for a partial opening for ventilation, s. The error adds up: close fully once a day [P]."""
    return opening_time_s(wanted_mm, speed_mm_per_s)


def check_opening_times(
    circuit: str,
    actuators: Iterable[Actuator],
    *,
    run_time_s: float | None,
    delay_s: float = 0.0,
    practice: TradePractice = TRADE_PRACTICE,
) -> list[Finding]:
    """Open in time, run time long enough and not absurd, actuators of one vent in step.

    Args:     run_time_s: for how long the output is on, ``None`` = not known; delay_s: signal and stagger.
    Source:   60 s: EN 12101-2 [S2]; run time × 1.2 and the ceiling: common practice [P].
    """
    actuators = tuple(actuators)
    known = [one for one in actuators if one.stroke_mm is not None and one.speed_mm_per_s is not None]
    findings = []
    for what, field in (("stroke", "stroke_mm"), ("speed", "speed_mm_per_s")):
        if owners := [one.name for one in actuators if getattr(one, field) is None]:
            findings.append(
                missing(
                    "time.opening",
                    circuit,
                    what,
                    owners,
                    DATA_SHEET,
                    not_checked=f"opening time on {circuit}",
                )
            )
    if not known:
        return findings
    slowest = max(known, key=lambda one: one.stroke_mm / one.speed_mm_per_s)
    findings.append(_opening_finding(circuit, slowest, len(known), delay_s, practice))
    if len(known) == len(actuators):
        findings += _run_time_findings(circuit, slowest, run_time_s, practice)
    findings += _in_step_findings(circuit, known, practice)
    return findings


def _opening_finding(circuit: str, slowest: Actuator, count: int, delay_s: float, practice: TradePractice):
    limit_s = practice.opening_limit_s
    time_s = slowest.stroke_mm / slowest.speed_mm_per_s + delay_s
    spare_s = limit_s - time_s
    inputs = (
        Figure("stroke", slowest.stroke_mm, "mm"),
        Figure("speed", slowest.speed_mm_per_s, "mm/s"),
        Figure("delay", delay_s, "s"),
        Figure("limit", limit_s, "s"),
    )
    who = f"{slowest.name} opens" if count == 1 else f"the slowest of {count}, {slowest.name}, opens"
    remedy = "Shorten the delay."
    if delay_s < limit_s:
        least = rounded_up(slowest.stroke_mm / (limit_s - delay_s), 2)
        remedy = f"It needs at least {least:g} mm/s, or a shorter stroke."
    inside_s, beyond_s = rounded_down(max(spare_s, 0), 1), rounded_up(-spare_s, 2)
    return verdict(
        *("time.opening", circuit, time_s <= limit_s),
        f"On {circuit} {who} in {rounded_up(time_s, 1):g} s, {inside_s:g} s inside the {limit_s:g} s entered "
        f"({EN_12101_2_TIME})",
        f"On {circuit} {who} in {rounded_up(time_s, 2):g} s, {beyond_s:g} s beyond the limit of {limit_s:g} s. "
        f"{remedy}",
        *(EN_12101_2_TIME, inputs, _TIME_FORMULA),
        limit="",  # the words name it
        compared=at_most(rounded_up(time_s, 1 if time_s <= limit_s else 2), limit_s, "s", spare_s),
    )


def _run_time_findings(circuit: str, slowest: Actuator, run_time_s: float | None, practice: TradePractice):
    code, formula = "time.run_time", "least run time = slowest stroke time × allowance"
    if run_time_s is None:
        return [missing(code, circuit, "run time", [], DATA_SHEET, not_checked=f"run time of {circuit}")]
    stroke_s = slowest.stroke_mm / slowest.speed_mm_per_s
    least_s = stroke_s * practice.run_time_allowance
    ceiling_s = max(practice.run_time_ceiling_s, least_s)
    inputs = (
        Figure("run time", run_time_s, "s"),
        Figure("slowest stroke time", round(stroke_s, 2), "s"),
        Figure("allowance", practice.run_time_allowance),
        Figure("ceiling", practice.run_time_ceiling_s, "s"),
    )
    compared = at_least(run_time_s, rounded_up(least_s, 0), "s", run_time_s - least_s)
    if run_time_s < stroke_s:
        bad = (
            f"{circuit} is switched off after {run_time_s:g} s; {slowest.name} needs {rounded_up(stroke_s, 1):g} s "
            f"for its stroke and stops part open. Set at least {rounded_up(least_s, 0):g} s."
        )
        return [fail(code, circuit, bad, PRACTICE, inputs, formula, compared=compared)]
    if run_time_s < least_s:
        return [
            question(
                *(code, circuit),
                f"{circuit} runs for {run_time_s:g} s, hardly longer than the {rounded_up(stroke_s, 1):g} s of "
                f"{slowest.name}: under load or low voltage it may stop part open. "
                f"Set {rounded_up(least_s, 0):g} s.",
                *(PRACTICE, inputs, formula),
                compared=compared,
            )
        ]
    if run_time_s > ceiling_s:
        return [
            question(
                *(code, circuit),
                f"{circuit} stays on for {run_time_s:g} s, far longer than the {rounded_up(stroke_s, 1):g} s that "
                f"{slowest.name} needs. Set {rounded_up(least_s, 0):g} to {ceiling_s:g} s, or say why.",
                *(PRACTICE, inputs, formula),
                compared=at_most(run_time_s, ceiling_s, "s", ceiling_s - run_time_s),
            )
        ]
    wanted = f"{rounded_up(least_s, 0):g} s are wanted"
    good = f"{circuit} runs for {run_time_s:g} s; {wanted}"
    return [meets(code, circuit, good, PRACTICE, inputs, formula, compared=compared)]


def _in_step_findings(circuit: str, known: list[Actuator], practice: TradePractice) -> list[Finding]:
    """Actuators of one vent must travel alike, or they rack the leaf."""
    by_vent: dict[str, list[Actuator]] = {}
    for one in known:
        if one.vent is not None:
            by_vent.setdefault(one.vent, []).append(one)
    findings = []
    for vent, together in by_vent.items():
        if len(together) < 2:
            continue
        code, source = "time.in_step", PRACTICE
        names = listed(one.name for one in together)
        speeds, strokes = [one.speed_mm_per_s for one in together], [one.stroke_mm for one in together]
        inputs = (
            Figure("speeds", ", ".join(f"{speed:g}" for speed in speeds), "mm/s"),
            Figure("strokes", ", ".join(f"{stroke:g}" for stroke in strokes), "mm"),
        )
        speed_apart = max(speeds) / min(speeds) - 1
        stroke_apart = max(strokes) / min(strokes) - 1
        if max(speed_apart, stroke_apart) > practice.in_step_tolerance:
            what = "speed" if speed_apart >= stroke_apart else "stroke"
            apart = max(speed_apart, stroke_apart)
            bad = (
                f"{names} move vent {vent} together, but their {what} differs by {apart:.0%}: they rack the leaf. "
                f"Fit actuators of one speed and stroke, or a synchronised set."
            )
            findings.append(fail(code, circuit, bad, source, inputs, "greatest / least - 1"))
        else:
            words = f"{names} move vent {vent} together at one speed and stroke; they need the maker's synchronising."
            findings.append(note(code, circuit, words, source, inputs))
    return findings
