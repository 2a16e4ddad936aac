"""Serials at scanner speed: a row is saved when its serial is typed, and whatever is wrong is said at that row."""

from datetime import date

import pytest
from django.urls import reverse

from tests import builders
from zones.models import DeviceKind, Fitting, Unit

TODAY = "2026-03-02"


@pytest.fixture
def planned(town):
    """A detector position of the hall with its model planned and no unit."""
    model = builders.make_product_model(name="D-24")
    return builders.make_position(town.hall, tag="SD2", product_model=model, storey="1")


def scan(client, position, serial, **fields):
    data = {f"serial-{position.pk}": serial, "fitted_on": TODAY, **fields}
    return client.post(reverse("serial-save", args=[position.pk]), data)


def unit_at(position):
    fitting = Fitting.objects.open().filter(position=position).first()
    return fitting and fitting.unit


def test_a_scanned_serial_is_fitted_with_the_planned_model(as_, planned):
    response = scan(as_("engineer"), planned, "A-0")
    assert response.status_code == 200
    assert "saved" in response.content.decode()
    unit = unit_at(planned)
    assert (unit.serial, unit.product_model) == ("A-0", planned.product_model)
    assert unit.fittings.get().fitted_on == date(2026, 3, 2)
    assert unit.fittings.get().fitted_by.full_name == "Edwin Marsh"


def test_a_scanned_element_string_gives_serial_and_batch(as_, planned):
    scan(as_("engineer"), planned, "(01)09501101530003(21)A-0(10)B7")
    assert (unit_at(planned).serial, unit_at(planned).batch) == ("A-0", "B7")


def test_a_label_without_serial_is_refused_at_its_row(as_, planned):
    response = scan(as_("engineer"), planned, "(01)09501101530003(10)B7")
    assert response.status_code == 422
    assert "no serial (21)" in response.content.decode()
    assert unit_at(planned) is None


def test_a_row_sent_twice_is_saved_once(as_, planned):
    scan(as_("engineer"), planned, "A-0")
    assert scan(as_("engineer"), planned, "A-0").status_code == 200
    assert planned.fittings.count() == 1


def test_a_serial_that_is_fitted_elsewhere_is_refused_with_the_place(as_, town, planned):
    builders.fit(builders.make_position(town.mill, tag="SD4"), builders.make_unit(planned.product_model, serial="A-0"))
    response = scan(as_("engineer"), planned, "A-0")
    assert response.status_code == 422
    assert "is fitted in Mill House at SD4 since 3 Mar 2025" in response.content.decode()
    assert unit_at(planned) is None


def test_a_position_without_planned_model_needs_one_chosen(as_, town):
    position = builders.make_position(town.hall, tag="SD3")
    response = scan(as_("engineer"), position, "A-0")
    assert "Choose the model of this unit." in response.content.decode()
    model = builders.make_product_model(name="D-24")
    assert scan(as_("engineer"), position, "A-0", **{f"model-{position.pk}": model.pk}).status_code == 200
    assert unit_at(position).product_model == model


def test_a_model_of_another_kind_is_not_taken(as_, town):
    position = builders.make_position(town.hall, tag="SD3")
    model = builders.make_product_model(DeviceKind.RAIN_SENSOR)
    assert scan(as_("engineer"), position, "A-0", **{f"model-{position.pk}": model.pk}).status_code == 422
    assert unit_at(position) is None


@pytest.mark.parametrize("serial", ["", "   ", "A\x00B", "X" * 61, "X" * 5000])
def test_what_is_no_serial_gets_a_sentence(as_, planned, serial):
    assert scan(as_("engineer"), planned, serial).status_code == 422
    assert not Unit.objects.filter(product_model=planned.product_model).exists()


@pytest.mark.parametrize("day", ["", "yesterday", "2999-01-01", "0001-01-01", "2026-02-30"])
def test_what_is_no_date_gets_a_sentence(as_, planned, day):
    assert scan(as_("engineer"), planned, "A-0", fitted_on=day).status_code == 422
    assert unit_at(planned) is None


def test_a_position_no_longer_used_meanwhile_gets_a_sentence(as_, planned):
    planned.retired_on = date(2026, 1, 5)
    planned.save()
    response = scan(as_("engineer"), planned, "A-0")
    assert "SD2 is no longer used since 5 Jan 2026" in response.content.decode()


def page_of(town):
    return reverse("serial-list", args=[town.hall.slug])


def test_the_page_lists_positions_without_unit_in_walking_order(as_, town, planned):
    first = builders.make_position(town.hall, tag="SD9", walking_order=0)
    rows = as_("engineer").get(page_of(town)).context["rows"]
    tags = [row.position.tag for row in rows]
    assert tags[0] == first.tag
    assert "SD2" in tags
    assert "SD1" not in tags  # has its unit
    everything = as_("engineer").get(page_of(town) + "?show=all").context["rows"]
    assert "SD1" in [row.position.tag for row in everything]


def test_without_javascript_the_whole_page_is_one_form(as_, town, planned):
    other = builders.make_position(town.hall, tag="SD3", product_model=planned.product_model)
    response = as_("engineer").post(
        page_of(town), {f"serial-{planned.pk}": "A-0", f"serial-{other.pk}": "A-1", "fitted_on": TODAY}
    )
    assert response.status_code == 302
    assert [unit_at(planned).serial, unit_at(other).serial] == ["A-0", "A-1"]


def test_a_wrong_row_keeps_what_was_typed_while_the_right_ones_are_saved(as_, town, planned):
    other = builders.make_position(town.hall, tag="SD3", product_model=planned.product_model)
    response = as_("engineer").post(
        page_of(town), {f"serial-{planned.pk}": "A-0", f"serial-{other.pk}": "B" * 70, "fitted_on": TODAY}
    )
    assert response.status_code == 422
    assert "B" * 70 in response.content.decode()
    assert "1 saved. 1 row needs your attention" in response.content.decode()
    assert unit_at(planned).serial == "A-0"
    assert unit_at(other) is None


def test_one_serial_typed_at_two_positions_is_saved_at_neither(as_, town, planned):
    other = builders.make_position(town.hall, tag="SD3", product_model=planned.product_model)
    response = as_("engineer").post(
        page_of(town), {f"serial-{planned.pk}": "A-0", f"serial-{other.pk}": "a-0", "fitted_on": TODAY}
    )
    assert "is typed 2 times: at SD2, SD3" in response.content.decode()
    assert (unit_at(planned), unit_at(other)) == (None, None)


def test_a_row_that_somebody_filled_meanwhile_is_answered_and_keeps_the_typed_serial(as_, town, planned):
    builders.fit(planned, builders.make_unit(planned.product_model, serial="B-7"))
    response = as_("engineer").post(page_of(town), {f"serial-{planned.pk}": "A-0", "fitted_on": TODAY})
    assert response.status_code == 422
    text = response.content.decode()
    assert "SD2 has unit &#x27;B-7&#x27;" in text
    assert 'value="A-0"' in text


def test_a_position_of_another_building_is_not_filled_from_this_page(as_, town):
    elsewhere = builders.make_position(town.mill, tag="SD4", product_model=builders.make_product_model())
    as_("engineer").post(page_of(town), {f"serial-{elsewhere.pk}": "A-0", "fitted_on": TODAY})
    assert unit_at(elsewhere) is None


@pytest.mark.parametrize("key", ["serial-x", "serial-", "serial-99999999999999999999", "serial--1"])
def test_a_key_that_is_no_position_changes_nothing(as_, town, key):
    assert as_("engineer").post(page_of(town), {key: "A-0", "fitted_on": TODAY}).status_code == 302
    assert not Unit.objects.filter(serial="A-0").exists()
