"""The rule for the resistance of a monitored line at its terminals, line off the panel and devices at rest."""

from zones.engineering.line_words import ohm_in_words
from zones.engineering.readings.rule import ReadingRule, Sign, Term
from zones.engineering.trade_practice import TRADE_PRACTICE, TradePractice

NEAR = 0.1  # [P]: a half, a third or the double of a resistor is told within a tenth


def line_resistance(
    lower: tuple[Term, ...],
    upper: tuple[Term, ...],
    *,
    resistor_ohm: float | None,
    ohm_per_unit: float = 1_000.0,
    computed_ohm: float | None = None,
    practice: TradePractice = TRADE_PRACTICE,
) -> ReadingRule:
    """Limits as computed or of the protocol, in the unit of the reading, with what a wrong reading looks like.

    Args:     computed_ohm: resistor and cable at their nominal values;
              practice: with the resistance ranges of the panel's own data sheet, where it has them.
    """

    def at(ohm):
        return Term(plus=ohm / ohm_per_unit)

    alarm = f"{ohm_in_words(practice.alarm_low_ohm)} to {ohm_in_words(practice.alarm_high_ohm)}"
    signs = [
        Sign(
            f"The panel takes it for a short circuit (below {ohm_in_words(practice.short_below_ohm)}): cores touch.",
            high=at(practice.short_below_ohm),
        ),
        Sign(
            f"The panel takes it for an alarm ({alarm}): a device in alarm, its resistor in the wrong terminals, or "
            "another end-of-line resistor.",
            at(practice.alarm_low_ohm),
            at(practice.alarm_high_ohm + 0.01),
        ),
        Sign(
            f"The panel takes it for an open line (above {ohm_in_words(practice.open_above_ohm)}): the end-of-line "
            "resistor is missing, a core is broken, or a device is not looped through.",
            at(practice.open_above_ohm),
        ),
    ]
    if resistor_ohm:
        signs += _multiples(resistor_ohm, at)
        signs += _other_value(resistor_ohm, lower, upper, at, practice)
    computed = None if computed_ohm is None else Term("design check, nominal", computed_ohm / ohm_per_unit)
    return ReadingRule(lower, upper, tuple(signs), computed=computed)


def _multiples(resistor_ohm, at):
    value = ohm_in_words(resistor_ohm)
    for factor, words in (
        (
            1 / 2,
            f"Half of {value}: two resistors, the one at the terminals where it begins not removed; or another value.",
        ),
        (1 / 3, f"A third of {value}: three resistors on one line."),
        (2, f"Twice {value}: two resistors one after another."),
    ):
        ohm = resistor_ohm * factor
        yield Sign(words, at(ohm * (1 - NEAR)), at(ohm * (1 + NEAR)))


def _other_value(resistor_ohm, lower, upper, at, practice):
    """Beside the resistor, but not by a factor: between the multiples and the limits."""
    value = ohm_in_words(resistor_ohm)
    if lower:
        low = max(lower, key=lambda term: term.plus)
        yield Sign(
            f"Less than {value} and its cable: another resistor, damp in a box, or a second way round.",
            at(resistor_ohm * (1 / 2 + NEAR / 2)),
            low,
        )
    if upper:
        high = min(upper, key=lambda term: term.plus)
        yield Sign(
            f"More than {value} and its cable: another resistor, or a joint that does not hold.",
            Term(plus=high.plus + 0.001),
            at(min(resistor_ohm * 2 * (1 - NEAR), practice.open_above_ohm)),
        )
