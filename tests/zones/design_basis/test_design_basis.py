"""The design basis of a building and the firm's table of common practice."""

from dataclasses import fields

import pytest
from django.urls import reverse

from tests import builders
from zones.design_basis.practice import FIGURES, current_practice
from zones.engineering.trade_practice import TRADE_PRACTICE, TradePractice
from zones.models import DesignBasis, PracticeValue

pytestmark = pytest.mark.django_db
BASIS = "/buildings/ropewalk-hall/design-basis/"


def test_the_engineer_states_the_basis_of_a_building(as_, town):
    typed = {"standby_basis": "en-12101-10-2005-72h", "operations": "3", "source": "Fire strategy, 5.2"}
    assert as_("engineer").post(BASIS, typed).status_code == 302
    basis = town.hall.design_basis
    assert (basis.basis.standby_h, basis.operations, basis.standby_hours) == (72, 3, None)


def test_a_building_has_one_basis_and_it_is_changed(as_, town):
    stored = builders.make_design_basis(town.hall, operations=2)
    typed = {"standby_basis": "bs-5839-1-2025", "operations": "", "seen_version": stored.row_version}
    assert as_("office").post(BASIS, typed).status_code == 302
    assert list(DesignBasis.objects.values_list("standby_basis", "operations")) == [("bs-5839-1-2025", None)]


def test_a_stale_edit_of_the_basis_is_shown_and_not_stored(as_, town):
    stored = builders.make_design_basis(town.hall, operations=2)
    response = as_("office").post(BASIS, {"operations": "5", "seen_version": stored.row_version + 1})
    assert response.status_code == 422
    assert DesignBasis.objects.get().operations == 2


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("standby_basis", "made-up"),
        ("standby_hours", "0"),
        ("standby_hours", "1e999"),
        ("standby_hours", "4320"),
        ("operations", "0"),
        ("operations", "99999999999"),
        ("opening_limit_s", "-1"),
        ("fire_minutes", "3600"),
    ],
)
def test_a_basis_that_cannot_be_is_told_at_its_field_and_not_stored(as_, town, field, value):
    response = as_("office").post(BASIS, {field: value})
    assert response.status_code == 422
    assert response.context["form"].errors[field]
    assert not DesignBasis.objects.exists()


def test_every_figure_of_practice_has_its_line_in_the_table():
    assert sorted(figure.name for figure in FIGURES) == sorted(field.name for field in fields(TradePractice))


def test_without_a_row_the_defaults_hold():
    assert current_practice() == TRADE_PRACTICE


@pytest.mark.parametrize(
    ("name", "typed", "value"),
    [
        ("opening_limit_s", "45", 45.0),
        ("starting_current_required", "yes", True),
        ("cells", "12", 12),
        ("standard_battery_ah", "7, 12 17", (7.0, 12.0, 17.0)),
    ],
)
def test_the_office_sets_a_figure_and_the_checks_use_it(as_, town, name, typed, value):
    assert as_("office").post(reverse("practice-update", args=[name]), {"value": typed}).status_code == 302
    assert getattr(current_practice(), name) == value


@pytest.mark.parametrize(
    ("name", "typed", "sentence"),
    [
        ("opening_limit_s", "0", "must be greater than 0"),
        ("opening_limit_s", "nan", "must be greater than 0"),
        ("opening_limit_s", "sixty", "is not understood"),
        ("opening_limit_s", "", "This field is required"),
        ("starting_current_required", "perhaps", "Write yes or no"),
        ("standard_battery_ah", "17 7", "a rising list"),
        ("alarm_high_ohm", "9000", "rising: short, alarm, normal, open"),
        ("element_tolerance", "5", "at most 0.5"),
    ],
)
def test_a_figure_that_cannot_be_is_told_and_the_default_stays(as_, town, name, typed, sentence):
    response = as_("office").post(reverse("practice-update", args=[name]), {"value": typed})
    assert response.status_code == 422
    assert sentence in " ".join(response.context["form"].errors["value"])
    assert current_practice() == TRADE_PRACTICE


def test_a_figure_goes_back_to_its_default_and_keeps_its_history(as_, town):
    office = as_("office")
    office.post(reverse("practice-update", args=["opening_limit_s"]), {"value": "45"})
    office.post(reverse("practice-reset", args=["opening_limit_s"]))
    assert current_practice() == TRADE_PRACTICE
    assert [row.history_type for row in PracticeValue.history.order_by("pk")][-1] == "-"


def test_the_table_shows_value_unit_source_and_what_was_set(as_, town):
    office = as_("office")
    office.post(reverse("practice-update", args=["opening_limit_s"]), {"value": "45"})
    text = office.get(reverse("practice-list")).content.decode()
    assert "set by the firm" in text
    assert "default 60" in text
    assert "EN 12101-2:2017, second-hand" in text


def test_an_unknown_figure_is_not_found(as_, town):
    assert as_("office").get("/practice/made_up/").status_code == 404
    assert as_("office").post("/practice/made_up/default/").status_code == 404
