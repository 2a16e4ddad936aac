"""The power supply: what all actuators take together, or how long they take one group after another."""

from dataclasses import replace

from zones.calculators.forms.supply import SupplyForm, rows_of
from zones.calculators.views.base import Answer, CalculatorPage, Head
from zones.engineering import Actuator, ActuatorCircuit, LoadModel, PowerSupply
from zones.engineering.findings import missing
from zones.engineering.opening_times import check_times
from zones.engineering.operation import operation_of
from zones.engineering.power_supply import demand, packed_groups
from zones.engineering.quantities import rounded_up
from zones.engineering.solved_circuits import MAINS
from zones.engineering.sources import RECORD
from zones.engineering.supply import check_supply

SUPPLY = "this panel"


class SupplyPage(CalculatorPage):
    form_class = SupplyForm
    heading = "Supply and sequence"
    lead = "Can the supply move all actuators at once, and how long does it take one group after another?"
    hint = "Enter what the supply gives, what the panel takes, and each kind of output with its actuators."

    def calculate(self, figures, practice):
        is_sequence = figures["operation"] == "sequential"
        rows = list(rows_of(figures))
        gaps = _gaps(rows)
        if is_sequence and figures["gap_s"] is None:
            gaps.append(
                missing(
                    "supply.sequence", SUPPLY, "pause between groups", [], RECORD, not_checked="time of the sequence"
                )
            )
        if gaps:
            return Answer(tuple(gaps))
        circuits = [circuit for row, values in rows for circuit in _circuits(row, values, figures)]
        if is_sequence:
            circuits = _in_groups(circuits, figures)
        supply = PowerSupply(
            rated_current_a=figures["rated_current_a"],
            peak_current_a=figures["peak_current_a"],
            alarm_current_a=figures["alarm_current_a"],
            charger_current_a=figures["charger_current_a"],
            charger_inhibited=figures["charger_inhibited"],
            sequential=is_sequence,
            gap_s=figures["gap_s"] or 0.0,
            stagger_s=figures["stagger_s"] or 0.0,
        )
        operation = operation_of(SUPPLY, supply, circuits, practice=practice)
        checked = check_supply(operation, practice)
        if not is_sequence:  # of a sequence the time of all is told
            checked += _times(operation, figures, practice)
        # Outputs alike are told once.
        findings = list({one.sentence: one for one in checked if one.code != "figure.unusual"}.values())
        return Answer(tuple(findings), tuple(_heads(operation)))


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
            starting_current_a=values["starting_a"],
            starting_s=values["starting_s"],
            stroke_mm=figures["stroke_mm"],
            speed_mm_per_s=figures["speed_mm_per_s"],
            holds_speed=True,  # asked for at the lowest voltage that reaches it
            load_model=LoadModel.CONSTANT_CURRENT,  # the current asked for counts as typed
        )
        for name in names
    )
    outputs = values["outputs"] if values["current_a"] is not None else 1
    limits = {"output_limit_a": values["limit_a"], "output_peak_a": values["peak_a"]}
    return [ActuatorCircuit(f"Output of kind {row}", actuators=actuators, **limits)] * outputs


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


def _times(operation, figures, practice):
    """When the last actuator is open, all at once or started one after another; nothing where nobody asks."""
    if figures["stroke_mm"] is None and figures["speed_mm_per_s"] is None:
        return []
    return [one for one in check_times(operation, practice) if one.code == "time.opening"]


def _heads(operation):
    together_a, supply = operation.together_a(MAINS), operation.supply
    if together_a is None:
        return
    yield Head("all motors together", f"{rounded_up(together_a, 2):g} A")
    charger_a = 0.0 if supply.charger_inhibited else supply.charger_current_a
    is_known = supply.charger_inhibited is not None and None not in (supply.alarm_current_a, charger_a)
    if is_known:
        besides_a = supply.alarm_current_a + charger_a
        yield Head("with panel and charger", f"{rounded_up(together_a + besides_a, 2):g} A")
        if starting_a := operation.starting_a(MAINS):
            yield Head("while starting", f"{rounded_up(starting_a + besides_a, 2):g} A")
    open_s = operation.sequence_s(MAINS)
    if supply.sequential and operation.steps:
        yield Head("groups", str(len(operation.steps)))
    if open_s is not None:
        yield Head("all open after", f"{rounded_up(open_s, 1):g} s")
