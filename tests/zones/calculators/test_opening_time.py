"""Opening time by hand. Values: handbook of calculations, 4; limit 60 s of EN 12101-2 [S2]."""

import pytest
from django.urls import reverse

from tests.zones.calculators.ask import page

pytestmark = pytest.mark.django_db
URL = "calculator-opening-time"
VENT = {"stroke_mm": "500", "speed_mm_per_s": "10", "delay_s": "0"}


def asked(client, status=200, /, **changes):
    return page(client, URL, status, **{name: value for name, value in {**VENT, **changes}.items() if value})


def test_an_empty_form_shows_a_hint(engineer):
    assert "Enter the stroke and the speed" in page(engineer, URL)


def test_in_time_and_too_late_as_in_the_handbook(engineer):
    good = asked(engineer)
    assert "opens in 50 s, 10 s inside the 60 s entered (EN 12101-2:2017, opening within 60 s)" in good
    bad = asked(engineer, speed_mm_per_s="8.3")
    assert "opens in 60.25 s, 0.25 s beyond the limit of 60 s. It needs at least 8.34 mm/s" in bad


@pytest.mark.parametrize(
    ("stroke", "delay", "least"),
    [("500", "0", "8.34"), ("800", "0", "13.34"), ("1000", "0", "16.67"), ("800", "2", "13.8")],
)
def test_the_least_speed_is_the_handbooks_rounded_up(engineer, stroke, delay, least):
    """8.33, 13.33, 16.67; 800 mm with 2 s of delay 13.79 mm/s."""
    assert f"{stroke} mm within 60 s need at least {least} mm/s." in asked(engineer, stroke_mm=stroke, delay_s=delay)


def test_a_limit_of_the_fire_strategy_replaces_the_common_one(engineer):
    assert "5 s beyond the limit of 45 s" in asked(engineer, limit_s="45")


def test_a_run_time_that_ends_too_soon_is_told(engineer):
    assert "stops part open. Set at least 60 s." in asked(engineer, run_time_s="40")
    assert "runs for 90 s; 60 s are wanted: within the entered limit (common practice)" in asked(
        engineer, run_time_s="90"
    )
    assert "run time not known" in asked(engineer).lower()


def test_a_part_opening_is_a_matter_of_time(engineer):
    assert "100 mm are open after 10 s." in asked(engineer, wanted_mm="100")
    text = asked(engineer, 422, wanted_mm="600")
    assert "600 is not possible: it must be at most the stroke, 500 mm." in text


@pytest.mark.parametrize(
    ("name", "what"),
    [("stroke_mm", "stroke of"), ("speed_mm_per_s", "speed of"), ("delay_s", "delay before it starts")],
)
def test_a_missing_figure_gives_no_verdict(engineer, name, what):
    text = asked(engineer, **{name: ""})
    assert what in text.lower() and "not known" in text and "inside the 60 s" not in text


def test_a_speed_typed_in_metres_a_second_is_questioned(engineer):
    assert "Typed in m/s? 0.01 m/s is 10 mm/s." in asked(engineer, speed_mm_per_s="0.01")


def test_bad_input_is_told_at_its_field(engineer):
    assert "9999 is not possible: it must be greater than 0 and at most 3000 mm." in asked(
        engineer, 422, stroke_mm="9999"
    )


def test_an_empty_limit_shows_the_common_practice_that_is_reckoned_with(as_):
    form = as_("engineer").get(reverse(URL)).context["form"]
    assert 'placeholder="60"' in str(form["limit_s"])
