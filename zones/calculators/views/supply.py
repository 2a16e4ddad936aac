"""The power supply: what all actuators take together, or how long they take one group after another."""

from dataclasses import replace

from zones.calculators.forms.supply import SupplyForm
from zones.calculators.views.base import Answer, CalculatorPage, Head
from zones.engineering import Actuator, ActuatorCircuit, PowerSupply
from zones.engineering.findings import Figure, counted, missing, verdict
from zones.engineering.operation import operation_of
from zones.engineering.power_supply import demand, packed_groups, sequential_time_s, staggered_time_s
from zones.engineering.quantities import rounded_down, rounded_up
from zones.engineering.sources import EN_12101_2_TIME, RECORD
from zones.engineering.supply import check_supply

SUPPLY = "this panel"


class SupplyPage(CalculatorPage):
    form_class = SupplyForm
    heading = "Supply and sequence"
    lead = "Can the supply move all actuators at once, and how long does it take one group after another?"
    hint = "Enter what the supply gives, what the panel takes, and each kind of output with its actuators."

    def answer(self, form):
        self.rows = list(form.rows())
        return super().answer(form)

    def calculate(self, figures, practice):
        is_sequence = figures["operation"] == "sequential"
        gaps = _gaps(self.rows)
        if is_sequence and figures["gap_s"] is None:
            gaps.append(
                missing(
                    "supply.sequence", SUPPLY, "pause between groups", [], RECORD, not_checked="time of the sequence"
                )
            )
        if gaps:
            return Answer(tuple(gaps))
        circuits = [circuit for row, values in self.rows for circuit in _circuits(row, values, figures)]
        if is_sequence:
            circuits = _in_groups(circuits, figures)
        supply = PowerSupply(
            rated_current_a=figures["rated_current_a"],
            alarm_current_a=figures["alarm_current_a"],
            charger_current_a=figures["charger_current_a"],
            charger_inhibited=figures["charger_inhibited"],
            sequential=is_sequence,
            gap_s=figures["gap_s"] or 0.0,
            stagger_s=figures["stagger_s"] or 0.0,
        )
        checked = check_supply(operation_of(SUPPLY, supply, circuits, practice=practice), practice)
        # Outputs alike are told once.
        findings = list({one.sentence: one for one in checked if one.code != "figure.unusual"}.values())
        if not is_sequence:
            findings += _staggered(figures, circuits, practice)
        return Answer(tuple(findings), tuple(_heads(figures, circuits, findings)))


def _gaps(rows):
    if not rows:
        what = "outputs and their actuators"
        return [missing("supply.panel", SUPPLY, what, [], RECORD, not_checked="the supply")]
    wanted = (("number of outputs", "outputs"), ("number of actuators", "actuators"))
    return [
        missing("supply.panel", SUPPLY, what, [f"kind {row}"], RECORD, not_checked="the supply")
        for row, values in rows
        for what, name in wanted
        if values[name] is None
    ]


def _circuits(row, values, figures):
    """The outputs of one kind, all of one name. Without a current one actuator stands for all: there is no verdict."""
    number = values["actuators"] if values["current_a"] is not None else 1
    names = [f"actuator {k} of kind {row}" for k in range(1, number + 1)]
    if values["current_a"] is None:
        names = [f"the actuators of kind {row}"]
    actuators = tuple(
        Actuator(
            name,
            rated_current_a=values["current_a"],
            stroke_mm=figures["stroke_mm"],
            speed_mm_per_s=figures["speed_mm_per_s"],
            holds_speed=True,  # asked for at the lowest voltage that reaches it
        )
        for name in names
    )
    outputs = values["outputs"] if values["current_a"] is not None else 1
    return [ActuatorCircuit(f"Output of kind {row}", actuators=actuators, output_limit_a=values["limit_a"])] * outputs


def _in_groups(circuits, figures):
    """Outputs in as few groups as the supply allows: here nobody has set an order yet, so one is proposed."""
    currents = [_current_a(circuit) for circuit in circuits]
    charger_a = 0.0 if figures["charger_inhibited"] else figures["charger_current_a"]
    if None in (*currents, figures["rated_current_a"], figures["alarm_current_a"], charger_a):
        return circuits
    left_a = demand(
        (), rated_a=figures["rated_current_a"], panel_a=figures["alarm_current_a"], charger_a=charger_a
    ).left_a
    groups = packed_groups(currents, left_a) if left_a > 0 else None
    steps = {index: step for step, group in enumerate(groups or [range(len(circuits))], 1) for index in group}
    return [replace(circuit, sequence_step=steps[index]) for index, circuit in enumerate(circuits)]


def _current_a(circuit):
    currents = [one.rated_current_a for one in circuit.actuators]
    return None if None in currents else sum(currents)


def _staggered(figures, circuits, practice):
    """When the last actuator is open, all at once or started one after another."""
    stroke_mm, speed, stagger_s = figures["stroke_mm"], figures["speed_mm_per_s"], figures["stagger_s"]
    if None in (stroke_mm, speed, stagger_s):
        return []
    count = sum(len(circuit.actuators) for circuit in circuits)
    time_s, limit_s = staggered_time_s(stroke_mm / speed, count, stagger_s), practice.opening_limit_s
    inputs = (
        Figure("stroke", stroke_mm, "mm"),
        Figure("speed", speed, "mm/s"),
        Figure("actuators", count),
        Figure("between two starts", stagger_s, "s"),
        Figure("limit", limit_s, "s"),
    )
    words = f"The last of {counted(count, 'actuator')} is open after {rounded_up(time_s, 1):g} s"
    late_s = rounded_up(time_s - limit_s, 1)
    return [
        verdict(
            *("supply.stagger", SUPPLY, time_s <= limit_s),
            f"{words}, {rounded_down(max(limit_s - time_s, 0), 1):g} s inside the {limit_s:g} s entered "
            f"({EN_12101_2_TIME})",
            f"{words}, {late_s:g} s beyond {limit_s:g} s. Shorten the time between starts, or use faster actuators.",
            *(EN_12101_2_TIME, inputs, "time = stroke / speed + (actuators - 1) × time between two starts"),
            limit="",  # the words name it
        )
    ]


def _heads(figures, circuits, findings):
    motors = [_current_a(circuit) for circuit in circuits]
    if None in motors:
        return
    yield Head("all motors together", f"{rounded_up(sum(motors), 2):g} A")
    others = [figures["alarm_current_a"], 0.0 if figures["charger_inhibited"] else figures["charger_current_a"]]
    if figures["charger_inhibited"] is not None and None not in others:
        yield Head("with panel and charger", f"{rounded_up(sum(motors) + sum(others), 2):g} A")
    groups = [one.value for finding in findings for one in finding.inputs if one.name == "groups"]
    if groups and None not in (figures["stroke_mm"], figures["speed_mm_per_s"]):
        each_s = figures["stroke_mm"] / figures["speed_mm_per_s"]
        yield Head("groups", str(groups[0]))
        total_s = sequential_time_s([each_s] * groups[0], figures["gap_s"])
        yield Head("all open after", f"{rounded_up(total_s, 1):g} s")
