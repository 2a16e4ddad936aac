"""One cause, one finding: what only follows from another finding is folded under it, and is still there to be read.

A core on a wrong terminal lacks where it belongs, doubles the terminal where it is and joins what it comes to; a person
who puts it right has done with all of that. Nothing is folded under a finding that is less bad. What is folded lies on
the same cores, or on what they or a link come to; should it be a second fault on the same run, it is told by itself as
soon as the first is put right. Source: common practice of finding faults, the first cause first.
"""

from collections import defaultdict
from dataclasses import dataclass, field, replace

from zones.engineering.findings import Finding, worst_first
from zones.engineering.wiring.core_checks import FITS, LEADS_OUT
from zones.engineering.wiring.runs import Run
from zones.engineering.wiring.tracing import BOX, TracedWiring, core_name

# What a person puts right first, in this order; what stands further down may follow from what stands above.
CAUSES = [
    "voltage",
    "green_yellow",
    "neutral_colour",
    "battery_parallel",
    "link",
    "bridged",
    "terminal_unrecorded",
    "wrong_run",
    "kind",
    "polarity",
    "direction",
    "core_open",
    "core_loose",
    "earth_colour",
    "box_breaks",
    "spare_used",
    "cable_split",
    "monitor_carried_on",
    "input_function",
    "terminal_twice",
    "ring",
    "tee",
    "short",
    "element_across",
    "element_place",
    "element_two",
    "element_missing",
]
FOLLOW_ONS = [
    "supply_idle",
    "earth_missing",
    "earth_body",
    "order",
    "not_reached",
    "element_loose",
    "element_in_box",
    "element_stray",
]
_RANK = {f"wiring.{code}": rank for rank, code in enumerate([*CAUSES, *FOLLOW_ONS])}
_ON_CORES = {f"wiring.{code}" for code in CAUSES[: CAUSES.index("terminal_twice") + 1]} - {"wiring.link"}
_OFF = {"wiring.core_open", "wiring.core_loose"}
_OF_SUPPLIES = ("wiring.supply_idle", "wiring.earth_missing", "wiring.earth_body")
_OF_PARTS = tuple(f"wiring.element_{word}" for word in ("across", "place", "two", "missing", "loose", "stray"))


def folded(wiring: TracedWiring, runs: list[Run], found: list[Finding]) -> list[Finding]:
    """The findings, each with those that follow from it in its `follow_ons`; none is lost."""
    places = {id(one): place for place, one in enumerate(found)}
    waiting = worst_first(sorted((one for one in found if one.code in _RANK), key=lambda one: _RANK[one.code]))
    if len(waiting) < 2:
        return found
    kept = {places[id(one)]: one for one in found if one.code not in _RANK}
    names = _Names(wiring, runs)
    while waiting:
        cause, *waiting = waiting
        beside = [one for one in waiting if names.is_exchanged(one, cause)]
        reach = names.reach(cause, *beside)
        follow_ons = [*beside, *(one for one in waiting if one not in beside and names.follows(one, cause, reach))]
        waiting = [one for one in waiting if not any(one is other for other in follow_ons)]
        kept[places[id(cause)]] = _with(cause, follow_ons)
    return [kept[place] for place in sorted(kept)]


def _with(cause, follow_ons):
    """The cause is shown beside what follows from it too."""
    if not follow_ons:
        return cause
    inputs = dict.fromkeys(figure for one in (cause, *follow_ons) for figure in one.inputs)
    return replace(cause, inputs=tuple(inputs), follow_ons=tuple(follow_ons))


@dataclass
class _Reach:
    """What a cause comes to: names of terminals, devices and cables, and the kinds its cables are on."""

    cores: set = field(default_factory=set)
    terminals: set = field(default_factory=set)
    devices: set = field(default_factory=set)
    cables: set = field(default_factory=set)
    boxes: set = field(default_factory=set)  # at which a cable of the cause ends
    kinds: set = field(default_factory=set)


class _Names:
    """The wiring looked up by the names that stand in findings."""

    def __init__(self, wiring, runs):
        self.wiring, self.runs = wiring, runs
        self.cores = {core_name(*pair): pair for pair in wiring.cores}
        self.terminals = {wiring.name(key): key for key in wiring.terminals}
        self.part_kinds = defaultdict(set)
        for one in wiring.wired.end_of_line_parts:
            self.part_kinds[wiring.name(one.first)].add(one.kind)

    def reach(self, *findings) -> _Reach:
        """What the cores of these findings, or the terminals of their links and parts, come to."""
        found, starts = _Reach(), set()
        for one in findings:
            pairs = [self.cores[name] for name in _of(one, "core")]
            found.cores |= set(_of(one, "core"))
            starts |= {key for _, core in pairs for key in (core.near, core.far)}
            if not pairs:
                starts |= {self.terminals[name] for name in _of(one, "terminal") if name in self.terminals}
                starts |= self._ends_of_cables(set(_of(one, "cable")))
            for cable, _ in pairs:
                self._add_cable(cable, found)
        for key in starts & set(self.wiring.terminals):
            self._spread(key, found)
        return found

    def _ends_of_cables(self, tags):
        return {key for cable, core in self.wiring.cores if cable.tag in tags for key in (core.near, core.far)}

    def _add_cable(self, cable, found):
        for key in (key for core in cable.cores for key in (core.near, core.far) if key in self.wiring.terminals):
            found.kinds.add(self.wiring.terminals[key].kind)
            if self.wiring.owner(key).kind == BOX:
                found.boxes.add(self.wiring.owner(key).tag)

    def _spread(self, start, found):
        """Add what is joined to a terminal, up to where runs start."""
        seen, waiting = {start}, [start]
        for key in waiting:
            owner = self.wiring.owner(key)
            found.terminals.add(self.wiring.name(key))
            if owner.kind != BOX and owner.key != self.wiring.wired.panel.key:
                found.devices.add(owner.tag)
            if key != start and (self.wiring.is_at_panel(key) or self.wiring.is_start(key)):
                continue
            for step in self.wiring.steps[key]:
                if step.cable is not None:
                    found.cables.add(step.cable.tag)
                if step.terminal not in seen:
                    seen.add(step.terminal)
                    waiting.append(step.terminal)

    def follows(self, one, cause, reach) -> bool:
        """Whether a finding further down follows from this cause."""
        if one.code in _OF_PARTS and cause.code in _OF_PARTS:
            return self._is_same_part(one, cause)
        if one.code in _OF_SUPPLIES:
            keys = [self.terminals[name] for name in _of(one, "terminal") if name in self.terminals]
            return bool(reach.kinds & {self.wiring.terminals[key].kind for key in keys})
        cores, terminals = set(_of(one, "core")), set(_of(one, "terminal"))
        if one.code in _ON_CORES and cores and _of(cause, "core"):
            return bool(cores & reach.cores)
        if one.code in _OF_PARTS and {name.rpartition(" ")[0] for name in terminals} & reach.boxes:
            return True
        return bool(
            terminals & reach.terminals
            or set(_of(one, "cable")) & reach.cables
            or set(_of(one, "device")) & reach.devices
        )

    def _is_same_part(self, one, cause):
        """A part that is where it does not belong is the one that lacks elsewhere."""
        if set(_of(one, "terminal")) & set(_of(cause, "terminal")):
            return True
        missing = next((each for each in (one, cause) if each.code == "wiring.element_missing"), None)
        if missing is None:
            return False
        there = cause if missing is one else one
        kinds = set().union(*(self.part_kinds[name] for name in _of(there, "terminal")))
        starts = set(_of(missing, "terminal"))
        wanted = next((r for r in self.runs if {self.wiring.name(s.key) for s in r.starts} == starts), None)
        return wanted is not None and wanted.end_part.rpartition(" ")[2] in kinds

    def is_exchanged(self, one, cause) -> bool:
        """Whether a core of each sits where one of the other belongs, at one device."""
        if not {one.code, cause.code} <= _ON_CORES or {one.code, cause.code} <= _OFF:
            return False
        pairs = [(self.cores[a], self.cores[b]) for a in _of(one, "core") for b in _of(cause, "core")]
        return any(
            self._fits(b_here, a_there, a_cable) and self._fits(a_here, b_there, b_cable)
            for (a_cable, a), (b_cable, b) in pairs
            for a_here, a_there in _ends(a)
            for b_here, b_there in _ends(b)
            if self.wiring.owner(a_here) is not None and self.wiring.owner(a_here) == self.wiring.owner(b_here)
        )

    def _fits(self, here, there, cable):
        """Whether a core of a cable may run between these two; what a junction box joins is looked up beyond it."""
        if there is None:  # the other end lies outside the record: with what its cable is on
            beside = [key for core in cable.cores for key in (core.near, core.far) if key in self.wiring.terminals]
            kinds = {self.wiring.terminals[key].kind for key in beside}
            return bool(kinds & set(LEADS_OUT)) and self.wiring.terminals[here].kind in LEADS_OUT
        beyond = self._beyond(there)
        if not beyond:  # it ends in a box, at the part of its run
            return cable.circuit is not None and self.wiring.terminals[here].circuit == cable.circuit
        return any(
            _is_one_function(out, into) and self._same_run(out, into) for out in self._beyond(here) for into in beyond
        )

    def _beyond(self, key):
        """This terminal, or those of devices that the links of its junction box lead on to."""
        found, seen, waiting = [], {key}, [key]
        for here in waiting:
            owner = self.wiring.owner(here)
            if owner is None:
                continue
            if owner.kind != BOX:
                found.append(self.wiring.terminals[here])
                continue
            for step in self.wiring.steps[here]:
                if step.terminal not in seen and (here != key or step.core is None):
                    seen.add(step.terminal)
                    waiting.append(step.terminal)
        return found

    def _same_run(self, first, second):
        """Whether nothing says that two terminals are of different runs."""
        of = [self._run_of(first), self._run_of(second)]
        return all(None in (a, b) or a == b for a, b in zip(*of, strict=True))

    def _run_of(self, terminal):
        owner = terminal if terminal.starts_run else self.wiring.owner(terminal.key)
        return owner.circuit, owner.line, owner.link


def _is_one_function(first, second):
    is_kind = first.kind == second.kind or frozenset((first.kind, second.kind)) in FITS
    return is_kind and not (first.polarity and second.polarity and first.polarity != second.polarity)


def _ends(core):
    return ((core.near, core.far), (core.far, core.near))


def _of(finding, name):
    return [str(figure.value) for figure in finding.inputs if figure.name == name]
