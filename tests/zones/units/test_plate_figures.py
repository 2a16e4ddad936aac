"""A figure read off a data plate: a model that lacks it takes it, one that has it keeps its own beside it."""

from decimal import Decimal

import pytest
from django.utils import timezone

from tests import builders
from zones.models import PlateFigure
from zones.units.plate_figures import PlateFigureRefused, keep_record, take_plate_figure

RATED, LEAST = "rated_voltage_v", "minimum_voltage_v"


@pytest.fixture
def read(town):
    """Read a figure of a model at SD1."""

    def read(model, value, name=RATED):
        return take_plate_figure(
            position=town.detector,
            product_model_pk=model and model.pk,
            name=name,
            value=Decimal(value),
            read_by=town.people["engineer"],
            read_at=timezone.now(),
        )

    return read


@pytest.fixture
def model(town):
    return builders.make_product_model("actuator", rated_voltage_v=None, minimum_voltage_v=None)


def test_a_model_that_lacks_the_figure_takes_it_and_its_history_says_who_read_it_where(town, read, model):
    figure = read(model, "24")
    model.refresh_from_db()
    assert (model.rated_voltage_v, figure.value, figure.value_on_record) == (24, 24, None)
    last = model.history.latest()
    assert (last.history_user, last.history_change_reason) == (
        town.people["engineer"],
        "Read off the data plate at SD1",
    )


def test_a_model_that_has_the_figure_keeps_its_own_and_what_was_read_stands_beside_it(town, read, model):
    read(model, "24")
    figure = read(model, "48")
    model.refresh_from_db()
    assert (model.rated_voltage_v, figure.value, figure.value_on_record) == (24, 48, 24)
    assert list(PlateFigure.objects.contradicting()) == [figure]


def test_without_a_model_on_record_the_figure_is_kept_with_its_position(town, read):
    figure = read(None, "24")
    assert (figure.product_model, figure.position, figure.value_on_record) == (None, town.detector, None)


@pytest.mark.parametrize(
    ("name", "on_record", "value", "sentence"),
    [
        (RATED, {}, "0", "Rated voltage: a data plate says more than 0, not 0."),
        (RATED, {}, "5000", "Rated voltage: 5000.* is not possible: it must be"),
        (LEAST, {RATED: 24}, "24.5", "runs at, 24.5 V, is above its rated voltage, 24 V. Read the plate once more."),
        (RATED, {LEAST: 20}, "19", "runs at, 20 V, is above its rated voltage, 19 V. Read the plate once more."),
    ],
)
def test_a_figure_that_no_plate_says_is_refused_and_changes_nothing(read, model, name, on_record, value, sentence):
    type(model).objects.filter(pk=model.pk).update(**on_record)
    with pytest.raises(PlateFigureRefused, match=sentence) as refused:
        read(model, value, name)
    assert refused.value.field == name
    model.refresh_from_db()
    assert getattr(model, name) is None
    assert not PlateFigure.objects.exists()


def test_the_least_voltage_may_be_the_rated_one(read, model):
    read(model, "24")
    assert read(model, "24", LEAST).value == 24


def test_the_record_is_kept_against_every_equal_figure_read_of_the_model(town, read, model):
    read(model, "24")
    figures = [read(model, value) for value in ("48", "48", "36")]
    office = town.people["office"]
    assert keep_record(figure=figures[0], reason=" Plate of  another model. ", kept_by=office) == 2
    assert list(PlateFigure.objects.contradicting()) == [figures[2]]
    figures[1].refresh_from_db()
    assert (figures[1].kept_by, figures[1].kept_reason) == (office, "Plate of another model.")
    assert keep_record(figure=figures[0], reason="Once more.", kept_by=office) == 0


@pytest.mark.parametrize(
    ("reason", "sentence"),
    [("  ", "Say why the record is kept"), ("x" * 201, "Write at most 200 characters; these are 201.")],
)
def test_the_record_is_not_kept_without_a_reason_that_has_room(town, read, model, reason, sentence):
    read(model, "24")
    figure = read(model, "48")
    with pytest.raises(PlateFigureRefused, match=sentence) as refused:
        keep_record(figure=figure, reason=reason, kept_by=town.people["office"])
    assert refused.value.field == "reason"
    assert list(PlateFigure.objects.contradicting()) == [figure]
