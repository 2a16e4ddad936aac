"""A rule for one reading: its limits, where each comes from, what a wrong reading looks like, what is still asked.

A rule is plain data: it is stored with the test point, sent to the phone, and judged there (static/js/field/judge.js)
by the same few operations on the same numbers. Change one side only with the other; a test compares them.
"""

import math
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field, replace
from enum import StrEnum


@dataclass(frozen=True, slots=True)
class Term:
    """One end of a range: `plus`, and `factor` × figures ÷ figures; not known while one of its figures is not."""

    source: str = ""
    plus: float = 0.0
    factor: float = 1.0
    times: tuple[str, ...] = ()
    over: tuple[str, ...] = ()

    def value(self, figures: Mapping[str, float]) -> float | None:
        """The number, or ``None`` where a figure is not known."""
        if any(not figures.get(name) for name in (*self.times, *self.over)):
            return None
        if not self.times:
            return self.plus
        product = self.factor
        for name in self.times:
            product *= figures[name]
        for name in self.over:
            product /= figures[name]
        return self.plus + product


@dataclass(frozen=True, slots=True)
class Sign:
    """What a reading from `low` up to, not including, `high` looks like; ``None``: that end is open."""

    words: str
    low: Term | None = None
    high: Term | None = None

    def fits(self, reading: float, figures: Mapping[str, float]) -> bool:
        """Whether the reading lies there; an end that is not known fits nothing."""
        low, high = (None if end is None else end.value(figures) for end in (self.low, self.high))
        if (self.low is not None and low is None) or (self.high is not None and high is None):
            return False
        return (low is None or reading >= low) and (high is None or reading < high)


@dataclass(frozen=True, slots=True)
class AskedFigure:
    """A figure that the record lacks and a data plate tells: field of the product model, words and unit.

    Without one that `is_needed` no reading is right, whatever other limits hold; the others only sharpen a limit.
    `of_reading`: it belongs to the reading, not to a model: entered and kept with each; below `at_least` a reading
    within its limits proves nothing.
    """

    name: str
    label: str
    unit: str
    is_needed: bool = True
    of_reading: bool = False
    at_least: float | None = None

    def is_answered_by(self, figures: Mapping[str, float]) -> bool:
        """Whether a reading can be judged as far as this figure goes."""
        return bool(figures.get(self.name)) and figures[self.name] >= (self.at_least or 0)


class Level(StrEnum):
    """How a reading stands."""

    OUTSIDE = "outside"
    ATTENTION = "attention"
    WITHIN = "within"
    NO_LIMIT = "no limit"
    ASKED = "asked"


@dataclass(frozen=True, slots=True)
class Limits:
    """The range that holds, ends that are not known left open, and its source in words."""

    lower: float | None = None
    upper: float | None = None
    source: str = ""

    @property
    def are_none(self) -> bool:
        """Whether both ends are open."""
        return self.lower is None and self.upper is None

    def hold(self, reading: float) -> bool:
        """Whether the reading lies inside."""
        return (self.lower is None or reading >= self.lower) and (self.upper is None or reading <= self.upper)


@dataclass(frozen=True, slots=True)
class ReadingRule:
    """The strictest of `lower` and of `upper` holds; `whose` names the product model whose figures are asked.

    `computed`: what the record lets expect, with where that is from; it judges nothing.
    """

    lower: tuple[Term, ...] = ()
    upper: tuple[Term, ...] = ()
    signs: tuple[Sign, ...] = ()
    figures: Mapping[str, float] = field(default_factory=dict)
    asks: tuple[AskedFigure, ...] = ()
    whose: str = ""
    digits: int = 3
    computed: Term | None = None

    def with_figures(self, figures: Mapping[str, float]) -> "ReadingRule":
        """The same rule with more figures known."""
        return replace(self, figures={**self.figures, **figures})

    def still_asked(self) -> tuple[AskedFigure, ...]:
        """Figures that are not known yet."""
        return tuple(one for one in self.asks if not one.is_answered_by(self.figures))

    def of_reading(self) -> tuple[AskedFigure, ...]:
        """Figures that are entered with each reading."""
        return tuple(one for one in self.asks if one.of_reading)

    def limits(self) -> Limits:
        """The strictest ends that are known, with their sources."""
        low, low_source = self._strictest(self.lower, max)
        high, high_source = self._strictest(self.upper, min)
        if low is None or high is None or low_source == high_source:
            return Limits(low, high, low_source or high_source)
        return Limits(low, high, f"at least: {low_source}; at most: {high_source}")

    def computed_value(self) -> float | None:
        """What the record lets expect; ``None`` where it says nothing."""
        value = None if self.computed is None else self.computed.value(self.figures)
        return None if value is None else self._rounded(value)

    def _strictest(self, terms, choose):
        known = [(value, term.source) for term in terms if (value := term.value(self.figures)) is not None]
        if not known:
            return None, ""
        value, source = choose(known, key=lambda one: one[0])
        return self._rounded(value), source

    def _rounded(self, value: float) -> float:
        scale = 10**self.digits
        return math.floor(value * scale + 0.5) / scale

    def looks_like(self, reading: float) -> str:
        """What the reading looks like, in sentences; empty where nothing is known of it."""
        return " ".join(sign.words for sign in self.signs if sign.fits(reading, self.figures))

    def level(self, reading: float) -> Level:
        """How the reading stands."""
        limits = self.limits()
        if not limits.hold(reading):
            return Level.OUTSIDE
        if any(one.is_needed for one in self.still_asked()):
            return Level.ASKED
        if self.looks_like(reading):
            return Level.ATTENTION
        return Level.NO_LIMIT if limits.are_none else Level.WITHIN

    def asked_in_words(self) -> str:
        """What to enter: "the rated current (A) of Tarn Works A 1 from its data plate"; empty where nothing."""
        asked = self.still_asked()
        named = [f"{one.label} ({one.unit})" for one in asked]
        plate = "" if all(one.of_reading for one in asked) else " from its data plate"
        return f"the {' and the '.join(named)} of {self.whose}{plate}" if named else ""

    def as_data(self) -> dict:
        """The rule as plain data, for a JSON column and for the phone."""
        return asdict(self) | {"figures": dict(self.figures)}


def rule_of(data: Mapping) -> ReadingRule:
    """The rule that `as_data` wrote."""
    return ReadingRule(
        lower=tuple(map(_term, data["lower"])),
        upper=tuple(map(_term, data["upper"])),
        signs=tuple(Sign(one["words"], _term(one["low"]), _term(one["high"])) for one in data["signs"]),
        figures=data["figures"],
        asks=tuple(AskedFigure(**one) for one in data["asks"]),
        whose=data["whose"],
        digits=data["digits"],
        computed=_term(data.get("computed")),  # a rule stored before there was one has none
    )


def _term(data: Mapping | None) -> Term | None:
    if data is None:
        return None
    return Term(data["source"], data["plus"], data["factor"], tuple(data["times"]), tuple(data["over"]))
