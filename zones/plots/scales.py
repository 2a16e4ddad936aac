"""Scales: a figure to a place on the paper, and round figures to mark on an axis."""

import math
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Linear:
    """Figures from `low` to `high` on paper from `start` to `end`; may run backwards, as volts do upwards."""

    low: float
    high: float
    start: float
    end: float

    def __call__(self, value: float) -> float:
        share = (value - self.low) / (self.high - self.low) if self.high > self.low else 0.5
        return self.start + (self.end - self.start) * share


@dataclass(frozen=True, slots=True)
class Log:
    """Figures over several powers of ten; what lies outside, 0 and infinity too, stands at the edge."""

    low: float
    high: float
    start: float
    end: float

    def __call__(self, value: float) -> float:
        value = min(max(value, self.low), self.high)
        share = math.log(value / self.low) / math.log(self.high / self.low)
        return self.start + (self.end - self.start) * share


def nice_step(span: float, most: int) -> float:
    """The smallest of 1, 2, 5 × a power of ten with which a span has at most `most` steps.

    Args:     span: greater than 0; most: 1 or more.
    """
    power = 10.0 ** math.floor(math.log10(span / most))
    return next(step for step in (power, 2 * power, 5 * power, 10 * power, 20 * power) if span / step <= most + 1e-9)


def rounded_out(low: float, high: float, most: int = 5) -> tuple[float, float]:
    """The range widened to round figures, never empty: (18.2, 23.7) becomes (18, 24)."""
    if not high > low:
        low, high = low - 0.5, high + 0.5
    step = nice_step(high - low, most)
    return step * math.floor(low / step + 1e-9), step * math.ceil(high / step - 1e-9)


def ticks(low: float, high: float, most: int = 5) -> tuple[float, ...]:
    """Round figures inside a range, evenly apart, at most `most` + 1 of them.

    Args:     low below high.
    """
    step = nice_step(high - low, most)
    first = math.ceil(low / step - 1e-9)
    last = math.floor(high / step + 1e-9)
    return tuple(k * step for k in range(first, last + 1))


def decades(low: float, high: float) -> tuple[float, ...]:
    """Powers of ten inside a range of figures greater than 0."""
    first, last = math.ceil(math.log10(low) - 1e-9), math.floor(math.log10(high) + 1e-9)
    return tuple(10.0**k for k in range(first, last + 1))


def tick_words(values: tuple[float, ...]) -> tuple[str, ...]:
    """The figures of an axis, all with as many decimals as the finest needs; 10 000 is "10k" on an axis."""
    decimals = next(
        (digits for digits in range(7) if all(abs(round(value, digits) - value) < 1e-9 for value in values)), 6
    )
    return tuple(_short(value, decimals) for value in values)


def _short(value: float, decimals: int) -> str:
    if abs(value) >= 10_000 and value % 1000 == 0:
        return f"{value / 1000:g}k"
    return f"{value + 0.0:.{decimals}f}"
