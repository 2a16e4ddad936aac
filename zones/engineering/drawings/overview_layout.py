"""The geometry of a zone overview: bands of zones, inputs at the left, vents at the right, the panel between.

Heads, rows and gaps are multiples of 4 mm. A wire leaves a circuit at 2 mm over a multiple of 4; where it enters
another group it does so at a multiple of 4: wires of two circuits never share a height between the columns.
"""

from dataclasses import dataclass, field
from math import ceil

from zones.engineering.drawings.routing import PITCH_MM, first_fit
from zones.engineering.drawings.shapes import Point, Rect
from zones.engineering.drawings.sheet_frame import DRAWING, field_of_drawing
from zones.engineering.drawings.svg import times_too_large
from zones.engineering.drawings.zone_overview import (
    Band,
    Block,
    InputRow,
    OverviewCircuit,
    OverviewVent,
    ZoneOverview,
    bands_of,
)

ROW_MM = 12.0
BOX_MM = 10.0
HEAD_MM = 8.0  # heading of a band
BAND_GAP_MM = 8.0
PORT_MM = 4.0

INPUT_MM = 104.0
SIGNAL_MM = 38.0
PANEL_MM = 24.0
CIRCUIT_MM, GROUP_MM, VENT_MM = 48.0, 40.0, 78.0
FEED_MM = 10.0


@dataclass(slots=True)
class PlacedBlock:
    """A group's box and its vents; `rect` None where circuits stand that feed nothing."""

    block: Block
    rect: Rect | None
    vents: list[tuple[OverviewVent, Rect]]
    ports: dict[int, float]  # circuit → height at which its wire enters


@dataclass(slots=True)
class PlacedBand:
    """A band with everything in it at its place."""

    band: Band
    y: float
    height: float
    rows: list[tuple[InputRow, Rect]] = field(default_factory=list)
    blocks: list[PlacedBlock] = field(default_factory=list)
    circuits: list[tuple[OverviewCircuit, Rect]] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Feed:
    """The wire of one circuit to one group; wires of one circuit share their trunk, which `has_dot` then."""

    circuit: int
    group: str | None
    points: tuple[Point, ...]
    has_dot: bool = False


@dataclass(slots=True)
class OverviewSheet:
    """A part of the overview with whole bands, or all of it; `x` of the columns by name."""

    number: int
    count: int
    width: float
    height: float
    bands: list[PlacedBand]
    feeds: list[Feed]
    panel: Rect
    x: dict[str, float]
    elsewhere: dict[int, tuple[str, ...]]  # circuit of this sheet → sheet and field where it feeds further groups


def lay_out(overview: ZoneOverview, *, height_mm: float | None = None) -> list[OverviewSheet]:
    """The overview on one canvas, or on sheets of at most `height_mm`; only a band higher than a sheet is cut."""
    circuits = {circuit.number: circuit for circuit in overview.circuits}
    bands = bands_of(overview)
    if height_mm is None:
        parts = [bands]
    else:
        bands = [piece for band in bands for piece in _cut(band, height_mm)]
        limit = height_mm
        parts = [_with_circuits(part, circuits) for part in _parts(bands, limit)]
        # Boxes repeated on a further sheet may make it too high: then a little less goes on each.
        while max(map(_total, parts)) > height_mm and len(parts) < len(bands):
            limit -= ROW_MM
            parts = [_with_circuits(part, circuits) for part in _parts(bands, limit)]
    sheets = [_sheet(part, number, len(parts)) for number, part in enumerate(parts, start=1)]
    _name_other_sheets(sheets, height_mm)
    return sheets


def _total(bands: list[Band]) -> float:
    return sum(_height(band) + BAND_GAP_MM for band in bands) - BAND_GAP_MM


def _cut(band: Band, height_mm: float) -> list[Band]:
    """The band in pieces that fit a sheet: rows of inputs, and vents of a group, go on in the next piece."""
    most = max(1, int((height_mm - HEAD_MM) // ROW_MM))
    if _height(band) <= height_mm:
        return [band]
    blocks = [
        Block(block.group, block.vents[at : at + most], [] if at else block.circuits)
        for block in band.blocks
        for at in range(0, max(len(block.vents), 1), most)
    ]
    filled: list[list[Block]] = [[]]
    for block in blocks:
        if filled[-1] and sum(map(_rows, [*filled[-1], block])) > most:
            filled.append([])
        filled[-1].append(block)
    count = max(len(filled), ceil(len(band.rows) / most))
    return [
        Band(band.zone, band.rows[at * most : (at + 1) * most], filled[at] if at < len(filled) else [])
        for at in range(count)
    ]


def _parts(bands: list[Band], limit_mm: float) -> list[list[Band]]:
    parts: list[list[Band]] = [[]]
    used = 0.0
    for band in bands:
        if parts[-1] and used + _height(band) > limit_mm:
            parts.append([])
            used = 0.0
        parts[-1].append(band)
        used += _height(band) + BAND_GAP_MM
    return parts


def _with_circuits(bands: list[Band], circuits) -> list[Band]:
    """The bands of a sheet with every circuit that feeds them: one drawn on another sheet gets a box here too."""
    here = {circuit.number for band in bands for block in band.blocks for circuit in block.circuits}
    found = []
    for band in bands:
        blocks = []
        for block in band.blocks:
            more = [number for number in _fed(block) if number in circuits and number not in here]
            here |= set(more)
            blocks.append(Block(block.group, block.vents, block.circuits + [circuits[number] for number in more]))
        found.append(Band(band.zone, band.rows, blocks))
    return found


def _fed(block: Block) -> list[int]:
    return sorted({number for vent in block.vents for number in vent.circuits})


def _rows(block: Block) -> int:
    """Rows that a block takes: its vents, its circuits, and room for every wire that enters the group."""
    box = ROW_MM / 2 + 2.0 + PORT_MM * len(_fed(block)) + 1.0
    return max(len(block.vents), len(block.circuits), 1, ceil(box / ROW_MM) if len(_fed(block)) > 1 else 1)


def _height(band: Band) -> float:
    return HEAD_MM + ROW_MM * max(len(band.rows), sum(_rows(block) for block in band.blocks), 1)


def _sheet(bands, number, count):
    x = {"input": 0.0, "signal": INPUT_MM}
    x["panel"] = x["signal"] + SIGNAL_MM
    x["circuit"] = x["panel"] + PANEL_MM + FEED_MM
    placed, y = [], 0.0
    for band in bands:
        placed.append(_place(band, y, x))
        y += placed[-1].height + BAND_GAP_MM
    trunks = _trunks(placed)
    tracks, track_count = first_fit([(min(heights), max(heights)) for _, heights in trunks], 1.6)
    channel = x["circuit"] + CIRCUIT_MM + 3.0
    x["group"] = channel + max(track_count * PITCH_MM + 3.0, 6.0)
    x["vent"] = x["group"] + GROUP_MM + FEED_MM
    for block in (block for band in placed for block in band.blocks):
        block.rect = block.rect and Rect(x["group"], block.rect.y, GROUP_MM, block.rect.height)
        block.vents = [(vent, Rect(x["vent"], rect.y, VENT_MM, BOX_MM)) for vent, rect in block.vents]
    track_x = {number: channel + track * PITCH_MM for (number, _), track in zip(trunks, tracks, strict=True)}
    height = max(y - BAND_GAP_MM, HEAD_MM + ROW_MM)
    width = x["vent"] + VENT_MM
    panel = Rect(x["panel"], 0.0, PANEL_MM, height)
    return OverviewSheet(number, count, width, height, placed, _feeds(placed, track_x, x), panel, x, {})


def _place(band, y, x):
    placed = PlacedBand(band, y, _height(band))
    top = y + HEAD_MM
    for at, row in enumerate(band.rows):
        placed.rows.append((row, Rect(x["input"], top + at * ROW_MM + 1, INPUT_MM, BOX_MM)))
    for block in band.blocks:
        for at, circuit in enumerate(block.circuits):
            placed.circuits.append((circuit, Rect(x["circuit"], top + at * ROW_MM + 1, CIRCUIT_MM, BOX_MM)))
        placed.blocks.append(_place_block(block, top))
        top += _rows(block) * ROW_MM
    return placed


def _place_block(block, top):
    vents = [(vent, Rect(0.0, top + at * ROW_MM + 1, VENT_MM, BOX_MM)) for at, vent in enumerate(block.vents)]
    middle, ports = top + ROW_MM / 2, {}
    home = block.circuits[0].number if block.circuits else None
    for number in _fed(block):
        others = sum(each != home for each in ports)
        ports[number] = middle if number == home else middle + 2.0 + PORT_MM * others
    lowest = max(ports.values(), default=middle)
    rect = Rect(0.0, top + 1, GROUP_MM, max(BOX_MM, lowest + 3.0 - top - 1))
    return PlacedBlock(block, rect if block.vents or block.group else None, vents, ports)


def _homes(placed):
    return {circuit.number: rect.y + BOX_MM / 2 for band in placed for circuit, rect in band.circuits}


def _trunks(placed):
    """(circuit, heights that its upright line joins) of the circuits whose wires turn; the short ones first."""
    joined = {number: [y] for number, y in _homes(placed).items()}
    for block in (block for band in placed for block in band.blocks):
        for number, y in block.ports.items():
            if number in joined:
                joined[number].append(y)
    turning = [(number, heights) for number, heights in joined.items() if len(set(heights)) > 1]
    return sorted(turning, key=lambda trunk: (max(trunk[1]) - min(trunk[1]), trunk[0]))


def _feeds(placed, track_x, x):
    feeds, start, homes = [], x["circuit"] + CIRCUIT_MM, _homes(placed)
    for block in (block for band in placed for block in band.blocks):
        key = block.block.group.key if block.block.group else None
        for number, y in block.ports.items():
            if number not in homes:
                continue
            home = homes[number]
            points = [(start, home), (x["group"], home)]
            if y != home:
                points = [(start, home), (track_x[number], home), (track_x[number], y), (x["group"], y)]
            feeds.append(Feed(number, key, tuple(points), number in track_x))
    return feeds


def _name_other_sheets(sheets, height_mm):
    """Each circuit that feeds groups on several sheets names sheet and field of its boxes on the others: "2/E3"."""
    boxes: dict[int, dict[int, str]] = {}
    for sheet in sheets:
        times = times_too_large(sheet.width, sheet.height, (DRAWING.width, height_mm)) if height_mm else 1.0
        fed = {number for band in sheet.bands for block in band.blocks for number in block.ports}
        for number, rect in ((c.number, rect) for band in sheet.bands for c, rect in band.circuits):
            if number in fed:
                field = field_of_drawing(rect.x + rect.width / 2, rect.y + rect.height / 2, times)
                boxes.setdefault(number, {})[sheet.number] = f"{sheet.number}/{field}"
    for sheet in sheets:
        for number in _homes(sheet.bands):
            if others := [name for at, name in boxes.get(number, {}).items() if at != sheet.number]:
                sheet.elsewhere[number] = tuple(others)
