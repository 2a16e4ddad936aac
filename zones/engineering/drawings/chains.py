"""Which device stands in which row: the bands of a panel, one row per branch of the wiring."""

from collections import defaultdict
from dataclasses import dataclass, field

from zones.engineering.drawings.bands import Band, bands_of
from zones.engineering.wiring.wired_panel import WiredDevice, WiredPanel

PANEL_TERMINALS_PER_ROW = 24  # of those with no wire, so that a row fits a sheet


@dataclass(slots=True)
class ChainRow:
    """Devices in columns from `start` (the panel's own terminals stand in column 0); `chain` is the same for the
    pieces of a row that was cut."""

    heading: tuple[str, ...]
    chain: int = 0
    start: int = 1
    offset: int = 0  # place in the chain of the first device
    devices: list[WiredDevice] = field(default_factory=list)
    panel_terminals: list[str] = field(default_factory=list)
    shows_heading: bool = True


def loose_cable(key: str, tag: str) -> WiredDevice:
    """A stand-in for a cable none of whose ends is recorded, so that its cores are drawn somewhere."""
    return WiredDevice(key=f"loose cable {key}", tag=tag, kind="loose_cable")


def neighbours_of(wired: WiredPanel) -> dict[str, set[str]]:
    """Which device is joined to which by a core or by a link that leaves a device."""
    owner = {key: terminal.owner for key, terminal in wired.terminals().items()}
    found: dict[str, set[str]] = defaultdict(set)
    pairs = [(core.near, core.far) for cable in wired.cables for core in cable.cores]
    pairs += [(link.first, link.second) for link in wired.links]
    for first, second in pairs:
        a, b = owner.get(first), owner.get(second)
        if a is not None and b is not None and a != b:
            found[a].add(b)
            found[b].add(a)
    return found


def rows_of(wired: WiredPanel, loose: list[WiredDevice]) -> list[ChainRow]:
    """All rows of a panel: circuits, lines, data links, inputs, other devices, terminals of the panel with no wire,
    loose cables."""
    joined = neighbours_of(wired)
    bands, spare = bands_of(wired, joined)
    rows: list[ChainRow] = []
    for band in bands:
        rows.extend(_rows_of_band(band, wired.panel.key, joined))
    for at in range(0, len(spare), PANEL_TERMINALS_PER_ROW):
        rows.append(ChainRow(("Other terminals",), panel_terminals=spare[at : at + PANEL_TERMINALS_PER_ROW]))
    rows.extend(ChainRow(("Cable with no end recorded",), devices=[device]) for device in loose)
    for number, row in enumerate(rows):
        row.chain = number
    return rows


def _rows_of_band(band: Band, panel_key, joined):
    """Follow the wires from the panel, the device of the lowest order first; a branch begins a row of its own, and so
    does a run that starts at one of the devices."""
    by_key = {device.key: device for device in band.devices}
    place = {device.key: number for number, device in enumerate(band.devices)}
    branches = band.branches

    def ranked(keys):
        order = {key: by_key[key].order for key in keys}
        return sorted(keys, key=lambda key: (key in branches, order[key] is None, order[key] or 0, place[key]))

    rows = [ChainRow(band.heading, panel_terminals=band.panel_terminals)]
    seen: set[str] = set()

    def follow(key, column, row):
        waiting = [(key, column, row)]
        while waiting:
            key, column, row = waiting.pop()
            if key in seen:
                continue
            seen.add(key)
            if row is None:
                row = ChainRow(branches.get(key, band.heading), start=column, shows_heading=key in branches)
                rows.append(row)
            row.devices.append(by_key[key])
            onward, goes_on, found = ranked((joined[key] & set(by_key)) - seen), row, []
            for other in onward:
                on = goes_on if branches.get(other) == branches.get(key) else None
                goes_on = None if on else goes_on
                found.append((other, column + 1, on))
            waiting += found[::-1]

    for number, key in enumerate(ranked(joined[panel_key] & set(by_key))):
        follow(key, 1, None if number else rows[0])
    for key in ranked(set(by_key)):  # no wire leads here yet: at the end of the first row
        if key not in seen:
            is_branch = key in branches
            follow(key, 1 + (0 if is_branch else len(rows[0].devices)), None if is_branch else rows[0])
    return rows


def cut_rows(rows: list[ChainRow], columns: int) -> list[ChainRow]:
    """Rows of at most `columns` devices; a longer one goes on in the next row from column 1."""
    found = []
    for row in rows:
        start = (row.start - 1) % columns + 1
        devices, offset, is_first = list(row.devices), 0, True
        while is_first or devices:
            taken, devices = devices[: columns + 1 - start], devices[columns + 1 - start :]
            found.append(
                ChainRow(
                    row.heading,
                    row.chain,
                    start,
                    offset,
                    taken,
                    row.panel_terminals if is_first else [],
                    row.shows_heading and is_first,
                )
            )
            offset, start, is_first = offset + len(taken), 1, False
    return found
