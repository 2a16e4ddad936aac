"""Checks of single cores, cables and terminals: what is wrong within a metre of the person who looks.

Sources: IEC 61666 (designations), IEC 60757 (colour codes), IEC 60445 (green-yellow is for the protective conductor
alone); that a terminal takes one core and a cable's cores run together is common practice.
"""

from collections import Counter
from collections.abc import Iterator

from zones.engineering.findings import Finding, Severity, counted, listed
from zones.engineering.sources import EN_54_2, IEC_60445, IEC_60757, IEC_61666, PRACTICE, RECORD
from zones.engineering.wiring.tracing import BOX, TracedWiring, core_name, told
from zones.engineering.wiring.wired_panel import Passing, Polarity, TerminalKind, WiredTerminal

# A lower or higher supply than this part of the rating is another system, not a tolerance. Common practice.
VOLTAGE_RATIO = 1.25
BATTERY = "battery"
POLED = (TerminalKind.OUTPUT, TerminalKind.LINE, TerminalKind.BATTERY)
# What may lead out of the record: the board, the alarm system, the control room.
LEADS_OUT = (TerminalKind.SUPPLY, TerminalKind.EARTH, TerminalKind.CONTACT, TerminalKind.INPUT, TerminalKind.OTHER)
FITS = {frozenset((TerminalKind.CONTACT, TerminalKind.INPUT))}
KIND_WORDS = {
    TerminalKind.SUPPLY: "mains supply",
    TerminalKind.BATTERY: "battery",
    TerminalKind.OUTPUT: "actuator output",
    TerminalKind.DATA: "data",
    TerminalKind.MONITOR: "monitoring core",
    TerminalKind.LINE: "monitored line",
    TerminalKind.LINK: "data link",
    TerminalKind.INPUT: "input",
    TerminalKind.CONTACT: "signal contact",
    TerminalKind.EARTH: "protective earth",
    TerminalKind.OTHER: "other",
}


def terminals_twice(wiring: TracedWiring) -> Iterator[Finding]:
    """One terminal, one core."""
    for key, pairs in wiring.on_terminal.items():
        allowed = wiring.terminals[key].cores_allowed if key in wiring.terminals else 1
        if len(pairs) > allowed:
            names = listed(core_name(*pair) for pair in pairs)
            takes = f", but takes {counted(allowed, 'core')}" if allowed > 1 else ""
            sentence = (
                f"{wiring.name(key)} carries {names}{takes}. Put each core on a terminal of its own, and link them."
            )
            yield told(wiring, Severity.FAIL, "terminal_twice", sentence, PRACTICE, terminals=[key], cores=pairs)


def open_ends(wiring: TracedWiring) -> Iterator[Finding]:
    """A core is on terminals at both ends, or spare and on none."""
    for cable, core in wiring.cores:
        ends = [key for key in (core.near, core.far) if key is not None]
        name = core_name(cable, core)
        if not set(ends) <= set(wiring.terminals):
            continue  # told of by `unrecorded_terminals`
        if core.is_spare:
            if ends:
                sentence = (
                    f"{name} is recorded as spare, but is on {wiring.name(ends[0])}. Park it, or take the spare mark "
                    "off."
                )
                yield told(
                    wiring, Severity.FAIL, "spare_used", sentence, PRACTICE, cores=[(cable, core)], terminals=ends
                )
        elif not ends:
            sentence = (
                f"{name} is on no terminal at either end. Put it on its terminals, or record it as spare, parked."
            )
            yield told(wiring, unfinished(wiring, cable=cable), "core_loose", sentence, PRACTICE, cores=[(cable, core)])
        elif len(ends) == 1 and not _leads_out(wiring, cable, core):
            which = "far" if core.far is None else "near"
            sentence = (
                f"{name} is on {wiring.name(ends[0])}, but its {which} end is on no terminal. Put it on one, or take "
                "it off and record it as spare."
            )
            yield told(
                wiring,
                unfinished(wiring, ends[0], cable=cable),
                "core_open",
                sentence,
                PRACTICE,
                cores=[(cable, core)],
                terminals=ends,
            )


def unrecorded_terminals(wiring: TracedWiring) -> Iterator[Finding]:
    """A core is on terminals of the record. One finding a cable."""
    for cable in wiring.wired.cables:
        cores = [core for core in cable.cores if {core.near, core.far} - {None} - set(wiring.terminals)]
        if not cores:
            continue
        known = [key for core in cores for key in (core.near, core.far) if key in wiring.terminals]
        names = listed(core_name(cable, core) for core in cores)
        at = f"; the other end is on {listed(map(wiring.name, known))}" if known else ""
        sentence = (
            f"{names} {'is' if len(cores) == 1 else 'are'} on a terminal that the record does not have{at}. What lies "
            "beyond is not checked: record the terminal, or put the core on another one."
        )
        about = {"cores": [(cable, core) for core in cores], "terminals": known}
        yield told(wiring, Severity.FAIL, "terminal_unrecorded", sentence, RECORD, **about)


def unfinished(wiring, *keys, cable=None):
    """What lacks is wrong where the wiring was declared complete, and not known before."""
    return Severity.FAIL if wiring.is_complete_at(*keys, cable=cable) else Severity.MISSING


def _leads_out(wiring, cable, core):
    """Whether the other end lies outside the record, at a place that is named, such as a distribution board."""
    key, place = (core.near, cable.to_place) if core.far is None else (core.far, cable.from_place)
    terminal = wiring.terminals.get(key)
    tags = {owner.tag for owner in wiring.owners.values()}
    return terminal is not None and terminal.kind in LEADS_OUT and bool(place) and place not in tags


def core_counts(wiring: TracedWiring) -> Iterator[Finding]:
    """As many cores as the cable has by its type."""
    unknown = []
    for cable in wiring.wired.cables:
        recorded = [core.number for core in cable.cores]
        if cable.cores_count is None:
            unknown.append(cable)
        elif len(recorded) > cable.cores_count or max(recorded, default=0) > cable.cores_count:
            most = max(len(recorded), *recorded)
            sentence = (
                f"{cable.tag} has {counted(cable.cores_count, 'core')} by its type, but core {most} is recorded. "
                "Correct the number of cores, or take the core out."
            )
            yield told(wiring, Severity.FAIL, "cores_more", sentence, RECORD, cables=[cable])
        elif len(recorded) < cable.cores_count:
            lacking = listed(number for number in range(1, cable.cores_count + 1) if number not in recorded)
            sentence = (
                f"{cable.tag} has {counted(cable.cores_count, 'core')} by its type, {len(recorded)} are recorded. "
                f"Record core {lacking}: on its terminals, or as spare."
            )
            yield told(wiring, Severity.QUESTION, "cores_fewer", sentence, RECORD, cables=[cable])
    if unknown:
        names = listed(cable.tag for cable in unknown)
        sentence = f"Number of cores of {names} not known: whether all are recorded is not checked. Enter it."
        yield told(wiring, Severity.MISSING, "cores_unknown", sentence, RECORD, cables=unknown)


def colours_twice(wiring: TracedWiring) -> Iterator[Finding]:
    """Two cores of one cable are told apart by their colours."""
    for cable in wiring.wired.cables:
        counted = Counter(core.colour for core in cable.cores if core.colour)
        for colour, number in counted.items():
            if number > 1:
                same = [core for core in cable.cores if core.colour == colour]
                sentence = (
                    f"Cores {listed(core.number for core in same)} of {cable.tag} are all {colour}. Correct the "
                    "colour, or leave colours out where the cores are numbered."
                )
                yield told(
                    wiring,
                    Severity.QUESTION,
                    "colour_twice",
                    sentence,
                    IEC_60757,
                    cores=[(cable, core) for core in same],
                )


def cables_split(wiring: TracedWiring) -> Iterator[Finding]:
    """The cores of one cable run between the same two devices."""
    for cable in wiring.wired.cables:
        pairs = {}
        for core in cable.cores:
            owners = [wiring.owner(key) for key in (core.near, core.far) if key is not None]
            if len(owners) == 2 and None not in owners and not core.is_spare:
                pairs.setdefault(frozenset(owner.key for owner in owners), []).append(core)
        if len(pairs) < 2:
            continue
        most = max(map(len, pairs.values()))
        odd = [core for cores in pairs.values() if len(cores) < most for core in cores] or [
            core for cores in pairs.values() for core in cores
        ]
        places = "; ".join(
            f"core {listed(core.number for core in cores)} {_from_to(wiring, cores[0])}" for cores in pairs.values()
        )
        sentence = (
            f"The cores of {cable.tag} do not run between the same two devices: {places}. Put every core where its "
            "cable runs."
        )
        yield told(
            wiring,
            Severity.FAIL,
            "cable_split",
            sentence,
            PRACTICE,
            cores=[(cable, core) for core in odd],
            terminals=[key for core in odd for key in (core.near, core.far)],
        )


def _from_to(wiring, core):
    return f"from {wiring.owner(core.near).tag} to {wiring.owner(core.far).tag}"


def unlike_ends(wiring: TracedWiring) -> Iterator[Finding]:
    """Function, voltage and direction of the two ends of a core fit; ends in a junction box are seen through."""
    other_kind, other_way = [], []
    for joined in _joined(wiring):
        near, far, _ = joined
        yield from _other_voltage(wiring, *joined)
        known = TerminalKind.UNKNOWN not in (near.kind, far.kind)
        if known and near.kind != far.kind and frozenset((near.kind, far.kind)) not in FITS:
            other_kind.append(joined)
        if near.passing != Passing.NONE and near.passing == far.passing:
            other_way.append(joined)
    yield from _other_kind(wiring, other_kind)
    yield from _other_way(wiring, other_way)


def crossed_poles(wiring: TracedWiring) -> Iterator[Finding]:
    """Both ends of a core are of one pole; what is crossed between the same two devices is one finding."""
    crossed = {}
    for near, far, pairs in _joined(wiring):
        on_link = near.kind == far.kind == TerminalKind.LINK  # its data core has no pole and is no other's
        if near.polarity == far.polarity or not (on_link or Polarity.NONE not in (near.polarity, far.polarity)):
            continue
        blocks = {wiring.owners[end.owner].kind for end in (near, far)}
        if blocks == {BATTERY}:
            continue  # the link of two blocks in series
        between = BATTERY if BATTERY in blocks else frozenset((near.owner, far.owner))
        crossed.setdefault(between, []).append((near, far, pairs))
    for found in crossed.values():
        parts = listed(
            f"{_names(pairs)} {wiring.name(near.key)} ({_pole(near)}) and {wiring.name(far.key)} ({_pole(far)})"
            for near, far, pairs in found
        )
        sentence = (
            f"{parts}: the poles are crossed. Put each end on a terminal of the same pole; measure, do not go by the "
            "colour."
        )
        yield told(
            wiring,
            Severity.FAIL,
            "polarity",
            sentence,
            IEC_60445,
            cores=list({core.key: (cable, core) for _, _, pairs in found for cable, core in pairs}.values()),
            terminals=[end.key for near, far, _ in found for end in (near, far)],
        )


def _names(pairs):
    return f"{listed(core_name(*pair) for pair in pairs)} {'joins' if len(pairs) == 1 else 'join'}"


def _joined(wiring):
    """Pairs of terminals of devices that one core joins, or several through junction boxes, with these cores."""
    for cable, core in wiring.cores:
        if core.near is None or core.far is None or core.is_spare:
            continue
        near, far = wiring.terminals.get(core.near), wiring.terminals.get(core.far)
        if near is None or far is None or BOX in (wiring.owner(core.near).kind, wiring.owner(core.far).kind):
            continue
        yield near, far, [(cable, core)]
    yield from _joined_through_boxes(wiring)


def _joined_through_boxes(wiring):
    """Terminals of devices that one or more junction boxes join."""
    seen = set()
    for start in list(wiring.steps):
        owner = wiring.owner(start)
        if owner is None or owner.kind == BOX:
            continue
        for end, pairs in _beyond_boxes(wiring, start):
            if (pair := frozenset((start, end))) not in seen:
                seen.add(pair)
                yield wiring.terminals[start], wiring.terminals[end], pairs


def _beyond_boxes(wiring, start):
    """Terminals of devices that `start` comes to through junction boxes, each with the cores on the way."""
    came, waiting, found = {start}, [(start, [])], []
    while waiting:
        here, pairs = waiting.pop()
        for step in wiring.steps[here]:
            owner = wiring.owner(step.terminal)
            if step.terminal in came or owner is None or (here == start and step.core is None):
                continue
            came.add(step.terminal)
            way = [*pairs, (step.cable, step.core)] if step.core else pairs
            if owner.kind == BOX:
                waiting.append((step.terminal, way))
            elif len(way) > 1:
                found.append((step.terminal, way))
    return found


def _other_voltage(wiring, near: WiredTerminal, far: WiredTerminal, pairs):
    if not near.voltage_v or not far.voltage_v:
        return
    low, high = sorted((near.voltage_v, far.voltage_v))
    if high > VOLTAGE_RATIO * low:
        sentence = (
            f"{_names(pairs)} {wiring.name(near.key)} ({near.voltage_v:g} V) and {wiring.name(far.key)} "
            f"({far.voltage_v:g} V). Disconnect it and correct the terminals before anything is powered."
        )
        yield told(wiring, Severity.FAIL, "voltage", sentence, PRACTICE, cores=pairs, terminals=[near.key, far.key])


def _other_kind(wiring, found):
    """Terminals of two functions on one core; cores that change places between two devices are one finding."""
    between = {}
    for joined in found:
        between.setdefault(frozenset((joined[0].owner, joined[1].owner)), []).append(joined)
    for same in between.values():
        parts = listed(
            f"{_names(pairs)} {wiring.name(near.key)} ({KIND_WORDS[near.kind]}) and {wiring.name(far.key)} "
            f"({KIND_WORDS[far.kind]})"
            for near, far, pairs in same
        )
        sentence = f"{parts}. Move {'it' if len(same) == 1 else 'each'} to a terminal of the same function."
        yield _told_of(wiring, "kind", sentence, PRACTICE, same)


def _other_way(wiring, found):
    """Cores that lead out at both ends or in at both; of a device whose two sides are exchanged it is one finding."""
    groups = []
    for joined in found:
        owners = {key for key in (joined[0].owner, joined[1].owner) if key != wiring.wired.panel.key}
        near = [group for group in groups if group[0] & owners]
        groups = [group for group in groups if not group[0] & owners]
        groups.append((owners.union(*(one[0] for one in near)), [one for group in near for one in group[1]] + [joined]))
    for _, same in groups:
        parts = listed(
            f"{_names(pairs)} {wiring.name(near.key)} and {wiring.name(far.key)}, and the run goes "
            f"{'in' if near.passing == Passing.IN else 'out'} at both"
            for near, far, pairs in same
        )
        yield _told_of(
            wiring, "direction", f"{parts}. Lead it from an outgoing to an incoming terminal.", EN_54_2, same
        )


def _told_of(wiring, code, sentence, source, found):
    cores = {core.key: (cable, core) for _, _, pairs in found for cable, core in pairs}
    ends = dict.fromkeys(key for near, far, _ in found for key in (near.key, far.key))
    return told(wiring, Severity.FAIL, code, sentence, source, cores=list(cores.values()), terminals=list(ends))


def _pole(terminal):
    return {Polarity.PLUS: "+", Polarity.MINUS: "−"}.get(terminal.polarity, "data")


def unknown_terminals(wiring: TracedWiring) -> Iterator[Finding]:
    """Wired terminals whose function or pole nobody entered: nothing about them was checked."""
    no_kind, no_pole = [], []
    for key in wiring.on_terminal:
        terminal, owner = wiring.terminals.get(key), wiring.owner(key)
        if terminal is None or owner.kind == BOX:
            continue
        if terminal.kind == TerminalKind.UNKNOWN:
            no_kind.append(key)
        elif terminal.kind in POLED and terminal.polarity == Polarity.NONE:
            no_pole.append(key)
    for keys, code, what, unchecked in (
        (no_kind, "kind_unknown", "Electrical kind", "function"),
        (no_pole, "pole_unknown", "Pole", "polarity"),
    ):
        if keys:
            sentence = (
                f"{what} of {listed(map(wiring.name, keys))} not known: {unchecked} not checked there. Enter it at the "
                "terminal, or in the wiring pattern of the model."
            )
            yield told(wiring, Severity.MISSING, code, sentence, IEC_61666, terminals=keys)


CHECKS = (
    terminals_twice,
    unrecorded_terminals,
    open_ends,
    core_counts,
    colours_twice,
    cables_split,
    unlike_ends,
    crossed_poles,
    unknown_terminals,
)
