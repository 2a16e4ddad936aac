"""Runs whose monitoring ends in a junction box: the module stands there, two cores go on to the actuator.

What lies behind the box is not monitored, so the box is the last one before the last device, as near to it as can be.
Sources: EN 54-2 (faults are told only for what lies before the end-of-line part); the rest is common practice.
"""

from collections.abc import Iterator

from zones.engineering.findings import Finding, Severity, listed
from zones.engineering.sources import EN_54_2, RECORD
from zones.engineering.wiring.runs import Run
from zones.engineering.wiring.tracing import BOX, TracedWiring, core_name, told
from zones.engineering.wiring.wired_panel import TerminalKind, WiredCable, WiredCore, WiredDevice, WiredEndOfLine


def placed_in_box(run: Run, element: WiredEndOfLine, box: WiredDevice, last: WiredDevice) -> Iterator[Finding]:
    """A module in a box is recorded to stand there, and one device at most lies behind the box."""
    if not run.devices:
        return
    about = {"terminals": [element.first, element.second], "devices": [box]}
    behind = devices_behind(run, box)
    if len(behind) > 1 or any(device.key != last.key for device in behind):
        sentence = (
            f"The end-of-line {element.kind} of {run.name} is in {box.tag}, but "
            f"{listed(one.tag for one in behind)} lie "
            f"behind it: what lies there is not monitored. Move it to the box before {last.tag}, or to {last.tag}."
        )
        yield told(run.wiring, Severity.FAIL, "element_place", sentence, EN_54_2, **about)
    elif not run.ends_in_box:
        sentence = (
            f"The end-of-line {element.kind} of {run.name} is in {box.tag}, but recorded elsewhere. If the cable "
            f"beyond "
            f"the box is as short as can be, record 'in a junction box'; else move it to {last.tag}."
        )
        yield told(run.wiring, Severity.QUESTION, "element_in_box", sentence, RECORD, **about)


def devices_behind(run: Run, box: WiredDevice) -> list[WiredDevice]:
    """Devices of the run that are reached through this box only, nearest first."""
    far = run.distances()
    if box.key not in far:
        return []
    return [device for device in run.devices if far.get(device.key, 0) > far[box.key]]


def monitoring_carried_on(run: Run) -> Iterator[Finding]:
    """Where the module stands in a box, no monitoring core goes on from there."""
    for element in run.elements() if run.is_monitored else ():
        box = run.wiring.owner(element.first)
        if box is None or box.kind != BOX:
            continue
        onward = cores_past(run, element)
        if onward:
            names = listed(core_name(*pair) for pair in onward)
            sentence = (
                f"{names} carries the monitoring core of {run.name} on from {box.tag}, where its end-of-line "
                f"{element.kind} stands: a break behind the box would not be reported, and the core is live without "
                f"need. Take it off in {box.tag} and park it as spare, or move the {element.kind} to the last device."
            )
            yield told(
                run.wiring,
                Severity.FAIL,
                "monitor_carried_on",
                sentence,
                EN_54_2,
                cores=onward,
                devices=[box],
                terminals=[element.first, element.second],
            )


def cores_past(run: Run, element: WiredEndOfLine) -> list[tuple[WiredCable, WiredCore]]:
    """Cores on the element's monitoring conductor in its box, other than the one that comes from where the run
    starts."""
    starts = [start for start in run.starts if start.kind == TerminalKind.MONITOR]
    watched = next(
        (key for start in starts for key in (element.first, element.second) if key in run.traces[start.key]), None
    )
    if watched is None:
        return []
    came = next(run.traces[start.key].came for start in starts if watched in run.traces[start.key])
    incoming = _core_that_came(came, watched)
    return [
        pair
        for key in _linked(run.wiring, watched)
        for pair in run.wiring.on_terminal[key]
        if pair[1].key != incoming and not pair[1].is_spare
    ]


def _core_that_came(came, key):
    while came.get(key) is not None:
        before, step = came[key]
        if step.core is not None:
            return step.core.key
        key = before
    return None


def _linked(wiring: TracedWiring, key: str) -> list[str]:
    """This terminal and those that links join it to."""
    found = [key]
    for here in found:
        found += [step.terminal for step in wiring.steps[here] if step.core is None and step.terminal not in found]
    return found


def carried_on(wiring: TracedWiring, runs) -> set[str]:
    """Keys of the cores that `monitoring_carried_on` tells of, so that no other check asks to complete them."""
    return {
        core.key
        for run in runs
        if run.is_monitored
        for element in run.elements()
        if (owner := wiring.owner(element.first)) is not None and owner.kind == BOX
        for _, core in cores_past(run, element)
    }
