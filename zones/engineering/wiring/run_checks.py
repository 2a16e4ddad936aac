"""Checks along a run: whether every device is reached, in one line without ring or tee, with one resistor at its end.

Sources: EN 54-2 (faults of monitored lines are told, only for what lies before the resistor); the handbook's
practice: one resistor, at the last device; at the panel's terminals on an unused line.
"""

from collections import Counter
from collections.abc import Iterator

from zones.engineering.findings import Finding, Severity, listed
from zones.engineering.sources import EN_54_2, RECORD
from zones.engineering.wiring.box_checks import monitoring_carried_on, placed_in_box
from zones.engineering.wiring.runs import Run, pole_word
from zones.engineering.wiring.tracing import BOX, core_name, told
from zones.engineering.wiring.wired_panel import Passing, TerminalKind, WiredCircuit, WiredEndOfLine


def reached(run: Run) -> Iterator[Finding]:
    """Every device of a run is joined to the panel by each conductor that it needs."""
    if not run.devices:
        return
    panel = run.wiring.wired.panel
    if not run.starts:
        sentence = (
            f"No terminal of {panel.tag} is recorded for {run.name}: its wiring is not checked. Make the panel's "
            "terminals from its wiring pattern."
        )
        yield told(run.wiring, Severity.MISSING, "no_terminals", sentence, RECORD, devices=[panel])
        return
    if not run.is_begun and not run.order.is_complete:
        names = listed(device.tag for device in run.devices)
        sentence = (
            f"{_capital(run.name)} is not yet wired: no core is recorded from {run.origin.tag} to {names}. Wire it."
        )
        yield told(run.wiring, Severity.MISSING, "run_unwired", sentence, RECORD, devices=run.devices)
        return
    lacking = {}
    for device in run.devices:
        for start in run.needed_at(device):
            if not any(terminal.key in run.traces[start.key] for terminal in device.terminals):
                lacking.setdefault(start.key, []).append(device)
    for key, devices in lacking.items():
        start = run.wiring.terminals[key]
        far, trace = run.distances(), run.traces[key]
        ends = [run.wiring.owner(terminal) for terminal in trace.came]
        last = max(ends, key=lambda owner: far.get(owner.key, 0))
        sentence = (
            f"{_capital(run.name)}: {listed(device.tag for device in devices)} not joined to "
            f"{run.wiring.name(key)} ({pole_word(start)}), which comes as far as {last.tag}. Complete the cores and "
            "links on the way."
        )
        yield told(run.wiring, run.unfinished, "not_reached", sentence, EN_54_2, terminals=[key], devices=devices)


def shape(run: Run) -> Iterator[Finding]:
    """A monitored run goes from device to device, without ring and without tee."""
    edges = run.edges()
    if not run.is_monitored or not edges:
        return
    cables = [cable for cable, _, _ in edges.values()]
    nodes = {key for _, here, there in edges.values() for key in (here, there)}
    if len({frozenset((here, there)) for _, here, there in edges.values()}) >= len(nodes):
        sentence = (
            f"{_capital(run.name)} closes a ring through {listed(cable.tag for cable in cables)}: a break in it is not "
            "reported. Take one cable off, so that the run ends at the device with the end-of-line part."
        )
        yield told(run.wiring, Severity.FAIL, "ring", sentence, EN_54_2, cables=cables)
        return
    origin = run.origin.key
    ways = Counter(key for _, here, there in edges.values() for key in (here, there))
    for key, number in ways.items():
        if number > (1 if key == origin else 2):
            owner = run.wiring.owners[key]
            branching = [cable for cable, here, there in edges.values() if key in (here, there)]
            sentence = (
                f"{_capital(run.name)} branches at {owner.tag} ({listed(cable.tag for cable in branching)}): only the "
                "branch with the resistor is monitored. Loop the cable through every device."
            )
            yield told(run.wiring, Severity.FAIL, "tee", sentence, EN_54_2, devices=[owner], cables=branching)


def order(run: Run) -> Iterator[Finding]:
    """Devices are wired in their recorded order."""
    far = run.distances()
    wired = [far[device.key] for device in run.devices if device.key in far]
    if wired != sorted(wired):
        names = listed(device.tag for device in sorted(run.devices, key=lambda one: far.get(one.key, len(far))))
        sentence = (
            f"{_capital(run.name)} is wired in the order {names}, but recorded in another. Correct the order of the "
            "positions, or the wiring."
        )
        yield told(run.wiring, Severity.QUESTION, "order", sentence, RECORD, devices=run.devices)


def boxes(run: Run) -> Iterator[Finding]:
    """What comes into a junction box goes on from it."""
    for start in run.starts:
        trace = run.traces[start.key]
        for key, came in trace.came.items():
            owner = run.wiring.owner(key)
            if came is None or came[1].core is None or owner is None or owner.kind != BOX:
                continue
            ends_here = run.ends_in_box and start.kind == TerminalKind.MONITOR
            if len(run.wiring.steps[key]) == 1 and not ends_here and not _element_at(run.wiring, key):
                cable, core = came[1].cable, came[1].core
                sentence = (
                    f"{owner.tag} breaks {run.name}: {core_name(cable, core)} ({pole_word(start)}) ends at "
                    f"{run.wiring.name(key)}. Link it to the terminal of the core that goes on."
                )
                yield told(
                    run.wiring,
                    run.unfinished,
                    "box_breaks",
                    sentence,
                    EN_54_2,
                    cores=[(cable, core)],
                    terminals=[key],
                    devices=[owner],
                )


def _element_at(wiring, key):
    return any(key in (element.first, element.second) for element in wiring.wired.end_of_line_parts)


def shorts(run: Run) -> Iterator[Finding]:
    """The conductors of a run touch nowhere."""
    for number, first in enumerate(run.starts):
        for second in run.starts[number + 1 :]:
            is_other = run.is_input or first.polarity != second.polarity
            if is_other and second.key in run.traces[first.key]:
                a, b = run.wiring.name(first.key), run.wiring.name(second.key)
                sentence = (
                    f"{_capital(run.name)}: {a} and {b} are joined to each other, a short. Find the link or core that "
                    "joins them and take it out before anything is powered."
                )
                yield told(run.wiring, Severity.FAIL, "short", sentence, EN_54_2, terminals=[first.key, second.key])


def _capital(text):
    return text[:1].upper() + text[1:]


# End of line ----------------------------------------------------------------------------------------------------------


def elements(run: Run) -> Iterator[Finding]:
    """One resistor or module, at the far end, across the outgoing terminals, of the value that the line needs."""
    if not run.is_monitored:
        return
    found, last = run.elements(), run.last()
    # The same finding as 'not yet wired' or 'not joined', until the way to the end is there.
    is_due = run.order.is_complete or (run.is_reached and (run.is_begun or not run.devices))
    if run.starts and not found and is_due:
        where = f"at {last.tag}, the last device"
        if not run.devices:
            where = f"at the terminals of {run.origin.tag}, as it is unused"
        elif run.ends_in_box:
            where = f"in the junction box before {last.tag}, as recorded"
        sentence = f"{_capital(run.name)} has no {run.end_part}. Fit it {where}, and record it."
        about = {"terminals": [start.key for start in run.starts], "devices": [last]}
        yield told(run.wiring, run.unfinished, "element_missing", sentence, EN_54_2, **about)
    if len(found) > 1:
        places = listed(f"{run.wiring.name(one.first)} and {run.wiring.name(one.second)}" for one in found)
        sentence = (
            f"{_capital(run.name)} has {len(found)} {run.end_part}s: across {places}. Leave the one "
            f"{'in the box before ' if run.ends_in_box else 'at '}{last.tag} and take the others out."
        )
        keys = [key for one in found for key in (one.first, one.second)]
        yield told(run.wiring, Severity.FAIL, "element_two", sentence, EN_54_2, terminals=keys)
        return
    for element in found:
        yield from _placed(run, element, last)
        yield from _across(run, element)
        yield from _valued(run, element)


def _placed(run, element, last):
    owner = run.wiring.owner(element.first)
    if owner is not None and owner.kind == BOX:
        yield from placed_in_box(run, element, owner, last)
        return
    if run.ends_in_box and run.devices and owner is not None:
        sentence = (
            f"The end-of-line {element.kind} of {run.name} is at {owner.tag}, but is recorded to stand in a "
            f"junction box. "
            f"Move it into the box before {last.tag}, or correct the place recorded."
        )
        yield told(
            run.wiring,
            Severity.FAIL,
            "element_place",
            sentence,
            EN_54_2,
            terminals=[element.first, element.second],
            devices=[owner],
        )
        return
    if owner is None or owner.key == last.key:
        return
    across = f"across {run.wiring.name(element.first)} and {run.wiring.name(element.second)}"
    if not run.devices:
        sentence = (
            f"The end-of-line {element.kind} of {run.name}, which is unused, is {across}. Put it at the terminals of "
            f"{run.origin.tag}, where the {run.name.rpartition(' ')[0]} starts."
        )
    else:
        behind = "at the panel" if run.wiring.is_at_panel(element.first) else f"at {owner.tag}"
        sentence = (
            f"The end-of-line {element.kind} of {run.name} is {behind}, {across}, but {last.tag} is the last device: "
            "what lies behind "
            f"it is not monitored. Move it to {last.tag}."
        )
    yield told(
        run.wiring,
        Severity.FAIL,
        "element_place",
        sentence,
        EN_54_2,
        terminals=[element.first, element.second],
        devices=[owner],
    )


def _across(run: Run, element: WiredEndOfLine):
    starts = [run.where(key) for key in (element.first, element.second)]
    names = f"{run.wiring.name(element.first)} and {run.wiring.name(element.second)}"
    about = {"terminals": [element.first, element.second]}
    if None in starts:
        loose = listed(
            run.wiring.name(key) for key, at in zip((element.first, element.second), starts, strict=True) if at is None
        )
        sentence = (
            f"The end-of-line {element.kind} across {names} is not joined to {run.name} at {loose}. Complete the "
            "cores, or move it "
            "to terminals of the run."
        )
        yield told(run.wiring, run.unfinished, "element_loose", sentence, EN_54_2, **about)
    elif wrong := _not_as_monitored(run, starts):
        sentence = f"The end-of-line {element.kind} across {names} {wrong}"
        yield told(run.wiring, Severity.FAIL, "element_across", sentence, EN_54_2, **about)
    elif starts[0].key == starts[1].key:
        sentence = (
            f"The end-of-line {element.kind} has both ends on one conductor of {run.name}: {names}. Put it across the "
            "two poles."
        )
        yield told(run.wiring, Severity.FAIL, "element_across", sentence, EN_54_2, **about)
    elif bad := _before_the_end(run, element):
        sentence = (
            f"The end-of-line {element.kind} across {names} sits on incoming terminals "
            f"({listed(map(run.wiring.name, bad))}): the way "
            "through the device is not monitored. Move it to the outgoing terminals."
        )
        yield told(run.wiring, Severity.FAIL, "element_across", sentence, EN_54_2, **about)


def _not_as_monitored(run: Run, starts):
    """What is wrong where the part is on other conductors than those that monitor the cable."""
    monitored_by, has_core = getattr(run.order, "monitored_by", ""), any(s.kind == TerminalKind.MONITOR for s in starts)
    if monitored_by == "three" and not has_core and any(one.kind == TerminalKind.MONITOR for one in run.starts):
        return (
            f"leaves the monitoring core of {run.name} out, which then ends open. Put it between the monitoring core "
            "and the feed core that the maker names."
        )
    if monitored_by == "two" and has_core:
        return (
            f"is on the monitoring core, but {run.name} is recorded as monitored by its two feed cores. Correct the "
            "record, or put it across the feed cores."
        )
    return ""


def _before_the_end(run, element):
    """Incoming terminals that the resistor sits on although the device has an outgoing one of the same kind."""
    owner, bad = run.wiring.owner(element.first), []
    for key in (element.first, element.second):
        terminal = run.wiring.terminals[key]
        outgoing = [t for t in owner.terminals if t.passing == Passing.OUT and t.kind == terminal.kind]
        if terminal.passing == Passing.IN and outgoing:
            bad.append(key)
    return bad


def _valued(run: Run, element: WiredEndOfLine):
    if element.kind != "resistor" or not (run.is_line or run.is_input):
        return
    names = f"{run.wiring.name(element.first)} and {run.wiring.name(element.second)}"
    about = {"terminals": [element.first, element.second]}
    wanted, value = run.element_ohm, element.value_ohm
    if wanted is None or value is None:
        whose = f"that {run.name} needs" if wanted is None else f"of the resistor across {names}"
        sentence = f"{_capital(run.name)}: the value {whose} is not known, so it is not checked. Enter it."
        yield told(run.wiring, Severity.MISSING, "element_value_unknown", sentence, RECORD, **about)
    elif abs(value - wanted) > VALUE_TOLERANCE * wanted:
        sentence = (
            f"The end-of-line resistor across {names} has {value:g} Ω, but {run.name} needs {wanted:g} Ω. Fit the "
            "right one, or "
            "correct the record."
        )
        yield told(run.wiring, Severity.FAIL, "element_value", sentence, EN_54_2, **about)


# Parts of the same nominal value; a neighbour of the E24 series is 9 % off (IEC 60063). Common practice.
VALUE_TOLERANCE = 0.05


def drives(run: Run) -> Iterator[Finding]:
    """Without the drive of an output nobody can say whether it needs a resistor."""
    if isinstance(run.order, WiredCircuit) and not run.order.drive and run.devices:
        sentence = (
            f"Drive of {run.name} not known: whether it needs an end-of-line module or a data core is not checked. "
            "Enter it "
            "at the circuit."
        )
        yield told(run.wiring, Severity.MISSING, "drive_unknown", sentence, RECORD, devices=run.devices)


RUN_CHECKS = (drives, reached, shape, order, boxes, shorts, elements, monitoring_carried_on)
