"""Rules for what is read at an actuator or its circuit: current, voltage, times, number found.

Tolerances of readings are common practice [P]; limits are figures of this model's data sheet and of this circuit.
"""

from dataclasses import replace

from zones.engineering.actuators import Actuator
from zones.engineering.circuits import ActuatorCircuit
from zones.engineering.readings.rule import AskedFigure, ReadingRule, Sign, Term
from zones.engineering.trade_practice import TRADE_PRACTICE, TradePractice
from zones.engineering.travels import Travel

HIGHEST_OF_RATED_V = 1.25  # [P]: 30 V on 24 V, as a charger in boost gives at most
IDLE_OF_RATED_A = 0.1  # [P]: an actuator that moves a leaf takes more than a tenth of its rated current
SOONEST_OF_STROKE = 0.8  # [P]: without load a drive is that much faster than its data sheet, not more
LATEST_OF_STROKE = 1.35  # [P]: loaded and on battery
STOPWATCH_S = 2.0  # [P]: by hand, from the command to the end
FAR_BEYOND_STROKE = 3.0  # [P]

_ASKED = {
    "rated_current_a": AskedFigure("rated_current_a", "rated current", "A"),
    "starting_current_a": AskedFigure("starting_current_a", "starting current", "A"),
    "minimum_voltage_v": AskedFigure("minimum_voltage_v", "least voltage it runs at", "V"),
    "stroke_mm": AskedFigure("stroke_mm", "stroke", "mm"),
    "speed_mm_s": AskedFigure("speed_mm_s", "speed", "mm/s"),
}
_STROKE = {"times": ("stroke_mm",), "over": ("speed_mm_s",)}


def _asks(*names: str) -> tuple[AskedFigure, ...]:
    return tuple(_ASKED[name] for name in names)


def _figures(actuator: Actuator) -> dict[str, float]:
    """What is known of an actuator, by the names of its data sheet."""
    named = {
        "rated_current_a": actuator.rated_current_a,
        "starting_current_a": actuator.starting_current_a,
        "rated_voltage_v": actuator.rated_voltage_v,
        "minimum_voltage_v": actuator.minimum_voltage_v,
        "stroke_mm": actuator.stroke_mm,
        "speed_mm_s": actuator.speed_mm_per_s,
    }
    return {name: value for name, value in named.items() if value is not None}


def running_current(
    actuator: Actuator, whose: str, first: tuple[tuple[Term, ...], tuple[Term, ...]] = ((), ())
) -> ReadingRule:
    """At or below the rated current of this model; `first`: further limits from the first value of the unit."""
    rated = Term(f"rated current of {whose}, data sheet", times=("rated_current_a",))
    lower, upper = first
    if actuator.rated_current_a is not None:
        lower = tuple(term for term in lower if term.plus <= actuator.rated_current_a)
    return ReadingRule(
        lower=lower,
        upper=(rated, *upper),
        signs=(
            Sign("A negative current: turn the clamp, or the cores are exchanged.", high=Term(plus=0)),
            Sign(
                "Hardly any current: does this actuator move, and is it the one on this core?",
                Term(plus=0),
                Term(factor=IDLE_OF_RATED_A, times=("rated_current_a",)),
            ),
            Sign(
                "More than its rated current: a leaf that jams, a short in the motor, another model, or more than one "
                "actuator on the core measured.",
                Term(factor=1.0005, times=("rated_current_a",)),
            ),
        ),
        figures=_figures(actuator),
        asks=_asks("rated_current_a"),
        whose=whose,
    )


def starting_current(actuator: Actuator, whose: str) -> ReadingRule:
    """At or below the starting current of this model."""
    return ReadingRule(
        upper=(Term(f"starting current of {whose}, data sheet", times=("starting_current_a",)),),
        signs=(
            Sign(
                "More than its starting current: a leaf that jams, or more than one actuator starts on this core.",
                Term(factor=1.0005, times=("starting_current_a",)),
            ),
        ),
        figures=_figures(actuator),
        asks=_asks("starting_current_a"),
        whose=whose,
    )


def voltage_at_actuator(actuator: Actuator, whose: str, computed_v: float | None = None) -> ReadingRule:
    """Between the least voltage of this model and the highest of a 24 V system.

    Args:     computed_v: what the design check leaves at this actuator at the end of discharge; below it there is
              more resistance on the way than the record has.
    """
    signs = [
        Sign("The polarity is reversed: open and close may be exchanged.", high=Term(plus=-1)),
        Sign("No voltage: a broken core, a blown fuse, or the output is off.", Term(plus=-1), Term(plus=1)),
    ]
    if computed_v is not None and computed_v > (actuator.minimum_voltage_v or 0):
        signs.append(
            Sign(
                f"Less than the {computed_v:.1f} V that the design check leaves here at the end of discharge: a loose "
                "terminal, or a longer or thinner cable than recorded.",
                Term(times=("minimum_voltage_v",)),
                Term(plus=round(computed_v, 1)),
            )
        )
    return ReadingRule(
        lower=(Term(f"least voltage that {whose} runs at, data sheet", times=("minimum_voltage_v",)),),
        upper=(
            Term(
                f"{HIGHEST_OF_RATED_V:g} × its rated voltage (common practice)",
                factor=HIGHEST_OF_RATED_V,
                times=("rated_voltage_v",),
            ),
        ),
        signs=tuple(signs),
        figures=_figures(actuator),
        asks=_asks("minimum_voltage_v"),
        whose=whose,
        computed=None if computed_v is None else Term("design check, end of discharge", round(computed_v, 1)),
    )


def opening_time(
    actuator: Actuator,
    whose: str,
    *,
    delay_s: float = 0.0,
    run_time_s: float | None = None,
    limit: Term | None = None,
    solved: Travel | None = None,
) -> ReadingRule:
    """From the command to the end: near stroke ÷ speed of this model, never beyond the limit of the building.

    Args:     solved: its way at the voltage that the design check lets reach it; ``None``: not known.
    """
    source = f"stroke ÷ speed of {whose} with tolerance (common practice)"
    soonest = Term(source, delay_s, SOONEST_OF_STROKE, **_STROKE)
    latest = Term(source, delay_s + STOPWATCH_S, LATEST_OF_STROKE, **_STROKE)
    signs = [
        Sign("Too soon for its stroke: not the full stroke, or another model or speed than recorded.", high=soonest),
        Sign("Slow for its stroke: check load, voltage and leaf, or another model than recorded.", low=latest),
    ]
    if run_time_s is not None:
        signs.append(
            Sign(
                f"As long as the run time set, {run_time_s:g} s: the output may have been switched off part open.",
                Term(plus=run_time_s + delay_s - 1),
            )
        )
    return ReadingRule(
        lower=(soonest,),
        upper=(*((limit,) if limit else ()), latest),
        signs=tuple(signs),
        figures=_figures(actuator),
        # The limit of the building holds without them.
        asks=tuple(replace(one, is_needed=False) for one in _asks("stroke_mm", "speed_mm_s")),
        whose=whose,
        digits=1,
        computed=_computed_opening(solved, delay_s),
    )


def _computed_opening(solved: Travel | None, delay_s: float) -> Term | None:
    """Stroke ÷ speed at the voltage that arrives; never at the rated speed for want of that one."""
    if solved is None or solved.speed_mm_per_s is None or solved.volts is None:
        return None
    slower = solved.actuator.speed_mm_per_s / solved.speed_mm_per_s
    words = f"design check: stroke ÷ speed at {solved.volts:.1f} V {solved.words}, and delay"
    return Term(words, delay_s, slower, **_STROKE)


def run_time(
    actuator: Actuator,
    whose: str,
    circuit: ActuatorCircuit,
    practice: TradePractice = TRADE_PRACTICE,
    *,
    stagger_s: float = 0.0,
) -> ReadingRule:
    """Longer than the slowest stroke of the circuit with the allowance, and not absurdly long; as the record has it.

    Where actuators start `stagger_s` apart, the last of the circuit must still run its stroke.
    """
    apart_s = stagger_s * max(0, len(circuit.actuators) - 1)
    allowance = practice.run_time_allowance
    others = [
        (one.stroke_mm / one.speed_mm_per_s, one.name)
        for one in circuit.actuators
        if one.name != actuator.name and one.stroke_mm is not None and one.speed_mm_per_s is not None
    ]
    own_words = f"{allowance:g} × stroke time of {actuator.name}, {whose} (common practice)"
    later = f", the last started {apart_s:g} s after the first" if apart_s else ""
    lower = [Term(f"{own_words}{later}", apart_s, allowance, **_STROKE)]
    short = [Term(plus=apart_s, **_STROKE)]
    if others:
        seconds, name = max(others)
        words = f"{allowance:g} × stroke time of {name} (common practice){later}"
        lower.append(Term(words, apart_s + seconds * allowance))
        short.append(Term(plus=apart_s + seconds))
    known = [value for term in lower if (value := term.value(_figures(actuator))) is not None]
    ceiling_s = max(practice.run_time_ceiling_s, *known) if known else practice.run_time_ceiling_s
    slowest = max(short, key=lambda term: term.value(_figures(actuator)) or 0)
    least = max(lower, key=lambda term: term.value(_figures(actuator)) or 0)
    far = Term("", slowest.plus * FAR_BEYOND_STROKE, FAR_BEYOND_STROKE, slowest.times, slowest.over)
    return ReadingRule(
        lower=tuple(lower),
        upper=(Term("proof time of the supply, EN 12101-10:2005 cl. 6.2.2, second-hand", ceiling_s),),
        signs=(
            Sign("Shorter than the stroke: the vent stops part open.", high=slowest),
            Sign("Hardly longer than the stroke: on battery the vent may stop part open.", slowest, least),
            Sign("Far longer than the stroke: the motor stands against its stop unless it switches itself off.", far),
            *_against_set(circuit),
        ),
        figures=_figures(actuator),
        asks=_asks("stroke_mm", "speed_mm_s"),
        whose=whose,
        digits=1,
        computed=None if circuit.run_time_s is None else Term("as set, on record", circuit.run_time_s),
    )


def _against_set(circuit: ActuatorCircuit) -> list[Sign]:
    if circuit.run_time_s is None:
        return []
    tolerance_s = max(STOPWATCH_S, 0.05 * circuit.run_time_s)
    words = f"The record has {circuit.run_time_s:g} s set for {circuit.name}: correct the setting or the record."
    return [
        Sign(words, high=Term(plus=circuit.run_time_s - tolerance_s)),
        Sign(words, low=Term(plus=circuit.run_time_s + tolerance_s + 0.001)),
    ]


def actuators_found(circuit: ActuatorCircuit) -> ReadingRule:
    """As many as the panel is set to expect; where nobody recorded that, as many as hang on the circuit."""
    recorded = len(circuit.actuators)
    expected = circuit.expected_actuators if circuit.expected_actuators is not None else recorded
    source = f"actuators on record at {circuit.name}"
    if circuit.expected_actuators is not None:
        source = f"number expected, as set for {circuit.name}"
    signs = [
        Sign(
            "Fewer than expected: data core, number or supply of those not found; an actuator not connected.",
            high=Term(plus=expected),
        ),
        Sign(
            "More than expected: an actuator of another circuit, or a setting that was not updated.",
            low=Term(plus=expected + 0.5),
        ),
    ]
    if expected != recorded:
        words = f"The record has {recorded} at {circuit.name}: correct the setting or the record."
        signs.append(Sign(words, Term(plus=expected), Term(plus=expected + 0.5)))
    return ReadingRule(
        lower=(Term(source, float(expected)),), upper=(Term(source, float(expected)),), signs=tuple(signs), digits=0
    )
