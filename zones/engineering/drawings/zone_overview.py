"""What a panel does, as plain data: its inputs by zone, its circuits, groups and zones, and the vents with states."""

from collections import Counter, defaultdict
from dataclasses import dataclass
from enum import StrEnum

FOLDED_FROM = 3  # so many of one kind on one line of one zone are told in one row


class InputState(StrEnum):
    """Whether an input calls for something."""

    AT_REST = "at-rest"
    PRESSED = "pressed"  # a button pressed, a detector in alarm, a sensor wet
    FAULT = "fault"  # a line, the mains or the battery reports a fault


class VentState(StrEnum):
    """Where the leaf of a vent is."""

    NOT_KNOWN = "not-known"
    SHUT = "shut"
    OPEN = "open"  # for smoke
    VENTILATING = "ventilating"  # open for air, and shut again by rain
    PART_WAY = "part-way"
    BLOCKED = "blocked"  # kept shut by a lock-out or by rain


@dataclass(frozen=True, slots=True)
class OverviewInput:
    """A call point, detector, switch, sensor or interface; `zone` and `line` None where it has none.

    `said` stands below the tag in place of the kind, `wire` over its wire where that is no line of the panel's own.
    """

    key: str
    tag: str
    kind: str
    zone: int | None = None
    line: int | None = None
    state: InputState = InputState.AT_REST
    said: str = ""
    wire: str = ""

    @property
    def wire_words(self) -> str:
        """ "line 2", "data link 1", "inputs 1, 2"; "input" where nothing is known of it."""
        return self.wire or (f"line {self.line}" if self.line is not None else "input")


@dataclass(frozen=True, slots=True)
class OverviewCircuit:
    number: int
    name: str = ""
    drive: str = ""


@dataclass(frozen=True, slots=True)
class OverviewGroup:
    """A vent group; `key` is "1.2", group 2 of zone 1."""

    key: str
    zone: int
    name: str = ""


@dataclass(frozen=True, slots=True)
class OverviewZone:
    """A zone; `said` is how it stands, "" at rest."""

    number: int
    name: str = ""
    said: str = ""


@dataclass(frozen=True, slots=True)
class OverviewVent:
    """A vent with its actuators; an actuator without a vent on record stands for one."""

    key: str
    tag: str
    zone: int | None = None
    group: str | None = None
    circuits: tuple[int, ...] = ()
    actuators: tuple[str, ...] = ()
    state: VentState = VentState.NOT_KNOWN


@dataclass(frozen=True, slots=True)
class ZoneOverview:
    """A panel from its inputs to its vents.

    `folds` tells many inputs of one kind in one row; `rest_words` heads what belongs to no zone.
    """

    panel_key: str
    panel_tag: str
    inputs: tuple[OverviewInput, ...] = ()
    circuits: tuple[OverviewCircuit, ...] = ()
    groups: tuple[OverviewGroup, ...] = ()
    zones: tuple[OverviewZone, ...] = ()
    vents: tuple[OverviewVent, ...] = ()
    folds: bool = True
    rest_words: str = "On no zone"

    @property
    def is_empty(self) -> bool:
        return not (self.inputs or self.circuits or self.vents)


@dataclass(frozen=True, slots=True)
class InputRow:
    """Inputs told in one row: all of one kind, zone and line."""

    inputs: tuple[OverviewInput, ...]

    @property
    def first(self) -> OverviewInput:
        return self.inputs[0]

    @property
    def words(self) -> str:
        """ "SD-03", "SD-01, SD-02" or "SD-01…SD-06 (6)"."""
        tags = [each.tag for each in self.inputs]
        return f"{tags[0]}…{tags[-1]} ({len(tags)})" if len(tags) >= FOLDED_FROM else ", ".join(tags)

    @property
    def state(self) -> InputState:
        """The worst of its inputs: fault, then pressed."""
        states = {each.state for each in self.inputs}
        return next((one for one in (InputState.FAULT, InputState.PRESSED) if one in states), InputState.AT_REST)


@dataclass(slots=True)
class Block:
    """A group with its vents, and the circuits that are drawn beside it; `group` None: vents of no group."""

    group: OverviewGroup | None
    vents: list[OverviewVent]
    circuits: list[OverviewCircuit]


@dataclass(slots=True)
class Band:
    """A zone with its inputs and groups; `zone` None: what belongs to no zone."""

    zone: OverviewZone | None
    rows: list[InputRow]
    blocks: list[Block]


def rows_of_inputs(inputs, folds: bool = True) -> list[InputRow]:
    """Inputs of one zone in rows by line and kind, in the order given; one row each unless it folds."""
    if not folds:
        return [InputRow((each,)) for each in inputs]
    groups: dict[tuple, list[OverviewInput]] = {}
    for each in inputs:
        groups.setdefault((each.line is None, each.line or 0, each.kind, each.wire), []).append(each)
    return [InputRow(tuple(groups[key])) for key in sorted(groups, key=lambda key: key[:2])]


def bands_of(overview: ZoneOverview) -> list[Band]:
    """One band per zone by number, then what belongs to no zone."""
    known = {zone.number: zone for zone in overview.zones}
    groups = {group.key: group for group in overview.groups}
    numbers = set(known) | {item.zone for item in (*overview.inputs, *overview.vents, *overview.groups)} - {None}
    zone_of_vent = {vent.key: _zone_of(vent, groups) for vent in overview.vents}
    numbers |= set(zone_of_vent.values()) - {None}
    homes = _homes(overview.vents, zone_of_vent)
    bands = []
    for number in [*sorted(numbers), None]:
        zone = None if number is None else known.get(number, OverviewZone(number))
        vents = [vent for vent in overview.vents if zone_of_vent[vent.key] == number]
        groups_here = [group for group in overview.groups if group.zone == number]
        blocks = _blocks(number, vents, groups_here, overview, homes)
        rows = rows_of_inputs([each for each in overview.inputs if each.zone == number], overview.folds)
        if zone is not None or rows or blocks:
            bands.append(Band(zone, rows, blocks))
    if spare := [circuit for circuit in overview.circuits if circuit.number not in homes]:
        if not bands or bands[-1].zone is not None:
            bands.append(Band(None, [], []))
        bands[-1].blocks.append(Block(None, [], spare))
    return bands


def _zone_of(vent, groups):
    group = groups.get(vent.group)
    return group.zone if group else vent.zone


def _homes(vents, zone_of_vent):
    """Circuit → (zone, group) beside which it is drawn: the group of most of its vents, the first of equals."""
    counts: dict[int, Counter] = defaultdict(Counter)
    for vent in vents:
        for number in vent.circuits:
            counts[number][zone_of_vent[vent.key], vent.group] += 1
    return {number: found.most_common(1)[0][0] for number, found in counts.items()}


def _blocks(zone, vents, groups, overview, homes):
    by_group = defaultdict(list)
    known = {group.key for group in groups}
    for vent in vents:
        by_group[vent.group if vent.group in known else None].append(vent)
    blocks = []
    for group in [*groups, None]:
        key = group.key if group else None
        if group is None and not by_group[None]:
            continue
        circuits = [
            circuit
            for circuit in overview.circuits
            if (home := homes.get(circuit.number)) is not None
            and home[0] == zone
            and (home[1] if home[1] in known else None) == key
        ]
        blocks.append(Block(group, by_group[key], circuits))
    return blocks
