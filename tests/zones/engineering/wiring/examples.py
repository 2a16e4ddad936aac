"""Correct wirings as plain data, made from the default patterns; a test spoils one of them and looks what is told.

Keys are names: the terminal "P1 -XL1:1", the cable "W1", the core "W1.2". Practice: one cable per leg, each core from
an outgoing terminal to the incoming one of the same function; the resistor across the outgoing terminals of the last
device.
"""

from dataclasses import replace

from zones.engineering.wiring.patterns import default_pattern, read_pattern, repeated
from zones.engineering.wiring.wired_panel import (
    Link,
    Passing,
    Polarity,
    TerminalKind,
    WiredCable,
    WiredCircuit,
    WiredCore,
    WiredDevice,
    WiredEndOfLine,
    WiredLine,
    WiredPanel,
    WiredTerminal,
)

COLOURS = ("BN", "BU", "BK", "GY", "WH")
ELEMENT_OHM = 10_000.0


def device(tag, kind, drive="", numbers=None, ports=None, pattern="", **fields):
    """A device with the terminals of a pattern (else its default one), and its internal links.

    `numbers` of what a panel repeats; `ports`: the number of each line and input that the device offers, by name.
    """
    terminals, links = repeated(read_pattern(pattern or default_pattern(kind, drive)), numbers or {})
    made = tuple(
        WiredTerminal(
            f"{tag} -{one.name}",
            tag,
            one.block,
            one.number,
            one.function,
            one.kind,
            one.polarity,
            one.passing,
            one.voltage_v,
            **_start(one, number, ports or {}),
            cores_allowed=one.cores_allowed,
        )
        for one, number in terminals
    )
    inside = tuple(Link(f"{tag} {a} {b}", f"{tag} -{a}", f"{tag} -{b}", is_internal=True) for a, b in links)
    return WiredDevice(tag, tag, kind, terminals=made, **fields), inside


def _start(one, number, ports):
    """Of which output, line, data link or input a terminal is a start."""
    of = {"output": "circuit", "line": "line", "data link": "link", "input": "input"}
    if one.each:
        return {of[one.each]: number}
    return {of[one.port.split()[0]]: ports[one.port]} if one.port else {}


def matching(near, far):
    """Outgoing terminals of `near` with the incoming ones of `far` of the same kind and pole."""
    for out in near:
        for into in far:
            if (out.kind, out.polarity) == (into.kind, into.polarity) and into.passing == Passing.IN:
                yield out, into


def leg(tag, near, far, *, spare=1, **of):
    """A cable with a core for each pair of matching terminals, and some spare ones."""
    pairs = list(matching(near, far))
    cores = [
        WiredCore(f"{tag}.{n}", n, COLOURS[n - 1], out.key, into.key) for n, (out, into) in enumerate(pairs, start=1)
    ]
    cores += [
        WiredCore(f"{tag}.{n}", n, COLOURS[n - 1], is_spare=True) for n in range(len(pairs) + 1, len(pairs) + spare + 1)
    ]
    return WiredCable(tag, tag, "fire resisting", len(cores), 1.5, 10.0, cores=tuple(cores), **of)


def make_wired(lines=(2, 0), circuits=(("polarity", 2),), spare=1):
    """A panel with lines of so many detectors and circuits of (drive, actuators), all of it wired correctly."""
    numbers = {"output": range(1, len(circuits) + 1), "line": range(1, len(lines) + 1)}
    panel, _ = device("P1", "control_panel", circuits[0][0] if circuits else "", numbers)
    # Each output has the third terminal of its own drive.
    panel = replace(panel, terminals=tuple(_of_its_drive(one, circuits) for one in panel.terminals))
    devices, cables, links, elements = [], [], [], []
    orders = [("line", number, "smoke_detector", "", count) for number, count in enumerate(lines, start=1)]
    orders += [("circuit", number, "actuator", *circuits[number - 1]) for number in numbers["output"]]
    for of, number, kind, drive, count in orders:
        kinds = (TerminalKind.LINE,) if of == "line" else (TerminalKind.OUTPUT, TerminalKind.DATA, TerminalKind.MONITOR)
        out = [one for one in panel.terminals if getattr(one, of) == number and one.kind in kinds]
        for step in range(1, count + 1):
            tag = f"{'SD' if of == 'line' else 'M'}{number}.{step}"
            made, inside = device(tag, kind, drive, order=step, **{of: number})
            cables.append(
                leg(f"W{'L' if of == 'line' else ''}{number}.{step}", out, made.terminals, spare=spare, **{of: number})
            )
            devices.append(made)
            links.extend(inside)
            out = [one for one in made.terminals if one.passing == Passing.OUT]
        if of == "line" or drive == "polarity":
            elements.append(element_across(f"R{of}{number}", out))
    return WiredPanel(
        panel,
        tuple(devices),
        tuple(cables),
        tuple(links),
        tuple(elements),
        tuple(WiredCircuit(number, drive, drive == "polarity") for number, (drive, _) in enumerate(circuits, start=1)),
        tuple(WiredLine(number, count > 0, ELEMENT_OHM) for number, count in enumerate(lines, start=1)),
    )


def _of_its_drive(terminal, circuits):
    if terminal.kind not in (TerminalKind.MONITOR, TerminalKind.DATA):
        return terminal
    addressed = circuits[terminal.circuit - 1][0] == "addressed"
    return replace(terminal, kind=TerminalKind.DATA if addressed else TerminalKind.MONITOR)


def element_across(key, out, value=ELEMENT_OHM):
    """A resistor between the minus and the conductor that is watched: the monitoring core, else the plus."""
    minus = next(one for one in out if one.polarity == Polarity.MINUS)
    watched = next((one for one in out if one.kind == TerminalKind.MONITOR), None)
    watched = watched or next(one for one in out if one.polarity == Polarity.PLUS)
    return WiredEndOfLine(key, watched.key, minus.key, value)


def with_core(wired, key, **changes):
    """The same wiring with one core changed."""
    cables = tuple(
        replace(cable, cores=tuple(replace(core, **changes) if core.key == key else core for core in cable.cores))
        for cable in wired.cables
    )
    return replace(wired, cables=cables)


def with_cable(wired, key, **changes):
    return replace(wired, cables=tuple(replace(one, **changes) if one.key == key else one for one in wired.cables))


def with_terminal(wired, key, **changes):
    """The same wiring with one terminal changed, at the panel or at a device."""

    def changed(owner):
        return replace(owner, terminals=tuple(replace(t, **changes) if t.key == key else t for t in owner.terminals))

    return replace(wired, panel=changed(wired.panel), devices=tuple(map(changed, wired.devices)))


def with_box(wired, break_at=None, leg="W1.1", box="JB1", onward="WB"):
    """A junction box in a leg, else in the first of output 1; `break_at`: number of the core that is not linked on.

    `onward`: the cable behind the box."""
    before = next(cable for cable in wired.cables if cable.key == leg)
    used = [core for core in before.cores if not core.is_spare]
    numbers = [core.number for core in used]
    ways = [[WiredTerminal(f"{box} -X{b}:{n}", box, f"X{b}", str(n)) for b in (1, 2)] for n in numbers]
    pairs = list(zip(used, ways, strict=True))
    first = replace(before, cores_count=len(pairs), cores=tuple(replace(core, far=a.key) for core, (a, _) in pairs))
    cores = tuple(replace(core, key=f"{onward}.{core.number}", near=b.key) for core, (_, b) in pairs)
    second = replace(before, key=onward, tag=onward, cores_count=len(pairs), cores=cores)
    links = [Link(f"{box}{n}", a.key, b.key) for n, (a, b) in enumerate(ways, start=1) if n != break_at]
    joining = WiredDevice(box, box, "junction_box", terminals=tuple(one for pair in ways for one in pair))
    others = tuple(cable for cable in wired.cables if cable.key != leg)
    return replace(
        wired, devices=(*wired.devices, joining), cables=(first, second, *others), links=(*wired.links, *links)
    )


def core_of(wired, key):
    return next(core for cable in wired.cables for core in cable.cores if core.key == key)


def swapped(wired, first, second, end="far"):
    """The same wiring with the far (or near) ends of two cores changed over."""
    one, other = core_of(wired, first), core_of(wired, second)
    return with_core(with_core(wired, first, **{end: getattr(other, end)}), second, **{end: getattr(one, end)})
