"""A unit comes to a position, leaves it, is swapped or moved: DESIGN.md, 'Shape of the data'."""

from datetime import date, timedelta

import pytest
from django.utils import timezone

from tests import builders
from zones.models import DeviceKind, Fitting
from zones.units.fittings import FittingRefused, exchange, fit, move, swap, take_off

MARCH_3 = date(2025, 3, 3)
APRIL_1 = date(2025, 4, 1)


def detector(building, tag):
    return builders.make_position(building, DeviceKind.SMOKE_DETECTOR, tag=tag)


def detector_unit(serial):
    return builders.make_unit(builders.make_product_model(DeviceKind.SMOKE_DETECTOR), serial=serial)


def test_fitting_a_unit_records_where_since_when_and_by_whom(town):
    position, unit = detector(town.hall, "SD4"), detector_unit("A-0")
    fitting = fit(position=position, unit=unit, fitted_on=MARCH_3, by=town.people["engineer"], reason="from store")
    assert fitting.history.get().history_change_reason == "from store"
    assert (fitting.position, fitting.unit, fitting.fitted_on) == (position, unit, MARCH_3)
    assert fitting.fitted_by == town.people["engineer"]
    assert fitting.removed_on is None


def test_fitting_the_same_twice_gives_the_fitting_that_stands(town):
    position, unit = detector(town.hall, "SD4"), detector_unit("A-0")
    first = fit(position=position, unit=unit, fitted_on=MARCH_3)
    assert fit(position=position, unit=unit, fitted_on=MARCH_3) == first
    assert position.fittings.count() == 1


def test_a_unit_fitted_elsewhere_is_refused_and_the_office_is_told_where(town):
    elsewhere, unit = detector(town.mill, "SD4"), detector_unit("A-0")
    fit(position=elsewhere, unit=unit, fitted_on=MARCH_3)
    position = detector(town.hall, "SD7")
    with pytest.raises(FittingRefused) as refused:
        fit(position=position, unit=unit, fitted_on=APRIL_1, by=town.people["office"])
    assert refused.value.reasons == [
        "Serial 'A-0' is fitted in Mill House at SD4 since 3 Mar 2025. Take it off there first, or correct the serial."
    ]
    assert not position.fittings.exists()


@pytest.mark.parametrize("person", ["manager", None])
def test_a_refusal_does_not_name_a_building_that_the_person_may_not_see(town, person):
    unit = detector_unit("A-0")
    fit(position=detector(town.mill, "SD4"), unit=unit, fitted_on=MARCH_3)
    by = town.people.get(person)
    with pytest.raises(FittingRefused) as refused:
        fit(position=detector(town.hall, "SD7"), unit=unit, fitted_on=APRIL_1, by=by)
    assert "Mill House" not in str(refused.value)
    assert "SD4" not in str(refused.value)


def test_a_position_with_a_unit_takes_no_second(town):
    with pytest.raises(FittingRefused, match="SD1 has unit 'AK-0001' since 3 Mar 2025. Take that unit off first"):
        fit(position=town.detector, unit=detector_unit("A-0"), fitted_on=APRIL_1)
    assert Fitting.objects.open().get(position=town.detector).unit == town.unit


def test_a_unit_of_another_kind_is_refused(town):
    call_point_unit = builders.make_unit(builders.make_product_model(DeviceKind.MANUAL_CALL_POINT), serial="CP-9")
    with pytest.raises(FittingRefused, match="CP-9 is a manual call point; SD4 needs a smoke detector."):
        fit(position=detector(town.hall, "SD4"), unit=call_point_unit, fitted_on=MARCH_3)


def test_a_position_no_longer_used_takes_no_unit(town):
    position = builders.make_position(town.hall, tag="SD4", retired_on=date(2025, 1, 10))
    with pytest.raises(FittingRefused, match="SD4 is no longer used since 10 Jan 2025. Take the position back first."):
        fit(position=position, unit=detector_unit("A-0"), fitted_on=MARCH_3)


@pytest.mark.parametrize(
    ("day", "sentence"),
    [(timezone.localdate() + timedelta(days=1), "lies ahead"), (date(25, 3, 3), "Correct the year")],
)
def test_an_impossible_date_is_refused(town, day, sentence):
    with pytest.raises(FittingRefused, match=sentence) as refused:
        fit(position=detector(town.hall, "SD4"), unit=detector_unit("A-0"), fitted_on=day)
    assert refused.value.field == "date"


def test_today_is_not_ahead(town):
    assert fit(position=detector(town.hall, "SD4"), unit=detector_unit("A-0"), fitted_on=timezone.localdate()).pk


def test_a_unit_is_not_fitted_while_an_earlier_one_still_stood(town):
    take_off(position=town.detector, removed_on=date(2025, 6, 1), reason="fault")
    with pytest.raises(FittingRefused, match="SD1 had a unit until 1 Jun 2025. Choose that day or a later one."):
        fit(position=town.detector, unit=detector_unit("A-0"), fitted_on=APRIL_1)
    assert fit(position=town.detector, unit=detector_unit("A-1"), fitted_on=date(2025, 6, 1)).pk


def test_a_unit_is_not_in_two_places_at_once_in_the_past(town):
    take_off(position=town.detector, removed_on=date(2025, 6, 1))
    with pytest.raises(FittingRefused, match="Serial 'AK-0001' was fitted elsewhere until 1 Jun 2025."):
        fit(position=detector(town.hall, "SD4"), unit=town.unit, fitted_on=APRIL_1)


def test_taking_off_closes_the_fitting_with_its_reason_and_keeps_it(town):
    fitting = take_off(position=town.detector, removed_on=APRIL_1, by=town.people["engineer"], reason="fault")
    assert (fitting.removed_on, fitting.removed_by) == (APRIL_1, town.people["engineer"])
    assert fitting.reason_removed == "fault"
    assert town.detector.fittings.get().unit == town.unit
    assert fitting.history.first().history_change_reason == "fault"


def test_a_unit_cannot_come_off_before_it_was_fitted(town):
    with pytest.raises(FittingRefused, match="was fitted at SD1 on 3 Mar 2025; it cannot come off on 1 Jan 2025"):
        take_off(position=town.detector, removed_on=date(2025, 1, 1))
    assert Fitting.objects.open().filter(position=town.detector).exists()


def test_a_position_without_unit_has_nothing_to_take_off(town):
    with pytest.raises(FittingRefused, match="CP1 has no unit now"):
        take_off(position=town.call_point, removed_on=APRIL_1)


def test_a_swap_closes_one_fitting_and_opens_the_next(town):
    new = detector_unit("A-0")
    swap(position=town.detector, new_unit=new, swapped_on=APRIL_1, by=town.people["engineer"], reason="end of life")
    fittings = town.detector.fittings.order_by("fitted_on")
    assert list(fittings.values_list("unit__serial", "fitted_on", "removed_on")) == [
        ("AK-0001", MARCH_3, APRIL_1),
        ("A-0", APRIL_1, None),
    ]


def test_a_swap_sent_twice_happens_once(town):
    new = detector_unit("A-0")
    first = swap(position=town.detector, new_unit=new, swapped_on=APRIL_1)
    assert swap(position=town.detector, new_unit=new, swapped_on=APRIL_1) == first
    assert town.detector.fittings.count() == 2


def test_a_refused_swap_changes_nothing(town):
    fitted_in_mill = detector_unit("A-0")
    fit(position=detector(town.mill, "SD4"), unit=fitted_in_mill, fitted_on=MARCH_3)
    with pytest.raises(FittingRefused):
        swap(position=town.detector, new_unit=fitted_in_mill, swapped_on=APRIL_1)
    assert town.detector.fittings.get().removed_on is None


def test_a_swap_for_a_unit_of_another_kind_leaves_the_old_unit_fitted(town):
    wrong = builders.make_unit(builders.make_product_model(DeviceKind.RAIN_SENSOR))
    with pytest.raises(FittingRefused, match="needs a smoke detector"):
        swap(position=town.detector, new_unit=wrong, swapped_on=APRIL_1)
    assert town.detector.fittings.get().removed_on is None


def test_a_move_takes_the_unit_from_here_to_there_on_one_day(town):
    there = detector(town.mill, "SD9")
    move(unit=town.unit, to_position=there, moved_on=APRIL_1, by=town.people["office"], reason="moved to Mill House")
    assert list(town.unit.fittings.order_by("fitted_on", "pk").values_list("position__tag", "removed_on")) == [
        ("SD1", APRIL_1),
        ("SD9", None),
    ]


def test_a_move_to_an_occupied_position_changes_nothing(town):
    there = detector(town.mill, "SD9")
    fit(position=there, unit=detector_unit("A-0"), fitted_on=MARCH_3)
    with pytest.raises(FittingRefused, match="SD9 has unit 'A-0'"):
        move(unit=town.unit, to_position=there, moved_on=APRIL_1)
    assert town.unit.fittings.get().removed_on is None


def test_a_unit_in_store_is_fitted_not_moved(town):
    with pytest.raises(FittingRefused, match="fitted nowhere now"):
        move(unit=detector_unit("A-0"), to_position=detector(town.hall, "SD4"), moved_on=APRIL_1)


def test_an_over_long_reason_is_refused_with_a_sentence(town):
    with pytest.raises(FittingRefused, match="at most 200 characters") as refused:
        take_off(position=town.detector, removed_on=APRIL_1, reason="x" * 201)
    assert refused.value.field == "reason"


REFUSED = {  # what is asked of the detector's own unit AK-0001, fitted at SD1 on 3 March 2025, and where it is told
    "a second unit": (
        lambda town: fit(position=town.detector, unit=detector_unit("A-0"), fitted_on=APRIL_1),
        "position",
    ),
    "at a place no longer used": (
        lambda town: fit(
            position=builders.make_position(town.hall, tag="SD4", retired_on=date(2025, 1, 10)),
            unit=detector_unit("A-0"),
            fitted_on=APRIL_1,
        ),
        "position",
    ),
    "nothing to take off": (lambda town: take_off(position=town.call_point, removed_on=APRIL_1), "position"),
    "moved to where it is": (
        lambda town: move(unit=town.unit, to_position=town.detector, moved_on=APRIL_1),
        "position",
    ),
    "exchanged with itself": (
        lambda town: exchange(position=town.detector, other=town.detector, exchanged_on=APRIL_1),
        "position",
    ),
    "off before it was on": (lambda town: take_off(position=town.detector, removed_on=date(2025, 1, 1)), "date"),
    "on before the last was off": (
        lambda town: (
            take_off(position=town.detector, removed_on=date(2025, 6, 1)),
            fit(position=town.detector, unit=detector_unit("A-0"), fitted_on=APRIL_1),
        ),
        "date",
    ),
    "swapped for itself": (
        lambda town: swap(position=town.detector, new_unit=town.unit, swapped_on=APRIL_1),
        "unit",
    ),
    "in two places": (
        lambda town: fit(position=detector(town.hall, "SD4"), unit=town.unit, fitted_on=APRIL_1),
        "unit",
    ),
}


@pytest.mark.parametrize("asked", REFUSED)
def test_a_refusal_is_told_at_the_field_to_correct(town, asked):
    act, field = REFUSED[asked]
    with pytest.raises(FittingRefused) as refused:
        act(town)
    assert refused.value.field == field
