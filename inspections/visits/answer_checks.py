"""Whether an answer fits what its test point asks."""

from inspections.models import Outcome
from inspections.models.test_points import NOT_TESTED, PASSING
from zones.engineering.readings.rule import Level


class AnswerRefused(Exception):
    def __init__(self, message, field=""):
        self.message, self.field = message, field
        super().__init__(message)


def check_against_point(cleaned, point):
    """Raise AnswerRefused where an answer does not fit what its point asks."""
    outcome, reading = cleaned["outcome"], cleaned["reading"]
    if outcome in NOT_TESTED:
        if not cleaned["reason"]:
            word = Outcome(outcome).label
            raise AnswerRefused(f"{point.title}: say why it is {word}.", "reason")
        if reading is not None:
            raise AnswerRefused(f"{point.title}: it cannot be {Outcome(outcome).label} and read {reading}.", "reading")
        return
    cleaned["reason"] = ""
    if reading is not None and not point.quantity:
        raise AnswerRefused(
            f"{point.title} takes no reading, yet {reading} was given. Write it as a remark.", "reading"
        )
    if reading is None and point.is_reading_required and outcome in PASSING:  # what fails may read nothing
        raise AnswerRefused(f"{point.title}: enter the {point.quantity} in {point.unit or 'figures'}.", "reading")
    if outcome == Outcome.REMARK and not cleaned["remark"]:
        raise AnswerRefused(f"{point.title}: write the remark.", "remark")
    if outcome == Outcome.PASS and reading is not None:
        _check_plain_pass(reading, point, cleaned.get("figures") or {})


def _check_plain_pass(reading, point, figures):
    """Raise AnswerRefused where a reading needs more than a plain pass: outside, or nothing says what is right."""
    rule = point.rule.with_figures(figures)
    match rule.level(float(reading)):
        case Level.OUTSIDE:
            sentences = (
                f"{point.quantity.capitalize()} {reading} {point.unit} is outside the limits ({point.limits_text}).",
                f"They are from: {point.limit_source}." if point.limit_source else "",
                rule.looks_like(float(reading)),
                "Choose fail, or pass with remark and say why it can stay.",
            )
            raise AnswerRefused(" ".join(filter(None, sentences)), "outcome")
        case Level.ASKED if any(one.is_needed and not one.of_reading for one in rule.still_asked()):
            raise AnswerRefused(
                f"Nothing on record says what {point.quantity} is right here. Enter {rule.asked_in_words()}, or "
                "pass with remark and say why it cannot be read.",
                "figures",
            )
