"""The plots of a panel's design check: voltage along each circuit, states of each line, charge of the battery.

What cannot be drawn says why, in the sentences of the check.
"""

from dataclasses import dataclass

from zones.design_check.checked import CheckedPanel
from zones.design_check.findings import SHOWN
from zones.engineering.battery_check import missing_figures as battery_gaps
from zones.engineering.battery_check import needed_capacity
from zones.engineering.cables import TreeError
from zones.engineering.circuit_check import missing_figures as circuit_gaps
from zones.engineering.findings import Finding, listed, worst_severity
from zones.engineering.line_check import has_element_at_end
from zones.engineering.line_check import missing_figures as line_gaps
from zones.engineering.line_ranges import practice_of_line
from zones.engineering.panel_check import battery_duty, operation_of_panel, source_voltages
from zones.engineering.quantities import QuantityError
from zones.plots.charge import charge_plot
from zones.plots.line_ranges import line_plot
from zones.plots.marks import Plot
from zones.plots.voltage import voltage_plots

NO_GAPS = ()
# A drawing answers for what it draws: not for the rating of a cable, nor for the fuse before it.
OF_THE_VOLTAGE = ("cable.voltage", "cable.large_drop", "cable.tree")


@dataclass(frozen=True, slots=True)
class PlotSection:
    """The plots of one circuit, line or battery; `gaps` are sentences that say why there is none.

    `key`, `word`: the worst that the check says of what is drawn, as a state; empty where it says nothing.
    """

    heading: str
    plots: tuple[Plot, ...]
    gaps: tuple[str, ...] = NO_GAPS
    key: str = ""
    word: str = ""


def plots_of(checked: CheckedPanel) -> list[PlotSection]:
    """Circuits, battery, lines, in the order of the check; those without anything on them are left out."""
    sections = [_of_circuit(checked, k, one) for k, one in enumerate(checked.design.circuits) if one.actuators]
    if checked.design.battery is not None:
        sections.append(_of_battery(checked))
    return sections + [_of_line(checked, k, one) for k, one in enumerate(checked.design.lines) if one.devices]


def _of_circuit(checked, index, circuit):
    mains_v, discharged_v = source_voltages(checked.design, checked.practice)
    heading, state = f"Voltage along {circuit.name}", _state(checked, OF_THE_VOLTAGE, circuit.name)
    if gaps := circuit_gaps(circuit, mains_v, discharged_v):
        return PlotSection(heading, (), _sentences(gaps), *state)
    given = {"mains_v": mains_v, "discharged_v": discharged_v, "practice": checked.practice}
    try:
        plots = voltage_plots(circuit, key=f"circuit-{index}", **given)
    except TreeError as error:
        return PlotSection(heading, (), (str(error),), *state)
    # Axes without any course say nothing that a sentence does not.
    empty = [plot for plot in plots if plot.columns[-1] == "Least V"]
    drawn = tuple(plot for plot in plots if plot not in empty)
    return PlotSection(heading, drawn, tuple(plot.description for plot in empty), *state)


def _of_battery(checked):
    design, tag = checked.design, checked.panel.tag
    battery, duty = design.battery, battery_duty(operation_of_panel(design, checked.practice))
    heading, state = f"Charge of the battery of {tag}", _state(checked, "battery.capacity", tag)
    if gaps := battery_gaps(tag, battery, duty):
        return PlotSection(heading, (), _sentences(gaps), *state)
    try:
        needed = needed_capacity(battery, duty)
    except QuantityError as error:
        return PlotSection(heading, (), (error.in_words(),), *state)
    standby_h = battery.basis.standby_h if battery.standby_h is None else battery.standby_h
    plot = charge_plot(battery.capacity_ah, needed, standby_h, key="battery", name=tag)
    return PlotSection(heading, (plot,), NO_GAPS, *state)


def _of_line(checked, index, line):
    heading, state = f"Line {line.name}", _state(checked, ("line.", "consistency.line_end"), line.name)
    if gaps := line_gaps(line):
        return PlotSection(
            heading, (), tuple(_capital(f"{what} of {listed(owners)} not known.") for what, owners in gaps), *state
        )
    if not has_element_at_end(line):
        return PlotSection(heading, (), ("There is not one end-of-line resistor at its last device.",), *state)
    practice = practice_of_line(line, checked.practice)
    if practice is None:
        return PlotSection(heading, (), (f"Resistance ranges of {line.origin} not known.",), *state)
    return PlotSection(heading, (line_plot(line, key=f"line-{index}", practice=practice),), NO_GAPS, *state)


def _state(checked, codes, subject):
    """(key, word) of the worst finding of these checks about this subject."""
    worst = worst_severity(one for one in checked.findings if one.subject == subject and one.code.startswith(codes))
    return SHOWN[worst] if worst else ("", "")


def _sentences(gaps: list[Finding]) -> tuple[str, ...]:
    return tuple(_capital(one.sentence) for one in gaps)


def _capital(sentence: str) -> str:
    return sentence[:1].upper() + sentence[1:]
