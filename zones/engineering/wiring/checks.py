"""What is wrong with the wiring of a panel: findings with the codes `wiring.…`, each naming tags and terminals.

A wiring without a finding agrees with what was entered; it was not measured. Continuity, polarity, insulation and the
resistance of each line are measured on site before anything is powered (handbook process.md §1, row 6).
"""

from collections.abc import Iterator

from zones.engineering.findings import Finding, Severity, worst_first
from zones.engineering.sources import PRACTICE, RECORD
from zones.engineering.wiring.core_checks import CHECKS
from zones.engineering.wiring.follow_ons import folded
from zones.engineering.wiring.joins import bridges, crossed_links, joined_by_links
from zones.engineering.wiring.port_checks import PORT_CHECKS, exchanged_contacts, strange_zones
from zones.engineering.wiring.run_checks import RUN_CHECKS
from zones.engineering.wiring.runs import runs_of
from zones.engineering.wiring.supply_checks import SUPPLY_CHECKS
from zones.engineering.wiring.told_once import once
from zones.engineering.wiring.tracing import BOX, TracedWiring, told
from zones.engineering.wiring.wired_panel import WiredPanel
from zones.engineering.wiring.wrong_runs import cores_between_runs, exchanged_runs


def check_wiring(wired: WiredPanel) -> list[Finding]:
    """Everything that is wrong with a wiring or not known of it, worst first; empty: nothing found.

    Args:     wired: the panel with its devices, cables, links and ends of line; may be as wrong as people make it.
    Returns:  findings; each sentence names the terminals, cores or tags and the remedy, `inputs` holds those names.
    Source:   IEC 61666, IEC 60757, IEC 60445, EN 54-2 and common practice, as each finding says.
    """
    wiring = TracedWiring(wired)
    runs = runs_of(wiring)
    of_all = (*CHECKS, *SUPPLY_CHECKS, crossed_links, bridges)
    found = [finding for check in of_all for finding in check(wiring)]
    found += [finding for run in runs for check in (*RUN_CHECKS, *PORT_CHECKS) for finding in check(run)]
    of_runs = (joined_by_links, exchanged_runs, cores_between_runs, exchanged_contacts, strange_zones)
    found += [finding for check in of_runs for finding in check(wiring, runs)]
    found += _stray_elements(wiring, runs)
    return worst_first([*folded(wiring, runs, once(wiring, runs, found)), *_devices_not_wired(wiring)])


def _stray_elements(wiring, runs) -> Iterator[Finding]:
    """An element on no monitored run does nothing, or belongs to a run that lacks it."""
    known = {element.key for run in runs if run.is_monitored for element in run.elements()}
    for element in wiring.wired.end_of_line_parts:
        if element.key not in known:
            names = f"{wiring.name(element.first)} and {wiring.name(element.second)}"
            sentence = (
                f"The end-of-line {element.kind} across {names} is on no monitored line or output. Record it at its "
                "line or output, move it, or take it out."
            )
            yield told(
                wiring,
                Severity.QUESTION,
                "element_stray",
                sentence,
                PRACTICE,
                terminals=[element.first, element.second],
            )


def _devices_not_wired(wiring) -> Iterator[Finding]:
    """A device on no run (a switch, a sensor, an interface) of which no core is recorded."""
    for device in wiring.wired.devices:
        on_run = device.circuit is not None or device.line is not None or device.link is not None or device.inputs
        if device.kind == BOX or on_run or any(wiring.on_terminal[terminal.key] for terminal in device.terminals):
            continue
        sentence = f"No core is recorded at {device.tag}: its wiring is not checked. Wire it, from its terminals on."
        yield told(wiring, Severity.MISSING, "device_unwired", sentence, RECORD, devices=[device])
