"""Whether every core of the data is drawn once, from terminal to terminal, over all sheets."""

from collections import defaultdict

from zones.engineering.drawings.shapes import Sheet
from zones.engineering.wiring.wired_panel import WiredPanel


def is_at(sheet: Sheet, point, terminal: str) -> bool:
    """Whether a wire's end lies on the circle of a terminal."""
    return any(
        abs(y - point[1]) < 0.01 and abs(abs(x - point[0]) - 1.1) < 0.01
        for pin in sheet.pins
        if pin.terminal == terminal
        for x, y in (pin.at, *pin.others)
    )


def badly_drawn_cores(wired: WiredPanel, sheets: list[Sheet]) -> list[str]:
    """Cores that are missing, drawn twice, or end elsewhere than at their terminals."""
    drawn = defaultdict(list)
    for sheet in sheets:
        for wire in sheet.wires:
            if wire.kind == "core":
                drawn[wire.key].append((sheet, wire))
    known, found = wired.terminals(), []
    for cable in wired.cables:
        for core in cable.cores:
            pieces = {wire.part: (sheet, wire) for sheet, wire in drawn.pop(core.key, [])}
            if set(pieces) not in ({""}, {"near", "far"}):
                found.append(f"{core.key}: pieces {sorted(pieces)}")
                continue
            for part, at, terminal in (("near", 0, core.near), ("far", -1, core.far)):
                sheet, wire = pieces.get(part) or pieces[""]
                if terminal in known and not is_at(sheet, wire.points[at], terminal):
                    found.append(f"{core.key}: {part} end not at {terminal}")
    return found + [f"{key}: not in the data" for key in drawn]
