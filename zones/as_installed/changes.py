"""What changed between two as-installed records: added, no longer used, moved, swapped, rewired, set, changed.

Pure: takes two records as `record.record_of` makes them. Every difference is told exactly once.
"""

from dataclasses import dataclass
from enum import StrEnum

from zones.engineering.natural_order import natural_key


class ChangeKind(StrEnum):
    """How a thing differs, in the order in which the kinds are told."""

    ADDED = "added"
    NO_LONGER_USED = "no longer used"
    MOVED = "moved"
    SWAPPED = "swapped"
    REWIRED = "rewired"
    SET_OTHERWISE = "set otherwise"
    CHANGED = "changed"


@dataclass(frozen=True, slots=True)
class RecordChange:
    """One thing that differs; `fields` are (label, before, after), None where nothing was or is known."""

    kind: ChangeKind
    section: str
    key: str
    name: str
    fields: tuple[tuple[str, str | None, str | None], ...] = ()

    @property
    def noun(self):
        """What kind of thing it is, in a word."""
        return SECTIONS.get(self.section, self.section)

    @property
    def glyph(self):
        return GLYPHS[self.kind]


# Monochrome, legible in print; the word always stands beside it.
GLYPHS = {
    ChangeKind.ADDED: "+",
    ChangeKind.NO_LONGER_USED: "−",
    ChangeKind.MOVED: "→",
    ChangeKind.SWAPPED: "↔",
    ChangeKind.REWIRED: "≠",
    ChangeKind.SET_OTHERWISE: "≈",
    ChangeKind.CHANGED: "•",
}

# What a thing is called in a sentence, in the order in which sections are told.
SECTIONS = {
    "panels": "panel",
    "zones": "zone",
    "vents": "vent",
    "positions": "device",
    "circuits": "actuator circuit",
    "lines": "detection line",
    "data_links": "data link",
    "link_entries": "call point as listed",
    "inputs": "input",
    "cables": "cable",
    "terminals": "terminal",
    "cores": "core",
    "links": "link",
    "end_elements": "end-of-line resistor or module",
    "settings": "setting",
    "rules": "cause-and-effect rule",
}

# Beside what a person named it, which may be nothing: what it is called where a sentence needs a name. Never compared.
CALLED = "called"
MOVING = {"zone", "group", "vent", "panel", "storey", "room", "place"}
SWAPPING = {"serial", "model"}
REWIRING = {"circuit or line", "data link", "order on it"}
# A change of any field of these sections is of one kind.
KIND_OF_SECTION = {
    **dict.fromkeys(("cables", "terminals", "cores", "links", "end_elements"), ChangeKind.REWIRED),
    **dict.fromkeys(
        ("circuits", "lines", "data_links", "link_entries", "inputs", "settings", "rules"), ChangeKind.SET_OTHERWISE
    ),
}


def changes_between(before, after):
    """Changes from one record to a later one, by kind, then section, then name as an engineer sorts.

    A section that one of the two does not hold (a revision of before the register kept it) says nothing.
    """
    found = []
    for section in SECTIONS:
        if section in before and section in after:
            found.extend(_in_section(section, before[section], after[section]))
    order = {kind: place for place, kind in enumerate(ChangeKind)}
    sections = {section: place for place, section in enumerate(SECTIONS)}
    return sorted(found, key=lambda one: (order[one.kind], sections.get(one.section, 99), natural_key(one.name)))


def _in_section(section, before, after):
    changes = []
    for key, now in after.items():
        then = before.get(key)
        if then is None:
            changes.append(RecordChange(ChangeKind.ADDED, section, key, _name_of(now), _stated(now)))
        elif then != now:
            changes.extend(_changes_of(section, key, then, now))
    for key, then in before.items():
        if key not in after:
            fields = tuple((label, value, None) for label, value in _told(then) if value)
            changes.append(RecordChange(ChangeKind.NO_LONGER_USED, section, key, _name_of(then), fields))
    return changes


def _name_of(row):
    return row["name"] or row.get(CALLED) or "without a name"


def _told(row):
    return ((label, value) for label, value in row.items() if label not in ("name", CALLED))


def _stated(row):
    return tuple((label, None, value) for label, value in _told(row) if value is not None)


def _changes_of(section, key, then, now):
    """A device that was moved and swapped is told twice, each with its own fields.

    What one of the two records does not hold at all was not read then: it is no difference. A record that reads it
    and does not know it holds None.
    """
    by_kind = {}
    for label in (label for label in then if label in now and label != CALLED):
        before, after = then[label], now[label]
        if before != after:
            by_kind.setdefault(_kind_of(section, label), []).append((label, before, after))
    return [RecordChange(kind, section, key, _name_of(now), tuple(fields)) for kind, fields in by_kind.items()]


def _kind_of(section, label):
    if section == "positions":
        for kind, labels in (
            (ChangeKind.MOVED, MOVING),
            (ChangeKind.SWAPPED, SWAPPING),
            (ChangeKind.REWIRED, REWIRING),
        ):
            if label in labels:
                return kind
    if label == "name":
        return ChangeKind.CHANGED
    return KIND_OF_SECTION.get(section, ChangeKind.CHANGED)


def counted(changes):
    """How many changes there are of each kind, only the kinds there are: [("moved", 2), …]."""
    return [
        (kind, sum(one.kind == kind for one in changes))
        for kind in ChangeKind
        if any(one.kind == kind for one in changes)
    ]
