"""What a panel makes of a resistance at its terminals: the ranges that part the states of a line.

No published standard fixes them; they are common practice, and a firm can edit them.
"""

import itertools
import math
from dataclasses import replace
from enum import StrEnum

from zones.engineering.detection_lines import DetectionLine, Span
from zones.engineering.trade_practice import TRADE_PRACTICE, TradePractice


class RangeName(StrEnum):
    """What the panel makes of a resistance; between the ranges lies a fault, never normal."""

    SHORT = "short circuit"
    ALARM = "alarm"
    NORMAL = "normal"
    OPEN = "open circuit"
    UNDEFINED = "fault, undefined"


RANGE_NAMES = (
    "short_below_ohm",
    "alarm_low_ohm",
    "alarm_high_ohm",
    "normal_low_ohm",
    "normal_high_ohm",
    "open_above_ohm",
)


def practice_of_line(line: DetectionLine, practice: TradePractice = TRADE_PRACTICE) -> TradePractice | None:
    """The practice with the ranges of the device at which a line starts; ``None`` where not all of them are known."""
    if line.ranges is None:
        return practice
    known = dict(line.ranges)
    return replace(practice, **known) if set(known) == set(RANGE_NAMES) else None


def range_of(ohm: float, practice: TradePractice = TRADE_PRACTICE) -> RangeName:
    """What the panel makes of one resistance. Source: ranges are common practice [P]."""
    if ohm < practice.short_below_ohm:
        return RangeName.SHORT
    if practice.alarm_low_ohm <= ohm <= practice.alarm_high_ohm:
        return RangeName.ALARM
    if practice.normal_low_ohm <= ohm <= practice.normal_high_ohm:
        return RangeName.NORMAL
    return RangeName.OPEN if ohm > practice.open_above_ohm else RangeName.UNDEFINED


def lies_in(span: Span, name: RangeName, practice: TradePractice = TRADE_PRACTICE) -> bool:
    """Whether all of a span lies in one range: a range is a stretch, so that its ends tell."""
    return range_of(span.low_ohm, practice) is name and range_of(span.high_ohm, practice) is name


def ranges_of(span: Span, practice: TradePractice = TRADE_PRACTICE) -> set[RangeName]:
    """The ranges that a span reaches into or crosses; more than one: the state is not told reliably."""
    low = range_of(span.low_ohm, practice)
    if low is not RangeName.UNDEFINED and low is range_of(span.high_ohm, practice):
        return {low}  # what begins and ends in one range lies in it; between ranges there are several stretches
    limits = (practice.short_below_ohm, practice.alarm_low_ohm, practice.alarm_high_ohm)
    limits += (practice.normal_low_ohm, practice.normal_high_ohm, practice.open_above_ohm)
    crossed = [limit for limit in limits if span.low_ohm < limit < span.high_ohm]
    # Beside the limits themselves one point of each stretch between them, or a gap between ranges is overlooked.
    ends = (span.low_ohm, *crossed, span.high_ohm)
    between = [math.sqrt(max(one, 1e-3) * other) for one, other in itertools.pairwise(ends)] if crossed else []
    return {range_of(ohm, practice) for ohm in (*ends, *between)}
