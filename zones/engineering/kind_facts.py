"""What the register must know of a kind of device; `device_kinds.py` has a row of it for each kind. No Django.

Every fact is asked of every kind: none has a default, so a new kind says each or the register does not start.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields
from enum import StrEnum
from typing import NamedTuple

from zones.engineering.cause_and_effect.rules import InputKind
from zones.engineering.detection_lines import LineRole
from zones.engineering.findings import listed

TABLE = "zones/engineering/device_kinds.py"
LABEL_LANGUAGES = ("de", "es", "fr", "it", "nl", "pl")


class IncompleteKind(ValueError):
    """A kind of device says too little, or what cannot be; the message is a sentence with the remedy."""


class Run(StrEnum):
    """What a device can hang on."""

    CIRCUIT = "circuit"
    LINE = "line"
    LINK = "data link"
    INPUT = "input"


class Figures(StrEnum):
    """Groups of figures that only some kinds have; voltage, current and service life are everybody's."""

    MOVEMENT = "movement"
    PANEL = "panel"
    LINE = "monitored line"
    BATTERY = "battery"


class Shape(StrEnum):
    """General shapes of IEC 60617."""

    RECTANGLE = "rectangle"
    CIRCLE = "circle"
    BATTERY = "battery"
    DASHED = "dashed"


class Symbol(NamedTuple):
    """How a kind is drawn: a general shape of IEC 60617 and a letter of IEC 81346-2 (handbook process.md §2)."""

    shape: Shape
    letter: str = ""


class ScheduleColumn(NamedTuple):
    """The column of the zone schedule that counts a kind, and its place among them."""

    place: int
    heading: str


@dataclass(frozen=True, slots=True)
class ImportWords:
    """Words by which other people's lists name a kind, beside its label and its letters.

    Of several words, each also means the kind within a longer description, unless it stands in `never_within`; of a
    single word that is true only of those in `within`.
    """

    words: tuple[str, ...] = ()
    within: tuple[str, ...] = ()
    never_within: tuple[str, ...] = ()


class _NotSaid:
    def __repr__(self):
        return "not said"


NOT_SAID = _NotSaid()


@dataclass(frozen=True, kw_only=True)
class KindFacts:
    """A kind of device. Raises IncompleteKind where a fact is not said.

    `value` is what the database holds and never changes. `ifc`: entity and predefined type of IFC 4.
    `needed_figures`: fields of a product model that a check needs. `hangs_on`: runs that it may hang on;
    `belongs_on`: the one it lacks while it is on none. `needs_zone`: a position of it without a smoke zone is
    unfinished. `is_wired`: it has terminals that lead to a panel, so one without a panel lacks its wiring.
    `is_electronic`: it draws current all the time; where that is not known, nothing is said of the standby time.
    `line_role`: what it is to a monitored line. `input_kind`: what it tells the panel, ``None``: nothing.
    `input_functions`: what the inputs do to which a small system wires it. `is_mixed_up`: two of one model are
    taken for each other, so each must be told apart. `papers`: kinds of file that a hand-over needs of its model.
    `patterns`: usual wiring patterns by variant, "" where there is one only. `label_words`: its name in the
    languages of LABEL_LANGUAGES.
    """

    value: str
    ifc: tuple[str, str] = NOT_SAID
    label: str = NOT_SAID
    tag_prefix: str = NOT_SAID
    has_unit: bool = NOT_SAID
    needed_figures: tuple[str, ...] = NOT_SAID
    figures: tuple[Figures, ...] = NOT_SAID
    hangs_on: tuple[Run, ...] = NOT_SAID
    belongs_on: Run | None = NOT_SAID
    offers_ports: bool = NOT_SAID
    needs_zone: bool = NOT_SAID
    is_wired: bool = NOT_SAID
    is_ordered: bool = NOT_SAID
    is_electronic: bool = NOT_SAID
    is_mixed_up: bool = NOT_SAID
    line_role: LineRole = NOT_SAID
    input_kind: InputKind | None = NOT_SAID
    input_functions: tuple[str, ...] = NOT_SAID
    papers: tuple[str, ...] = NOT_SAID
    schedule_column: ScheduleColumn | None = NOT_SAID
    symbol: Symbol = NOT_SAID
    patterns: Mapping[str, str] = NOT_SAID
    import_words: ImportWords = NOT_SAID
    label_words: tuple[str, ...] = NOT_SAID

    def __post_init__(self):
        if lacking := [each.name for each in fields(self) if getattr(self, each.name) is NOT_SAID]:
            raise self._incomplete(f"does not say: {listed(lacking, len(lacking))}")
        if len(self.label_words) != len(LABEL_LANGUAGES):
            raise self._incomplete(f"has {len(self.label_words)} label_words; {', '.join(LABEL_LANGUAGES)} are needed")
        if self.belongs_on and self.belongs_on not in self.hangs_on:
            raise self._incomplete(f"belongs_on a {self.belongs_on}, which is not in its hangs_on")

    def _incomplete(self, what):
        return IncompleteKind(f"The kind of device '{self.value}' {what}. Complete its row in {TABLE}.")

    @property
    def moves_vents(self) -> bool:
        """Whether it is a drive: fed by an actuator circuit."""
        return Run.CIRCUIT in self.hangs_on


def table_of(*rows: KindFacts) -> dict[str, KindFacts]:
    """The kinds by their value, in the order in which people see them. Raises IncompleteKind where two are alike."""
    for name in ("value", "label", "tag_prefix", "schedule_column"):
        _none_twice(name, ((getattr(row, name), row) for row in rows if getattr(row, name) is not None))
    _none_twice("import_words", ((word, row) for row in rows for word in row.import_words.words))
    _none_taken_for_another(rows)
    return {row.value: row for row in rows}


def _none_twice(name: str, said: Iterable[tuple[object, KindFacts]]) -> None:
    by_word = {}
    for word, row in said:
        other = by_word.setdefault(word, row)
        if other is not row:
            raise IncompleteKind(
                f"The kinds of device '{other.value}' and '{row.value}' have the same {name}, {word!r}. Give one of "
                f"them another in {TABLE}."
            )


def _none_taken_for_another(rows: tuple[KindFacts, ...]) -> None:
    """Lists name a kind by its label, its letters and its import words, in singular or plural: none may name two."""
    said = [(word.casefold(), row) for row in rows for word in _words_in_lists(row)]
    by_word = {}
    for word, row in said:
        if by_word.setdefault(word, row) is not row:
            raise _taken_for_another(word, by_word[word], word, row)
    for word, row in said:
        for plural in (f"{word}s", f"{word}es"):
            if by_word.get(plural, row) is not row:
                raise _taken_for_another(word, row, plural, by_word[plural])


def _words_in_lists(row: KindFacts) -> tuple[str, ...]:
    return (row.label, row.value.replace("_", " "), row.tag_prefix, *row.import_words.words)


def _taken_for_another(word: str, row: KindFacts, other_word: str, other: KindFacts) -> IncompleteKind:
    return IncompleteKind(
        f"A list that says {other_word!r} could mean the kind of device '{row.value}' ({word!r}, its label, letters or "
        f"import_words) or '{other.value}' ({other_word!r}). Give one of them another in {TABLE}."
    )
