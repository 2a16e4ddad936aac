"""Which devices stand together on a wiring diagram: a band for each output, line, data link and set of inputs.

What starts at a device (the line of a call point, its inputs) stands in that device's band, in rows of its own. A
junction box stands in the band of the cables that run through it.
"""

from collections import defaultdict
from dataclasses import dataclass, field

from zones.engineering.wiring.tracing import BOX
from zones.engineering.wiring.wired_panel import WiredDevice, WiredPanel, WiredTerminal

RANK = {"circuit": 0, "line": 1, "link": 2, "input": 3}
Heading = tuple[str, ...]


@dataclass(slots=True)
class Band:
    """Devices under one heading with the panel's terminals that serve them; `branches`: heading of each device that is
    on a run which starts at another device."""

    heading: Heading
    devices: list[WiredDevice]
    panel_terminals: list[str] = field(default_factory=list)
    branches: dict[str, Heading] = field(default_factory=dict)


def bands_of(wired: WiredPanel, joined: dict[str, set[str]]) -> tuple[list[Band], list[str]]:
    """The bands in order, circuits first and what is on no run last; and the panel's terminals that serve none."""
    homes = _Homes(wired, joined)
    members: dict[tuple, list[WiredDevice]] = defaultdict(list)
    others = []
    for device in wired.devices:
        home = homes.of_device(device)
        (members[home] if home else others).append(device)
    keys = sorted(homes.at_panel() | set(members), key=lambda key: (RANK[key[0]], key[1]))
    bands = {key: Band(homes.heading(key), members[key], branches=homes.branches(members[key], key)) for key in keys}
    for number, group in enumerate(_groups(others, joined)):
        bands["other", number] = Band(("Other devices",), group)
    spare = _give_terminals(wired, homes, bands)
    return list(bands.values()), spare


class _Homes:
    """The band of each run, device and terminal, as ("line", 3)."""

    def __init__(self, wired, joined):
        self.wired, self.joined = wired, joined
        self.owners = wired.owners()
        self.owner_of = {key: terminal.owner for key, terminal in wired.terminals().items()}
        self.set_of = _sets_of_inputs(wired)
        self.inputs = {one.number: one for one in wired.inputs}
        self.starts: dict[tuple, str] = {}  # run → the device at which it starts
        for device in wired.devices:
            for terminal in device.terminals:
                if run := self.run(terminal):
                    self.starts.setdefault(run, device.key)

    def run(self, item: WiredTerminal | WiredDevice) -> tuple | None:
        """The run that a terminal starts or that a device is on."""
        for name in ("circuit", "line", "link"):
            if getattr(item, name) is not None:
                return name, getattr(item, name)
        numbers = getattr(item, "inputs", None) or (() if getattr(item, "input", None) is None else (item.input,))
        return ("input", self.set_of.get(numbers[0], numbers[0])) if numbers else None

    def of_device(self, device: WiredDevice) -> tuple | None:
        run = self.run(device)
        if run is None and device.kind == BOX:
            return self._of_box(device)
        return self.of_run(run)

    def of_run(self, run, seen=()) -> tuple | None:
        """The band in which a run stands: its own, or that of the device at which it starts."""
        start = self.owners.get(self.starts.get(run))
        if start is None or run in seen:
            return run
        return self.of_run(self.run(start), (*seen, run))

    def _of_box(self, box):
        found, seen, waiting = set(), {box.key}, [box.key]
        for cable in self.wired.cables:
            if any(self.owner_of.get(end) == box.key for core in cable.cores for end in (core.near, core.far)):
                found.add(self.of_run(self.run(cable))) if self._has_run(cable) else None
        while waiting and not found:
            for key in self.joined[waiting.pop()] - seen:
                seen.add(key)
                device = self.owners[key]
                if device.kind == BOX:
                    waiting.append(key)
                elif run := self.run(device):
                    found.add(self.of_run(run))
        found.discard(None)
        return found.pop() if len(found) == 1 else None

    @staticmethod
    def _has_run(cable):
        return cable.circuit is not None or cable.line is not None

    def at_panel(self) -> set[tuple]:
        """Bands that stand there even without a device: outputs, lines and links of the panel, monitored inputs."""
        found = {("circuit", one.number) for one in self.wired.circuits}
        found |= {("link", one.number) for one in self.wired.data_links}
        found |= {("line", one.number) for one in self.wired.lines if ("line", one.number) not in self.starts}
        for one in self.wired.inputs:
            run = ("input", self.set_of.get(one.number, one.number))
            if one.is_monitored and run not in self.starts:
                found.add(run)
        return found

    def heading(self, key) -> Heading:
        return _heading(self.wired, key, self.set_of)

    def branches(self, devices, band) -> dict[str, Heading]:
        """Headings of the devices on other runs than the band's own."""
        found = {}
        for device in devices:
            run = self.run(device)
            if run is not None and run != band:
                start = self.owners[self.starts[run]].tag
                found[device.key] = (*self.heading(run), f"from {start}")
        return found


def _sets_of_inputs(wired) -> dict[int, int]:
    """Input → the lowest of the inputs that share a device with it."""
    lowest = {number: number for device in wired.devices for number in device.inputs}
    for _ in wired.devices:
        before = dict(lowest)
        for device in wired.devices:
            if device.inputs:
                least = min(lowest[number] for number in device.inputs)
                lowest |= dict.fromkeys(device.inputs, least)
        if lowest == before:
            break
    return lowest


def _heading(wired, key, set_of) -> Heading:
    kind, number = key
    if kind == "input":
        numbers = sorted(one for one, least in set_of.items() if least == number) or [number]
        known = {one.number: one for one in wired.inputs}
        functions = [known[one].name or known[one].function for one in numbers if one in known]
        word = "Input" if len(numbers) == 1 else "Inputs"
        lines = (f"{word} {', '.join(map(str, numbers))}", ", ".join(filter(None, functions)).replace("_", " "))
        return tuple(line for line in lines if line)
    orders = {"circuit": wired.circuits, "line": wired.lines, "link": wired.data_links}[kind]
    word = {"circuit": "Circuit", "line": "Line", "link": "Data link"}[kind]
    each = next((one for one in orders if one.number == number), None)
    lines = [f"{word} {number}"]
    if each is not None:
        lines.append(each.name)
    if kind == "circuit" and each is not None:
        lines.append((each.drive or "drive not known") + (", monitored" if each.is_monitored else ""))
    if kind == "line" and each is not None and not each.is_used:
        lines.append("not in use")
    return tuple(line for line in lines if line)


def _groups(devices, joined):
    """Devices on no run, in groups that are wired to one another."""
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


def _give_terminals(wired, homes, bands) -> list[str]:
    """Give the panel's terminals to the bands: by their own run, else by the device wired to them; returns the rest."""
    band_of_device = {device.key: key for key, band in bands.items() for device in band.devices}
    far: dict[str, tuple] = {}
    for cable in wired.cables:
        for core in cable.cores:
            for here, there in ((core.near, core.far), (core.far, core.near)):
                if here is not None and homes.owner_of.get(there) in band_of_device:
                    far.setdefault(here, band_of_device[homes.owner_of[there]])
    spare = []
    for terminal in wired.panel.terminals:
        run = homes.run(terminal)
        band = run if run in bands else far.get(terminal.key)
        (bands[band].panel_terminals if band else spare).append(terminal.key)
    return spare
