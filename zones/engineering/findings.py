"""What the design check says: findings with severity, sentence, figures, formula and source.

A finding is a statement about the figures entered. The good word is "within the entered limit (source)";
nothing here says that an installation conforms to a standard or a law. That is for a competent person.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, fields
from enum import StrEnum
from functools import partial
from typing import NamedTuple

from zones.engineering.quantities import rounded_down
from zones.engineering.sources import LIMIT_OF, Source


class Severity(StrEnum):
    """What a finding means for whoever must act, worst first."""

    FAIL = "fail"  # a limit entered is not met
    MISSING = "missing"  # no verdict: a figure is not known
    QUESTION = "question"  # used as entered, but a person should look at it
    MEETS = "meets"  # within the entered limit
    NOTE = "note"  # worth knowing, no verdict


# A note says nothing about pass or fail, so it stands behind "meets": one note must not hide a verdict.
_RANK = {severity: rank for rank, severity in enumerate(Severity)}


class Figure(NamedTuple):
    """One number that went into a finding."""

    name: str
    value: float | int | str | None
    unit: str = ""


class Compared(NamedTuple):
    """A figure against its limit: what decides a finding, as a table shows it.

    `figure` is rounded as the sentence says it; `margin` is what is left to the limit, below 0 where it is not met.
    """

    figure: float
    limit: float
    unit: str
    margin: float
    word: str

    @property
    def margin_left(self) -> float:
        """The margin so rounded that rounding never helps."""
        return rounded_down(self.margin, 2)


def at_least(figure: float, limit: float, unit: str, margin: float) -> Compared:
    """A figure that must reach its limit."""
    return Compared(figure, limit, unit, margin, "≥")


def at_most(figure: float, limit: float, unit: str, margin: float) -> Compared:
    """A figure that must stay within its limit."""
    return Compared(figure, limit, unit, margin, "≤")


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing the design check says of the design.

    `code` is stable and names the check (``cable.voltage``); `subject` names the thing (``circuit 2``);
    `sentence` says what, by how much, and the remedy; `formula` is in words; `compared` where one figure decides.
    """

    code: str
    severity: Severity
    subject: str
    sentence: str
    source: Source
    inputs: tuple[Figure, ...] = ()
    formula: str = ""
    compared: Compared | None = None
    follow_ons: tuple["Finding", ...] = ()  # what is put right with it, told under it

    @property
    def in_full(self) -> "Finding":
        """The same with its words made, to be changed in part."""
        return Finding(*(getattr(self, one.name) for one in fields(Finding)))


class _WordsWhenRead(Finding):
    """A finding whose verdict stands, and whose words are made by `tell` when somebody reads them."""

    __slots__ = ("_tell",)

    def __init__(self, code, severity, subject, tell):
        # Past the guard of frozen records, slot by slot: a portfolio has two hundred of these a panel.
        _set_code(self, code)
        _set_severity(self, severity)
        _set_subject(self, subject)
        _set_tell(self, tell)

    def __getattr__(self, name):
        # Asked only for what is not there yet: the first that is read brings all the others.
        if name not in _WORDS:
            raise AttributeError(name)
        told = self._tell()
        if (told.code, told.severity, told.subject) != (self.code, self.severity, self.subject):
            raise AssertionError(f"{self.code} of {self.subject} is counted as {self.severity}, told as {told}")
        for one in _WORDS:
            object.__setattr__(self, one, getattr(told, one))
        return getattr(self, name)


_set_code, _set_severity, _set_subject = (getattr(Finding, name).__set__ for name in ("code", "severity", "subject"))
_set_tell = _WordsWhenRead._tell.__set__
_WORDS = tuple(one.name for one in fields(Finding) if one.name not in ("code", "severity", "subject"))


def when_read(code, severity, subject, tell: Callable[[], Finding]) -> Finding:
    """The finding that `tell` makes, of which at once only the verdict is known: most of a portfolio nobody reads.

    Args:     tell: makes the same finding with its words; its code, severity and subject must be these.
    """
    return _WordsWhenRead(code, severity, subject, tell)


def all_when_read(
    verdicts: Sequence[tuple[str, Severity]], subject: str, judge: Callable[[], list[Finding]]
) -> list[Finding]:
    """The findings that `judge` makes, of which at once only (code, severity) are known: the first read brings all."""
    made: list[Finding] = []

    def tell(place):
        if not made:
            made.extend(judge())
        if len(made) != len(verdicts):
            raise AssertionError(f"of {subject} {len(verdicts)} findings are counted, {len(made)} told")
        return made[place]

    return [_WordsWhenRead(code, severity, subject, partial(tell, k)) for k, (code, severity) in enumerate(verdicts)]


def verdict_when_read(code, subject, passed: bool, tell: Callable[[], Finding]) -> Finding:
    """As :func:`when_read` where the value entered is met or not: what `tell` makes is a :func:`verdict`."""
    return _WordsWhenRead(code, Severity.MEETS if passed else Severity.FAIL, subject, tell)


def fail(code, subject, sentence, source, inputs=(), formula="", *, compared=None) -> Finding:
    """A limit that was entered is not met."""
    return Finding(code, Severity.FAIL, subject, sentence, source, inputs, formula, compared)


def meets(code, subject, words, source, inputs=(), formula="", *, limit=None, more="", compared=None) -> Finding:
    """The value entered is met. The words say which value, without a stop; whose limit it is follows by itself.

    Args:     limit: whose the limit is, where neither `LIMIT_OF` nor the source says it; "" where the words name it;
              more: a sentence that stands behind the clause.
    """
    whose = limit if limit is not None else LIMIT_OF.get(code, source)
    clause = f"within the entered limit ({whose})" if whose else "within the entered limit"
    return Finding(code, Severity.MEETS, subject, f"{words}: {clause}.{more}", source, inputs, formula, compared)


def meets_in_words(code, subject, sentence, source, inputs=(), formula="", *, compared=None) -> Finding:
    """The value entered is met, in a sentence of its own that says whose limit it is."""
    return Finding(code, Severity.MEETS, subject, sentence, source, inputs, formula, compared)


def question(code, subject, sentence, source, inputs=(), formula="", *, compared=None) -> Finding:
    """Used as entered, but a person should look at it."""
    return Finding(code, Severity.QUESTION, subject, sentence, source, inputs, formula, compared)


def note(code, subject, sentence, source, inputs=(), formula="") -> Finding:
    """Worth knowing; no verdict."""
    return Finding(code, Severity.NOTE, subject, sentence, source, inputs, formula)


def missing(code: str, subject: str, what: str, owners: Iterable[str], source: Source, *, not_checked: str):
    """No verdict, because a figure is not known.

    Args:     what: the figure in words ("rated current"); owners: whose; not_checked: what stays unchecked.
    Returns:  a Finding: "rated current of A1, A2 not known: circuit 2 not checked".
    """
    named = listed(owners)
    whose = f"{what} of {named}" if named else what
    sentence = f"{whose} not known: {not_checked} not checked. Enter it to get a verdict."
    return Finding(code, Severity.MISSING, subject, sentence, source, (Figure(what, None),))


def verdict(
    code, subject, passed: bool, good: str, bad: str, source, inputs=(), formula="", *, limit=None, compared=None
):
    """`meets` with the words `good`, or `fail` with the sentence `bad`."""
    if passed:
        return meets(code, subject, good, source, inputs, formula, limit=limit, compared=compared)
    return fail(code, subject, bad, source, inputs, formula, compared=compared)


def worst_severity(findings: Iterable[Finding]) -> Severity | None:
    """The severity that decides over several findings; ``None`` when nothing was checked at all."""
    return min((one.severity for one in findings), key=_RANK.__getitem__, default=None)


def worst_first(findings: Iterable[Finding]) -> list[Finding]:
    """The same findings, worst severity first, otherwise in the order in which they came."""
    return sorted(findings, key=lambda one: _RANK[one.severity])


def by_severity(findings: Iterable[Finding]) -> dict[Severity, int]:
    """How many findings there are of each severity, every severity named."""
    counts = dict.fromkeys(Severity, 0)
    for one in findings:
        counts[one.severity] += 1
    return counts


def counted(number: int, noun: str) -> str:
    """A number with its noun: "1 day", "2 days"."""
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def listed(names: Iterable[str], limit: int = 6) -> str:
    """Names for a sentence: "A1, A2 and A3"; a long list ends "… and 12 more"."""
    names = [str(name) for name in names]
    if len(names) > limit:
        return f"{', '.join(names[:limit])} and {len(names) - limit} more"
    return " and ".join(filter(None, [", ".join(names[:-1]), names[-1] if names else ""]))
