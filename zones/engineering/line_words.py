"""Resistances of monitored lines as sentences and tables say them."""

from zones.engineering.detection_lines import Span
from zones.engineering.findings import Figure

FORMULA = (
    "cable, devices and end-of-line resistor folded in series and parallel from the far end, all tolerances at worst"
)


def figures_of(span: Span, low: float, high: float) -> tuple[Figure, ...]:
    """What is seen, and the range in which it must lie."""
    return (
        Figure("least seen", round(span.low_ohm, 1), "ohm"),
        Figure("greatest seen", round(span.high_ohm, 1), "ohm"),
        Figure("range from", low, "ohm"),
        Figure("range to", high, "ohm"),
    )


def finite(ohm: float) -> float | str:
    """A figure for a table: "open" where it is infinite."""
    return "open" if ohm == float("inf") else round(ohm, 1)


def ohm_in_words(value: float) -> str:
    """A resistance for a sentence: "661 Ω", "10.02 kΩ", "open"."""
    if value == float("inf"):
        return "open"
    return f"{value / 1000:.2f} kΩ" if value >= 1000 else f"{value:.4g} Ω"


def range_in_words(low: float, high: float) -> str:
    """Two resistances with the unit once, where it is the same."""
    first, last = ohm_in_words(low), ohm_in_words(high)
    if first == last:
        return first
    figure, _, unit = first.partition(" ")
    return f"{figure} to {last}" if unit and last.endswith(f" {unit}") else f"{first} to {last}"


def span_in_words(span: Span) -> str:
    """The ends of a span: "9.90 to 10.12 kΩ", "605 Ω to 1.20 kΩ", "open"."""
    return range_in_words(span.low_ohm, span.high_ohm)


def kohm_figure(kohm: float) -> str:
    """A resistance in kΩ as a meter shows it; below 1 kΩ with one digit more: 10.02, 0.672."""
    return f"{kohm:.2f}" if kohm >= 1 else f"{kohm:.3f}"


def meter_in_words(span: Span) -> str:
    """What a meter at the terminals must read: always in kΩ, so that one reading is compared with the next."""
    return f"{kohm_figure(span.low_ohm / 1000)} to {kohm_figure(span.high_ohm / 1000)} kΩ"
