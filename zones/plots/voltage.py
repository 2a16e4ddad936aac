"""Voltage along an actuator circuit, from the panel through its junctions to each actuator, in each condition."""

from zones.engineering.circuits import ActuatorCircuit, CircuitModel, CircuitVoltages, circuit_model, conditions
from zones.engineering.findings import counted
from zones.engineering.networks import PANEL
from zones.engineering.quantities import rounded_down
from zones.engineering.trade_practice import TRADE_PRACTICE, TradePractice
from zones.plots.line_chart import Axis, Level, LineChart, NamedPlace, Series, line_chart
from zones.plots.marks import Plot, joined
from zones.plots.scales import rounded_out

_MOST_LEVELS = 3
# (source, starting) → name and look: bold and thin, whole and dashed, so that a copy in black tells them apart.
_COURSES = {
    ("mains", False): ("mains", 1),
    ("mains", True): ("mains, start", 2),
    ("end of discharge", False): ("battery", 3),
    ("end of discharge", True): ("battery, start", 4),
}


def voltage_plots(
    circuit: ActuatorCircuit,
    *,
    mains_v: float | None,
    discharged_v: float | None,
    key: str,
    practice: TradePractice = TRADE_PRACTICE,
) -> list[Plot]:
    """One plot of the circuit, a second one in the fire where that is computed. All figures must be known.

    Args:     mains_v, discharged_v: at the panel's output, V; key: unique on the page.
    Raises:   TreeError: the runs do not form a tree, or an actuator hangs nowhere.
    """
    model = circuit_model(circuit, practice)
    answers = [model.voltages(one) for one in conditions(model, mains_v=mains_v, discharged_v=discharged_v)]
    plots = []
    for in_fire in model.trees:
        same = [answer for answer in answers if answer.condition.in_fire == in_fire]
        plots.append(_plot(model, same, f"{key}-fire" if in_fire else key, in_fire))
    return plots


def _plot(model: CircuitModel, answers: list[CircuitVoltages], key: str, in_fire: bool) -> Plot:
    circuit, order = model.circuit, list(_COURSES)
    drawn = [answer for answer in answers if answer.holds]
    drawn.sort(key=lambda answer: order.index(_kind(answer)))
    tree = model.trees[False]
    metres = [tree.route_m(k) for k in range(len(tree.runs))]
    least = sorted({one.minimum_voltage_v for one in circuit.actuators}, reverse=True)[:_MOST_LEVELS]
    volts = [v for answer in drawn for v in answer.node_v.values()]
    sources = [answer.condition.source_v for answer in answers]
    low, high = rounded_out(min([*volts, *least, *sources]), max([*least, *sources]))
    where = f"{circuit.name}, in the fire" if in_fire else circuit.name
    return line_chart(
        LineChart(
            key=key,
            title=f"Voltage along {where}",
            description=_description(circuit, drawn, where),
            x=Axis("from the panel", "m", 0.0, max(metres)),
            y=Axis("voltage", "V", low, high),
            series=tuple(_series(model, answer, metres) for answer in drawn),
            levels=tuple(Level(f"least {volts:g} V", volts) for volts in least),
            places=tuple(_places(model, metres)),
            columns=("At", "m", "Least V", *(f"{_words(one)} V" for one in drawn)),
            rows=tuple(_rows(model, drawn, metres)),
            notes=tuple(
                f"Not drawn: {answer.condition}. The cable cannot deliver this power."
                for answer in answers
                if answer not in drawn
            ),
        )
    )


def _words(answer: CircuitVoltages) -> str:
    """The condition as the head of a narrow column."""
    return _COURSES[_kind(answer)][0].replace(",", "").capitalize()


def _kind(answer: CircuitVoltages) -> tuple[str, bool]:
    return answer.condition.source, answer.condition.starting


def _series(model: CircuitModel, answer: CircuitVoltages, metres: list[float]) -> Series:
    """The course of one condition: a line along each branch, dots at the actuators."""
    tree, source = model.trees[False], (0.0, answer.condition.source_v)
    at = [(metres[k], volts) for k, (_, _, volts) in enumerate(answer.along(tree))]
    segments = [(source if feeder == PANEL else at[feeder], at[k]) for k, feeder in enumerate(tree.fed_from)]
    # The name belongs at the farthest end, so the branch that reaches it comes last.
    lines = sorted(joined(segments), key=lambda line: line[-1][0])
    name, look = _COURSES[_kind(answer)]
    dots = dict.fromkeys(at[place] for place in model.places)
    return Series(name, tuple(tuple(line) for line in lines), look, tuple(dots))


def _places(model: CircuitModel, metres: list[float]):
    """Actuators by their distance; those at one distance share a name."""
    names: dict[float, list[str]] = {}
    for one, place in zip(model.circuit.actuators, model.places, strict=True):
        names.setdefault(metres[place], []).append(one.name)
    for distance, sharing in sorted(names.items()):
        words = sharing[0] if len(sharing) == 1 else f"{sharing[0]} +{len(sharing) - 1}"
        yield NamedPlace(words, distance)


def _rows(model: CircuitModel, drawn: list[CircuitVoltages], metres: list[float]):
    for one, place in zip(model.circuit.actuators, model.places, strict=True):
        volts = (f"{rounded_down(answer.actuator_v[one.name], 2):.2f}" for answer in drawn)
        yield (one.name, f"{metres[place]:.1f}", f"{one.minimum_voltage_v:g}", *volts)


def _description(circuit: ActuatorCircuit, drawn: list[CircuitVoltages], where: str) -> str:
    """The drawing in a sentence or two: where the least is left, and how much."""
    if not drawn:
        return f"{where}: no course can be drawn, the cable cannot deliver the power."
    worst = min(drawn, key=lambda answer: answer.worst[1])
    actuator, margin_v = worst.worst
    volts = rounded_down(worst.actuator_v[actuator.name], 2)
    side = "above" if margin_v >= 0 else "below"
    return (
        f"The voltage falls from the panel to {counted(len(circuit.actuators), 'actuator')}. Least is left at "
        f"{actuator.name} {worst.condition}: {volts:.2f} V, {abs(rounded_down(margin_v, 2)):.2f} V {side} its least of "
        f"{actuator.minimum_voltage_v:g} V."
    )
