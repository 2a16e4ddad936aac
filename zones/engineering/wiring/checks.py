"""What is wrong with the wiring of a panel: findings with the codes `wiring.…`, each naming tags and terminals.

A wiring without a finding agrees with what was entered; it was not measured. Continuity, polarity, insulation and the
resistance of each line are measured on site before anything is powered (handbook process.md §1, row 6).
"""

from collections.abc import Iterator

from zones.engineering.findings import Finding, Severity, worst_first
from zones.engineering.sources import PRACTICE, RECORD
from zones.engineering.wiring.box_checks import carried_on
from zones.engineering.wiring.core_checks import CHECKS
from zones.engineering.wiring.port_checks import PORT_CHECKS, batteries_in_parallel, exchanged_contacts, strange_zones
from zones.engineering.wiring.run_checks import RUN_CHECKS, crossed_links, wrong_runs
from zones.engineering.wiring.runs import runs_of
from zones.engineering.wiring.tracing import BOX, Wiring, core_name, told
from zones.engineering.wiring.wired_panel import WiredPanel


def check_wiring(wired: WiredPanel) -> list[Finding]:
    """Everything that is wrong with a wiring or not known of it, worst first; empty: nothing found.

    Args:     wired: the panel with its devices, cables, links and ends of line; may be as wrong as people make it.
    Returns:  findings; each sentence names the terminals, cores or tags and the remedy, `inputs` holds those names.
    Source:   IEC 61666, IEC 60757, IEC 60445, EN 54-2 and common practice, as each finding says.
    """
    wiring = Wiring(wired)
    runs = runs_of(wiring)
    of_all = (*CHECKS, wrong_runs, crossed_links, batteries_in_parallel)
    found = [finding for check in of_all for finding in check(wiring)]
    found += [finding for run in runs for check in (*RUN_CHECKS, *PORT_CHECKS) for finding in check(run)]
    found += [*exchanged_contacts(wiring, runs), *strange_zones(wiring, runs)]
    found = _without_told_twice(wiring, runs, found)
    found += [*_stray_elements(wiring, runs), *_devices_not_wired(wiring)]
    return worst_first(found)


BREAKS = ("wiring.core_open", "wiring.box_breaks")


def _without_told_twice(wiring, runs, found):
    """What follows from another finding is not told beside it: its remedy is the remedy of that one.

    A core that is to be taken off is not asked to be completed; a break is told where it is, not at what lies behind it
    as well; poles at blocks in parallel are told with them.
    """
    to_take_off = {core_name(cable, core) for cable, core in wiring.cores if core.key in carried_on(wiring, runs)}
    broken = _named(found, *BREAKS, name="terminal")
    parallel = _named(found, "wiring.battery_parallel", name="device")
    return [
        one
        for one in found
        if not (one.code in ("wiring.core_open", "wiring.kind") and one.subject in to_take_off)
        and not (one.code == "wiring.not_reached" and _lies_behind(wiring, runs, one, broken))
        and not (one.code == "wiring.polarity" and _is_at(one, parallel))
    ]


def _named(found, *codes, name):
    return {figure.value for one in found if one.code in codes for figure in one.inputs if figure.name == name}


def _lies_behind(wiring, runs, finding, broken):
    """Whether the conductor that reaches no further is broken at one of these terminals."""
    starts = {figure.value for figure in finding.inputs if figure.name == "terminal"}
    return any(
        wiring.name(key) in broken
        for run in runs
        for start in run.starts
        if wiring.name(start.key) in starts
        for key in run.traces[start.key].came
    )


def _is_at(finding, devices):
    ends = (str(figure.value) for figure in finding.inputs if figure.name == "terminal")
    return any(end.rpartition(" ")[0] in devices for end in ends)


def _stray_elements(wiring, runs) -> Iterator[Finding]:
    """An element on no monitored run does nothing, or belongs to a run that lacks it."""
    known = {element.key for run in runs if run.is_monitored for element in run.elements()}
    for element in wiring.wired.end_elements:
        if element.key not in known:
            names = f"{wiring.name(element.first)} and {wiring.name(element.second)}"
            sentence = (
                f"The end-of-line {element.kind} across {names} is on no monitored line or output. Move it, or take "
                "it out."
            )
            yield told(wiring, Severity.QUESTION, "element_stray", sentence, PRACTICE,
                       terminals=[element.first, element.second])  # fmt: skip


def _devices_not_wired(wiring) -> Iterator[Finding]:
    """A device on no run (a switch, a sensor, an interface) of which no core is recorded."""
    for device in wiring.wired.devices:
        on_run = device.circuit is not None or device.line is not None or device.link is not None or device.inputs
        if device.kind == BOX or on_run or any(wiring.on_terminal[terminal.key] for terminal in device.terminals):
            continue
        sentence = f"No core is recorded at {device.tag}: its wiring is not checked. Wire it, from its terminals on."
        yield told(wiring, Severity.MISSING, "device_unwired", sentence, RECORD, devices=[device])
