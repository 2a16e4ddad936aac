"""Figures that a visit's engineer reads off a data plate, because a reading cannot be judged without them."""

from collections.abc import Mapping
from datetime import timedelta

from inspections.models import Outcome
from inspections.models.protocols import number_text
from inspections.test_points.counting import bring_up_to_date
from inspections.test_points.limits import with_figures
from inspections.visits.sent_answers import typed_reading
from zones.engineering.quantities import QuantityError, check_quantity
from zones.engineering.readings.rule import Level
from zones.units.plate_figures import PlateFigureRefused, take_plate_figure

# Figures that belong to a reading, by the quantity of engineering that says what can be.
QUANTITY_OF = {"test_voltage_v": "test_voltage"}


def figures_of_reading(point, figures):
    """Those of the figures given with an answer that belong to the reading itself, name → number.

    Raises PlateFigureRefused: one is no number, or none that can be.
    """
    if not isinstance(figures, Mapping):
        return {}
    asked = {one.name: one for one in point.rule.of_reading() if str(figures.get(one.name, "")).strip()}
    found = {name: float(_number(one, figures[name])) for name, one in asked.items()}
    for name, number in found.items():
        try:
            check_quantity(QUANTITY_OF[name], number, field=name)
        except QuantityError as error:
            label = asked[name].label.capitalize()
            raise PlateFigureRefused(
                f"{label}: {number:g} is not possible: it must be {error.accepted}.", field="figures"
            ) from error
    return found


def take_figures(*, visit, point, points, figures, read_by, read_at):
    """Take figures given with an answer at a point; returns notes for whoever gave them.

    All points of the visit that rest on the same model are judged by them from now; `points` are those in memory, by
    key. Call it in the transaction of the answer. Raises PlateFigureRefused.
    """
    rule = point.rule
    asked = {one.name: one for one in rule.asks}
    if not isinstance(figures, Mapping) or set(figures) - set(asked):
        raise PlateFigureRefused("This point asks for no such figure. Load the page again.", field="figures")
    model_pk, notes, taken = (point.reading_rule or {}).get("model"), [], {}
    for name, text in figures.items():
        one = take_plate_figure(
            position=point.position,
            product_model_pk=model_pk,
            name=name,
            value=_number(asked[name], text),
            read_by=read_by,
            read_at=read_at,
        )
        taken[name] = float(one.value if one.value_on_record is None else one.value_on_record)
        notes.append(_note(one, rule.whose))
    _judge_anew(visit, point, points, model_pk, taken)
    return notes


def _number(asked, text):
    number = typed_reading(str(text))
    if number is None:
        words = f"{asked.label.capitalize()}: '{str(text)[:30]}' is no number. Write plain digits, such as 0.8."
        raise PlateFigureRefused(words, field="figures")
    return number


def _note(figure, whose):
    if figure.is_contradiction:
        return (
            f"The register has {figure.label} {figure.value_on_record.normalize():f} {figure.unit} for {whose}, and "
            f"judges by it. {figure.value.normalize():f} {figure.unit}, read here, stands beside it for the office."
        )
    if figure.value_on_record is not None:
        return f"{figure} of {whose}: as on record."
    words = f"{figure}"
    return f"{words[0].upper()}{words[1:]} is on record now for {whose}, read by {figure.read_by}."


def _judge_anew(visit, point, points, model_pk, taken):
    alike = {"reading_rule__model": model_pk} if model_pk else {"pk": point.pk}
    found = visit.test_points.filter(**alike).select_related("check_of", "latest_result")
    # Points in memory are judged next: they have to know.
    changed = [points.get(one.pk, one) for one in found if _rests_on(one, taken)]
    for one in changed:
        with_figures(one, taken)
    passed_wrongly = [one for one in changed if one.pk != point.pk and _is_pass_outside(one)]
    if visit.is_open_for_results:
        for one in passed_wrongly:
            _ask_again(one)
    fields = ["reading_rule", "lower_limit", "upper_limit", "limit_source", "retest_since", "retest_reason"]
    visit.test_points.model.objects.bulk_update(changed, fields, batch_size=200)
    for one in passed_wrongly:
        bring_up_to_date(one)


def _rests_on(point, taken):
    return any(asked["name"] in taken for asked in point.reading_rule["asks"])


def _is_pass_outside(point):
    result = point.latest_result
    if result is None or result.outcome != Outcome.PASS or result.reading is None:
        return False
    return point.level_of(result.reading) == Level.OUTSIDE


def _ask_again(point):
    """A plain pass that the figure shows to be outside waits to be tested again, or answered otherwise."""
    result = point.latest_result
    point.retest_since = result.seen_at + timedelta(milliseconds=1)
    point.retest_reason = (
        f"{number_text(result.reading)} {point.unit} passed before a figure of the data plate was known; it is "
        f"outside the limits ({point.limits_text})."
    )[:300]
