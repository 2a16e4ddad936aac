"""Figures that a visit's engineer reads off a data plate, because a reading cannot be judged without them."""

from collections.abc import Mapping

from django import forms

from inspections.forms.answers import ReadingField
from inspections.services.point_limits import with_figures
from zones.services.plate_figures import PlateFigureRefused, take_plate_figure


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
            position=point.position, product_model_pk=model_pk, name=name, value=_number(asked[name], text),
            read_by=read_by, read_at=read_at,
        )  # fmt: skip
        taken[name] = float(one.value if one.value_on_record is None else one.value_on_record)
        notes.append(_note(one, rule.whose))
    _judge_anew(visit, point, points, model_pk, taken)
    return notes


def _number(asked, text):
    try:
        number = ReadingField().clean(str(text))
    except forms.ValidationError:
        number = None
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
    return f"{figure} is on record now for {whose}, read by {figure.read_by}."


def _judge_anew(visit, point, points, model_pk, taken):
    alike = (
        visit.test_points.filter(reading_rule__model=model_pk) if model_pk else visit.test_points.filter(pk=point.pk)
    )
    stored = [one for one in alike.select_related("check_of") if _rests_on(one, taken)]
    for one in (*stored, *(points[one.pk] for one in stored if one.pk in points)):
        with_figures(one, taken)
    visit.test_points.model.objects.bulk_update(
        stored, ["reading_rule", "lower_limit", "upper_limit", "limit_source"], batch_size=200
    )


def _rests_on(point, taken):
    return any(asked["name"] in taken for asked in point.reading_rule["asks"])
