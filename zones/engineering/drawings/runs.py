"""What is to be drawn between boxes: one run per core (and per link that leaves its device), each with two ends."""

from collections import Counter
from dataclasses import dataclass

from zones.engineering.drawings.chains import loose_cable
from zones.engineering.drawings.lettering import plain, shorten
from zones.engineering.wiring.wired_panel import WiredCable, WiredDevice, WiredEndOfLine, WiredPanel

LONGEST_CABLE_TAG = 12


@dataclass(frozen=True, slots=True)
class End:
    """One end of a run. With a terminal it ends there; without one it ends at its device with a mark ("parked" for a
    spare core, "open" for one that should end somewhere); without an owner it ends beside its other end.

    `beside` names a terminal of the same cable, so that the end is drawn near it. `goes_to` is set on a piece of a
    run that goes on elsewhere: sheet, and its row there.
    """

    owner: str | None = None
    terminal: str | None = None
    mark: str = ""
    beside: str | None = None
    goes_to: tuple[int, int] | None = None


@dataclass(frozen=True, slots=True)
class Run:
    """A core or a link from one end to the other; `label` is written on the wire."""

    key: str
    kind: str
    label: str
    title: str
    ends: tuple[End, End]
    cable: str = ""
    part: str = ""


@dataclass(frozen=True, slots=True)
class Join:
    """A link between two terminals of one box, drawn inside it."""

    key: str
    kind: str  # "link" (fitted), "internal"
    first: str
    second: str


@dataclass(frozen=True, slots=True)
class DrawnWiring:
    """All that joins terminals, the lines that describe the cables, and what cannot be drawn in words."""

    runs: list[Run]
    joins: dict[str, list[Join]]  # by the first terminal
    cable_lines: dict[str, tuple[str, ...]]
    remarks: list[str]

    def joins_at(self, terminal: str) -> list[Join]:
        return self.joins.get(terminal, [])


def loose_cables(wired: WiredPanel) -> list[WiredDevice]:
    """A stand-in for each cable none of whose cores ends on a known terminal."""
    owner = known_owner(wired)
    return [
        loose_cable(cable.key, cable.tag) for cable in wired.cables if cable.cores and not _ends_known(cable, owner)
    ]


def known_owner(wired: WiredPanel) -> dict[str, str]:
    """Terminal → its device, of those whose device is known."""
    owners = wired.owners()
    return {key: each.owner for key, each in wired.terminals().items() if each.owner in owners}


def _ends_known(cable, owner):
    return any(core.near in owner or core.far in owner for core in cable.cores)


def wiring_of(wired: WiredPanel, box_of) -> DrawnWiring:
    """Every core once, whatever is wrong with it; an unknown terminal counts as an end that is not recorded.

    `box_of` gives the box in which a terminal is drawn: what joins two terminals of one box is drawn inside it.
    """
    owner = known_owner(wired)
    wiring = DrawnWiring([], {}, {}, [])
    terminals, owners = wired.terminals(), wired.owners()
    for cable in wired.cables:
        _add_cable(wiring, cable, terminals, owners, owner)
    for link in wired.links:
        _add_link(wiring, link, owner, box_of)
    for element in wired.end_of_line_parts:
        _add_element(wiring, element, owner)
    return wiring


def _add_cable(wiring, cable, terminals, owners, owner):
    near, far = _end_of_cable(cable, "near", owner), _end_of_cable(cable, "far", owner)
    if near is None and far is None:
        near = (loose_cable(cable.key, cable.tag).key, None)
    outside = _outside(cable, owners)
    words = [
        f"{word} {shorten(outside[end], LONGEST_CABLE_TAG)}"
        for end, word in (("near", "from"), ("far", "to"))
        if end in outside
    ]
    wiring.cable_lines[cable.key] = (*_lines_of(cable), *words)
    for core in cable.cores:
        ends = tuple(
            _end(getattr(core, end), at, owner, "parked" if core.is_spare else "to" if end in outside else "open")
            for end, at in (("near", near), ("far", far))
        )
        tag = f"{shorten(cable.tag, LONGEST_CABLE_TAG)}.{core.number}"
        label = " ".join(part for part in (tag, shorten(core.colour, 8), "spare" if core.is_spare else "") if part)
        wiring.runs.append(
            Run(core.key, "core", label, _title(cable, core, ends, terminals, owners), ends, cable=cable.key)
        )


def _outside(cable, owners):
    """{"near" or "far": place} of an end that lies outside the record, at a place that is named, such as a board."""
    tags = {each.tag for each in owners.values()}
    places = {"near": cable.from_place, "far": cable.to_place}
    known = {end for core in cable.cores for end in places if getattr(core, end) is not None}
    return {end: place for end, place in places.items() if place and place not in tags and end not in known}


def _add_link(wiring, link, owner, box_of):
    known = [key for key in (link.first, link.second) if key in owner]
    if not known or link.first == link.second:
        wiring.remarks.append("A link is recorded that joins no two terminals of this drawing.")
        return
    kind = "internal" if link.is_internal else "link"
    if len(known) == 2 and box_of(link.first) == box_of(link.second):
        wiring.joins.setdefault(link.first, []).append(Join(link.key, kind, link.first, link.second))
        return
    ends = (_end(link.first, None, owner, "open"), _end(link.second, None, owner, "open"))
    wiring.runs.append(Run(link.key, kind, "link", "Link between terminals", ends))


def _add_element(wiring, element, owner):
    if element.first not in owner and element.second not in owner:
        wiring.remarks.append("An end-of-line resistor or module is recorded at no terminal of this drawing.")
        return
    second = None if element.first == element.second else element.second
    ends = (_end(element.first, None, owner, "open"), _end(second, None, owner, "open"))
    title = f"End-of-line {plain(element.kind)}"
    wiring.runs.append(Run(element.key, "element", _value(element), title, ends))


def _value(element: WiredEndOfLine) -> str:
    if element.value_ohm is None:
        return shorten(element.kind, 8) or "element"
    return ohm_words(element.value_ohm)


def ohm_words(value_ohm: float) -> str:
    """A resistance as fitters say it: "10 kΩ", "680 Ω"."""
    return f"{value_ohm / 1000:.4g} kΩ" if value_ohm >= 1000 else f"{value_ohm:.4g} Ω"


def _end_of_cable(cable: WiredCable, end: str, owner):
    """(device, one of its terminals) at which most cores of this cable end, or None."""
    keys = [key for core in cable.cores if (key := getattr(core, end)) in owner]
    if not keys:
        return None
    device = Counter(owner[key] for key in keys).most_common(1)[0][0]
    return device, next(key for key in keys if owner[key] == device)


def _end(key, of_cable, owner, mark):
    if key in owner:
        return End(owner[key], key)
    if of_cable is None:
        return End(mark=mark)
    return End(of_cable[0], None, mark, beside=of_cable[1])


def _lines_of(cable):
    size = None if cable.area_mm2 is None else f"{cable.area_mm2:g}"
    cores = None if cable.cores_count is None else str(cable.cores_count)
    make_up = f"{cores or '?'}×{size or '?'} mm²" if size or cores else ""
    length = "" if cable.length_m is None else f"{cable.length_m:g} m"
    return tuple(line for line in (shorten(cable.tag, LONGEST_CABLE_TAG), make_up, length) if line)


def _title(cable, core, ends, terminals, owners):
    def words(end):
        if end.terminal is None:
            return {"parked": "parked", "to": "a place outside the record"}.get(end.mark, "no end recorded")
        return f"{owners[end.owner].tag} {terminals[end.terminal].designation}"

    kind = f" ({cable.cable_type})" if cable.cable_type else ""
    head = f"{cable.tag}.{core.number} {core.colour}".strip()
    return plain(f"{head}{kind}: {words(ends[0])} to {words(ends[1])}")
