"""Which device stands in which row: one band per circuit, line or loose device, one row per branch of its wiring."""

from collections import defaultdict
from dataclasses import dataclass, field

from zones.engineering.wiring.wired_panel import WiredDevice, WiredPanel

PANEL_TERMINALS_PER_ROW = 24  # of those with no wire, so that a row fits a sheet


@dataclass(slots=True)
class Row:
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


def rows_of(wired: WiredPanel, loose: list[WiredDevice]) -> list[Row]:
    """All rows of a panel: circuits, lines, other devices, terminals of the panel with no wire, loose cables."""
    joined = neighbours_of(wired)
    bands = _bands(wired, joined)
    rows: list[Row] = []
    for heading, devices, panel_terminals in bands:
        band = _rows_of_band(heading, devices, wired.panel.key, joined)
        band[0].panel_terminals = panel_terminals
        rows.extend(band)
    rows.extend(Row(("Cable with no end recorded",), devices=[device]) for device in loose)
    for number, row in enumerate(rows):
        row.chain = number
    return rows


def _bands(wired, joined):
    """(heading, devices, terminals of the panel) of each band."""
    members: dict[tuple, list[WiredDevice]] = defaultdict(list)
    others = []
    for device in wired.devices:
        band = _band_of(device)
        (members[band] if band else others).append(device)
    keys = {("circuit", each.number) for each in wired.circuits} | {("line", each.number) for each in wired.lines}
    keys |= set(members) | {band for terminal in wired.panel.terminals if (band := _band_of(terminal))}
    headings = _headings(wired)
    bands = [(key, headings.get(key, (f"{key[0].capitalize()} {key[1]}",)), members[key]) for key in sorted(keys)]
    for number, group in enumerate(_groups(others, joined)):
        bands.append((("other", number), ("Other devices",), group))
    panel_rows, spare = _panel_terminals(wired, bands)
    found = [(heading, devices, panel_rows[key]) for key, heading, devices in bands]
    for at in range(0, len(spare), PANEL_TERMINALS_PER_ROW):
        found.append((("Other terminals",), [], spare[at : at + PANEL_TERMINALS_PER_ROW]))
    return found


def _band_of(item):
    if item.circuit is not None:
        return ("circuit", item.circuit)
    return ("line", item.line) if item.line is not None else None


def _headings(wired):
    headings = {}
    for each in wired.circuits:
        drive = each.drive or "drive not known"
        watched = ", monitored" if each.is_monitored else ""
        headings["circuit", each.number] = (f"Circuit {each.number}", each.name, drive + watched)
    for each in wired.lines:
        headings["line", each.number] = (f"Line {each.number}", each.name, "" if each.is_used else "not in use")
    return {key: tuple(line for line in lines if line) for key, lines in headings.items()}


def _groups(devices, joined):
    """Devices on no circuit or line, in groups that are wired to one another."""
    by_key, seen, groups = {device.key: device for device in devices}, set(), []
    for device in devices:
        if device.key in seen:
            continue
        waiting, group = [device.key], []
        seen.add(device.key)
        while waiting:
            key = waiting.pop(0)
            group.append(by_key[key])
            for other in sorted(joined[key] & set(by_key) - seen):
                seen.add(other)
                waiting.append(other)
        groups.append(group)
    return groups


def _panel_terminals(wired, bands):
    """Terminals of the panel by band: by their own circuit or line, else by the device wired to them; and the rest."""
    band_of_device = {device.key: key for key, _, devices in bands for device in devices}
    owner = {key: terminal.owner for key, terminal in wired.terminals().items()}
    far: dict[str, str] = {}
    for cable in wired.cables:
        for core in cable.cores:
            for here, there in ((core.near, core.far), (core.far, core.near)):
                if here is not None and owner.get(there) in band_of_device:
                    far.setdefault(here, band_of_device[owner[there]])
    rows, spare = defaultdict(list), []
    for terminal in wired.panel.terminals:
        band = _band_of(terminal) or far.get(terminal.key)
        (rows[band] if band else spare).append(terminal.key)
    return rows, spare


def _rows_of_band(heading, devices, panel_key, joined):
    """Follow the wires from the panel, the device of the lowest order first; a branch begins a row of its own."""
    by_key = {device.key: device for device in devices}
    place = {device.key: number for number, device in enumerate(devices)}

    def ranked(keys):
        order = {key: by_key[key].order for key in keys}
        return sorted(keys, key=lambda key: (order[key] is None, order[key] or 0, place[key]))

    rows = [Row(heading)]
    seen: set[str] = set()

    def follow(key, column, row):
        waiting = [(key, column, row)]
        while waiting:
            key, column, row = waiting.pop()
            if key in seen:
                continue
            seen.add(key)
            if row is None:
                row = Row(heading, start=column, shows_heading=False)
                rows.append(row)
            row.devices.append(by_key[key])
            onward = ranked((joined[key] & set(by_key)) - seen)
            waiting += [(other, column + 1, None if number else row) for number, other in enumerate(onward)][::-1]

    for number, key in enumerate(ranked(joined[panel_key] & set(by_key))):
        follow(key, 1, None if number else rows[0])
    for key in ranked(set(by_key)):  # no wire leads here yet: at the end of the first row
        if key not in seen:
            follow(key, 1 + len(rows[0].devices), rows[0])
    return rows


def cut_rows(rows: list[Row], columns: int) -> list[Row]:
    """Rows of at most `columns` devices; a longer one goes on in the next row from column 1."""
    found = []
    for row in rows:
        start = (row.start - 1) % columns + 1
        devices, offset, is_first = list(row.devices), 0, True
        while is_first or devices:
            taken, devices = devices[: columns + 1 - start], devices[columns + 1 - start :]
            found.append(
                Row(
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
