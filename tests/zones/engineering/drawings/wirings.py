"""Wirings of invented panels, sound ones of any size and random ones with anything wrong, for the drawings' tests."""

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

PLUS, MINUS, NONE = Polarity.PLUS, Polarity.MINUS, Polarity.NONE
OUTPUT, DATA, LINE = TerminalKind.OUTPUT, TerminalKind.DATA, TerminalKind.LINE
ACTUATORS_PER_CIRCUIT, DETECTORS_PER_LINE = 6, 10


def terminal(owner, number, block="X1", **fields):
    return WiredTerminal(key=f"{owner}/{block}:{number}", owner=owner, block=block, number=str(number), **fields)


def passing_device(tag, kind, poles, **fields):
    """A device whose wires pass through it: terminals 1… in, the same number out, joined inside."""
    count = len(poles)
    ends = [
        terminal(tag, at + 1 + count * out, kind=what, polarity=pole, passing=Passing.OUT if out else Passing.IN)
        for out in (0, 1)
        for at, (what, pole) in enumerate(poles)
    ]
    links = [Link(f"{tag} inner {at}", ends[at].key, ends[at + count].key, is_internal=True) for at in range(count)]
    return WiredDevice(key=tag, tag=tag, kind=kind, terminals=tuple(ends), **fields), links


class Builder:
    """Puts a panel together circuit by circuit."""

    def __init__(self):
        self.terminals, self.devices, self.cables, self.links = [], [], [], []
        self.elements, self.circuits, self.lines = [], [], []

    def chain(self, poles, made, *, block, first, circuit=None, line=None):
        words = {PLUS: "+", MINUS: "−", NONE: "data"}
        start = [
            terminal(
                "P1", first + at, block, kind=what, polarity=pole, function=words[pole], circuit=circuit, line=line
            )
            for at, (what, pole) in enumerate(poles)
        ]
        self.terminals += start
        before = [each.key for each in start]
        for device, links in made:
            self.devices.append(device)
            self.links += links
            self.cable(before, [each.key for each in device.terminals[: len(poles)]], circuit=circuit, line=line)
            before = [each.key for each in device.terminals[len(poles) :]]
        return before

    def cable(self, near, far, *, spare=0, **fields):
        tag = f"W{len(self.cables) + 1}"
        colours = ("BN", "BU", "BK", "GY", "WH")
        cores = [
            WiredCore(f"{tag}.{at + 1}", at + 1, colours[at], a, b)
            for at, (a, b) in enumerate(zip(near, far, strict=True))
        ]
        cores += [
            WiredCore(f"{tag}.{len(cores) + 1 + at}", len(cores) + 1 + at, "WH", is_spare=True) for at in range(spare)
        ]
        self.cables.append(
            WiredCable(tag, tag, "fire-resisting", len(cores), 1.5, 12.0 + len(tag), cores=tuple(cores), **fields)
        )

    def panel(self):
        return WiredPanel(
            panel=WiredDevice("P1", "P1", "control_panel", "plant room", terminals=tuple(self.terminals)),
            devices=tuple(self.devices),
            cables=tuple(self.cables),
            links=tuple(self.links),
            end_of_line_parts=tuple(self.elements),
            circuits=tuple(self.circuits),
            lines=tuple(self.lines),
        )


def sound_panel(count):
    """A panel with `count` devices: circuits of six actuators, lines of ten call points and detectors."""
    builder = Builder()
    half = (count + 1) // 2
    tag = 0
    for number, start in enumerate(range(0, half, ACTUATORS_PER_CIRCUIT), start=1):
        made = []
        for order in range(min(ACTUATORS_PER_CIRCUIT, half - start)):
            tag += 1
            made.append(
                passing_device(
                    f"M{tag}",
                    "actuator",
                    [(OUTPUT, PLUS), (OUTPUT, MINUS), (DATA, NONE)],
                    circuit=number,
                    order=order + 1,
                    zone=number,
                    group=f"{number}.1",
                    place=f"Stair {number}, vent {order + 1}",
                )
            )
        poles = [(OUTPUT, PLUS), (OUTPUT, MINUS), (DATA, NONE)]
        builder.chain(poles, made, block="X3", first=number * 3 - 2, circuit=number)
        builder.circuits.append(WiredCircuit(number, "addressed", name=f"Stair {number}"))
    tag = 0
    for number, start in enumerate(range(0, count - half, DETECTORS_PER_LINE), start=1):
        made = []
        for order in range(min(DETECTORS_PER_LINE, count - half - start)):
            tag += 1
            kind, prefix = ("manual_call_point", "CP") if order % 5 == 0 else ("smoke_detector", "SD")
            made.append(
                passing_device(
                    f"{prefix}{tag}",
                    kind,
                    [(LINE, PLUS), (LINE, MINUS)],
                    line=number,
                    order=order + 1,
                    zone=number,
                    place=f"Level {order}, corridor",
                )
            )
        last = builder.chain([(LINE, PLUS), (LINE, MINUS)], made, block="X5", first=number * 2 - 1, line=number)
        builder.elements.append(WiredEndOfLine(f"R{number}", *last, 10_000.0))
        builder.lines.append(WiredLine(number, True, 10_000.0, f"Corridors {number}"))
    builder.terminals += [
        terminal("P1", name, "X0", kind=kind, function=function)
        for name, kind, function in (
            ("L", TerminalKind.SUPPLY, "mains L"),
            ("N", TerminalKind.SUPPLY, "mains N"),
            ("PE", TerminalKind.EARTH, "earth"),
            ("B+", TerminalKind.BATTERY, "battery"),
        )
    ]
    return builder.panel()
