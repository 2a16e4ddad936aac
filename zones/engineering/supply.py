"""What the power supply must carry: per output, per panel, all at once or one group after another."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from zones.engineering.circuits import ActuatorCircuit
from zones.engineering.findings import Figure, Finding, at_most, fail, meets_in_words, missing, question, verdict
from zones.engineering.quantities import check_optional, questioned, require_positive, rounded_down, rounded_up
from zones.engineering.sources import DATA_SHEET, EN_12101_2_TIME, PRACTICE
from zones.engineering.trade_practice import TRADE_PRACTICE, TradePractice

_SIMULTANEOUS = "sum of rated currents (diversity 1.0) + panel in alarm + charger unless inhibited"


@dataclass(frozen=True, slots=True)
class PowerSupply:
    """The panel's supply; ``None`` = not known.

    The panel itself takes `quiescent_current_a` at rest and `alarm_current_a` in alarm, motors not counted;
    `charger_inhibited`: the charger stops while motors run; `sequential`: outputs run one group after
    another, with `gap_s` between; `stagger_s`: between the starts of actuators.
    """

    rated_current_a: float | None = None
    output_voltage_v: float | None = None
    own_drop_v: float | None = None
    quiescent_current_a: float | None = None
    alarm_current_a: float | None = None
    charger_current_a: float | None = None
    charger_inhibited: bool | None = None
    sequential: bool = False
    gap_s: float = 0.0
    stagger_s: float = 0.0

    def __post_init__(self):
        for quantity, field in (
            ("current", "rated_current_a"),
            ("voltage", "output_voltage_v"),
            ("voltage_drop", "own_drop_v"),
            ("quiescent_current", "quiescent_current_a"),
            ("quiescent_current", "alarm_current_a"),
            ("current", "charger_current_a"),
            ("delay", "gap_s"),
            ("delay", "stagger_s"),
        ):
            check_optional(quantity, getattr(self, field), field=field, subject="power supply")


class Demand(NamedTuple):
    """What the supply must carry at once, A, and what is left of its rating (negative: too much)."""

    motors_a: float
    panel_a: float
    charger_a: float
    rated_a: float

    @property
    def total_a(self) -> float:
        """Motors, panel and charger together, A."""
        return self.motors_a + self.panel_a + self.charger_a

    @property
    def left_a(self) -> float:
        """What is left of the rating, A."""
        return self.rated_a - self.total_a


def demand(
    motor_currents_a: Iterable[float],
    *,
    rated_a: float,
    panel_a: float = 0.0,
    charger_a: float = 0.0,
    charger_inhibited: bool = False,
) -> Demand:
    """Simultaneous demand, A. Source: sum with diversity 1.0 within what opens together [P]."""
    return Demand(sum(motor_currents_a), panel_a, 0.0 if charger_inhibited else charger_a, rated_a)


def packed_groups(currents_a: Sequence[float], limit_a: float) -> list[list[int]] | None:
    """Share outputs into groups that run one after another, none above the limit.

    Args:     currents_a: of the outputs, A; limit_a: what the supply can give to motors, A.
    Returns:  groups of indices; ``None`` when one output alone is too much.
    Source:   first fit, largest first: at most 11/9 of the least number of groups plus 6/9 (Dósa 2007) [M],
              so never fewer than are needed.
    """
    require_positive("limit_a", limit_a)
    groups: list[list[int]] = []
    loads: list[float] = []
    for index in sorted(range(len(currents_a)), key=lambda k: -currents_a[k]):
        current_a = currents_a[index]
        if current_a > limit_a:
            return None
        for k, load in enumerate(loads):
            if load + current_a <= limit_a + 1e-9:
                groups[k].append(index)
                loads[k] += current_a
                break
        else:
            groups.append([index])
            loads.append(current_a)
    return groups


def sequential_time_s(group_times_s: Sequence[float], gap_s: float = 0.0) -> float:
    """Time until the last of several groups is open, s: the slowest of each, and the gaps between."""
    return sum(group_times_s) + gap_s * max(0, len(group_times_s) - 1)


def staggered_time_s(stroke_time_s: float, count: int, stagger_s: float) -> float:
    """Time until the last of `count` staggered actuators is open, s. Staggering only trims the inrush."""
    return stroke_time_s + max(0, count - 1) * stagger_s


def circuit_current_a(circuit: ActuatorCircuit) -> float | None:
    """Rated current of all actuators of a circuit, A; ``None`` when one is not known."""
    currents = [one.rated_current_a for one in circuit.actuators]
    return None if None in currents else sum(currents)


def check_supply(
    panel: str,
    supply: PowerSupply,
    circuits: Sequence[ActuatorCircuit],
    practice: TradePractice = TRADE_PRACTICE,
) -> list[Finding]:
    """Each output within its limit, all motors within the supply, and in time if run in sequence.

    In alarm everything on the panel counts as opening together (diversity 1.0, common practice [P]).
    """
    findings = _questions(panel, supply) + [finding for one in circuits if (finding := _output_finding(one))]
    if gaps := _missing_figures(panel, supply, circuits):
        return findings + gaps
    currents = [circuit_current_a(one) for one in circuits]
    now = demand(
        currents,
        rated_a=supply.rated_current_a,
        panel_a=supply.alarm_current_a,
        charger_a=supply.charger_current_a or 0.0,
        charger_inhibited=bool(supply.charger_inhibited),
    )
    if supply.sequential:
        return findings + _sequential_findings(panel, supply, circuits, now, practice)
    findings.append(_simultaneous_finding(panel, now))
    return findings + _starting_findings(panel, supply, circuits, now)


def _questions(panel: str, supply: PowerSupply) -> list[Finding]:
    asked = (
        ("current", "rated_current_a"),
        ("voltage", "output_voltage_v"),
        ("quiescent_current", "quiescent_current_a"),
        ("quiescent_current", "alarm_current_a"),
        ("current", "charger_current_a"),
        ("voltage_drop", "own_drop_v"),
        ("delay", "gap_s"),
        ("delay", "stagger_s"),
    )
    sentences = (questioned(q, getattr(supply, field), field=field, subject="power supply") for q, field in asked)
    return [question("figure.unusual", panel, f"{panel}: {words}", PRACTICE) for words in sentences if words]


def _output_finding(circuit: ActuatorCircuit) -> Finding | None:
    """The current of one output against its limit; rated currents that are missing are reported once, elsewhere."""
    total_a, limit_a = circuit_current_a(circuit), circuit.output_limit_a
    code = "supply.output"
    if not circuit.actuators or total_a is None:
        return None
    if limit_a is None:
        return missing(code, circuit.name, "output limit", [], DATA_SHEET, not_checked=f"current of {circuit.name}")
    inputs = (Figure("sum of rated currents", round(total_a, 3), "A"), Figure("output limit", limit_a, "A"))
    left_a, over_a = rounded_down(limit_a - total_a, 2), rounded_up(total_a - limit_a, 2)
    return verdict(
        *(code, circuit.name, total_a <= limit_a + 1e-9),
        f"{circuit.name} takes {total_a:.2f} A of {limit_a:g} A, {left_a:g} A left",
        f"{circuit.name} takes {total_a:.2f} A, {over_a:g} A more than its output gives "
        f"({limit_a:g} A). Move actuators to another output.",
        *(DATA_SHEET, inputs, "sum of rated currents"),
        compared=at_most(round(total_a, 2), limit_a, "A", limit_a - total_a),
    )


def _missing_figures(panel: str, supply: PowerSupply, circuits: Sequence[ActuatorCircuit]) -> list[Finding]:
    gaps = []

    def ask(what: str, owners: list[str]) -> None:
        unchecked = f"supply of {panel}"
        gaps.append(missing("supply.panel", panel, what, owners, DATA_SHEET, not_checked=unchecked))

    if supply.rated_current_a is None:
        ask("rated current", [f"the supply of {panel}"])
    if supply.alarm_current_a is None:
        ask("current in alarm", [panel])
    if supply.charger_inhibited is None:
        ask("whether the charger stops while motors run", [])
    elif not supply.charger_inhibited and supply.charger_current_a is None:
        ask("charger current", [])
    owners = [one.name for circuit in circuits for one in circuit.actuators if one.rated_current_a is None]
    if owners:
        ask("rated current", owners)
    return gaps


def _figures(now: Demand) -> tuple[Figure, ...]:
    return (
        Figure("motors", round(now.motors_a, 3), "A"),
        Figure("panel in alarm", now.panel_a, "A"),
        Figure("charger", now.charger_a, "A"),
        Figure("rated current of the supply", now.rated_a, "A"),
    )


def _simultaneous_finding(panel: str, now: Demand) -> Finding:
    charger = f" with {now.charger_a:g} A for the charger" if now.charger_a else ""
    left_a, over_a = rounded_down(max(now.left_a, 0), 2), rounded_up(-now.left_a, 2)
    return verdict(
        *("supply.panel", panel, now.left_a >= -1e-9),
        f"{panel}: all actuators together take {now.total_a:.2f} A{charger}, {left_a:g} A are left of "
        f"{now.rated_a:g} A",
        f"{panel}: all actuators together take {now.total_a:.2f} A{charger}, {over_a:g} A more than the "
        f"supply gives ({now.rated_a:g} A). Fit a larger supply, or inhibit the charger while motors run, or "
        f"share the actuators with another panel.",
        *(DATA_SHEET, _figures(now), _SIMULTANEOUS),
        compared=at_most(round(now.total_a, 2), now.rated_a, "A", now.left_a),
    )


def _starting_findings(panel: str, supply: PowerSupply, circuits: Sequence[ActuatorCircuit], now: Demand):
    """The inrush. A supply may bear it briefly, so this is a question for its maker, not a verdict."""
    actuators = [one for circuit in circuits for one in circuit.actuators]
    if not actuators or any(one.starting_current_a is None for one in actuators):
        return []
    extra = [max(0.0, one.starting_current_a - one.rated_current_a) for one in actuators]
    peak_a = now.total_a + (max(extra) if supply.stagger_s else sum(extra))
    if peak_a <= now.rated_a:
        return []
    how = "one after another" if supply.stagger_s else "all at once"
    sentence = (
        f"{panel}: starting {how}, the actuators take {rounded_up(peak_a, 2):g} A for a moment; the supply is rated "
        f"{now.rated_a:g} A. Ask its maker whether it bears that, or stagger the starts."
    )
    inputs = (*_figures(now), Figure("peak", peak_a, "A"))
    compared = at_most(rounded_up(peak_a, 2), now.rated_a, "A", now.rated_a - peak_a)
    return [question("supply.starting", panel, sentence, PRACTICE, inputs, compared=compared)]


def _sequential_findings(
    panel: str, supply: PowerSupply, circuits: Sequence[ActuatorCircuit], now: Demand, practice: TradePractice
) -> list[Finding]:
    code, available_a = "supply.sequence", now.rated_a - now.panel_a - now.charger_a
    currents = [circuit_current_a(one) for one in circuits]
    groups = packed_groups(currents, available_a) if available_a > 0 else None
    if groups is None:
        sentence = (
            f"{panel}: {max(available_a, 0):.2f} A are left for motors, but one output alone takes "
            f"{max(currents):.2f} A. Fit a larger supply or split that output."
        )
        return [fail(code, panel, sentence, DATA_SHEET, _figures(now))]
    actuators = [one for circuit in circuits for one in circuit.actuators]
    for what, field in (("stroke", "stroke_mm"), ("speed", "speed_mm_per_s")):
        if owners := [one.name for one in actuators if getattr(one, field) is None]:
            unchecked = f"time of the sequence of {panel}"
            return [missing(code, panel, what, owners, DATA_SHEET, not_checked=unchecked)]
    slowest_s = [
        max((one.stroke_mm / one.speed_mm_per_s for k in group for one in circuits[k].actuators), default=0.0)
        for group in groups
    ]
    total_s, limit_s = sequential_time_s(slowest_s, supply.gap_s), practice.opening_limit_s
    inputs = (*_figures(now), Figure("groups", len(groups)), Figure("gap", supply.gap_s, "s"))
    moved = "1 group is" if len(groups) == 1 else f"{len(groups)} groups one after another are"
    words = f"{panel}: {moved} open after {rounded_up(total_s, 1):g} s"
    formula = "sum over groups of the slowest stroke time + gaps"
    compared = at_most(rounded_up(total_s, 1), limit_s, "s", limit_s - total_s)
    if total_s <= limit_s:
        sentence = (
            f"{words}, within the {limit_s:g} s entered ({EN_12101_2_TIME}): opening in sequence is allowed, because "
            "all are open within the limit."
        )
        return [meets_in_words(code, panel, sentence, EN_12101_2_TIME, inputs, formula, compared=compared)]
    sentence = (
        f"{words}, {rounded_up(total_s - limit_s, 1):g} s beyond {limit_s:g} s. Opening in sequence is allowed only "
        f"where all are open within the limit: fit a supply of {rounded_up(now.total_a, 1):g} A for all at once, or "
        "faster actuators."
    )
    return [fail(code, panel, sentence, EN_12101_2_TIME, inputs, formula, compared=compared)]
