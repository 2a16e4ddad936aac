"""Current rating by hand. Values: IEC 60364-5-52:2009, annex B [S2]; below 1.5 mm² ABNT NBR 5410:2004 [S2]."""

import pytest

from tests.zones.calculators.ask import page

pytestmark = pytest.mark.django_db
URL = "calculator-cable-rating"

# 27 A (table B.52.2) × 0.94 (35 °C, B.52.14) × 0.70 (three circuits, B.52.17) = 17.766 A.
LAID = {
    "size": "2.5",
    "insulation": "thermoplastic",
    "method": "C",
    "grouped_circuits": "3",
    "ambient_c": "35",
}


def asked(client, status=200, /, **changes):
    return page(client, URL, status, **{name: value for name, value in {**LAID, **changes}.items() if value})


def test_an_empty_form_shows_a_hint(engineer):
    assert "Enter the size of its cores" in page(engineer, URL)


def test_the_rating_is_told_with_each_factor_and_its_source(engineer):
    text = asked(engineer)
    assert "Cable (2.5 mm²) carries 17.76 A for good as it is laid." in text
    assert "method C, two loaded cores at 30 °C 27 A IEC 60364-5-52:2009, annex B" in text
    assert "Ambient temperature 35 °C × 0.94 IEC 60364-5-52:2009, table B.52.14" in text
    assert "Circuits bunched: 3 × 0.70 IEC 60364-5-52:2009, table B.52.17, item 1" in text
    assert "Current rating of a pole 17.76 A" in text


def test_parallel_cores_carry_more_and_warm_each_other(engineer):
    """Four circuits in effect: 27 × 0.94 × 0.65 × 2 = 32.994 A."""
    text = asked(engineer, cores_per_pole="2")
    assert "carries 32.99 A for good" in text
    assert "Circuits bunched: 3, and 1 of its own in parallel × 0.65" in text


@pytest.mark.parametrize(
    ("size", "rating", "source"),
    [
        ("0.75", "11", "ABNT NBR 5410:2004"),
        ("awg-16", "14", "ABNT NBR 5410:2004"),
        ("1.5", "17.5", "IEC 60364-5-52:2009"),
    ],
)
def test_sections_below_the_international_table_take_the_other_one(engineer, size, rating, source):
    """Method B1 at 30 °C, alone; AWG 16 has 1.309 mm², so that of 1 mm² counts."""
    text = asked(engineer, size=size, method="B1", grouped_circuits="1", ambient_c="30")
    assert f"carries {rating} A for good" in text
    assert source in text


def test_a_load_is_judged_and_warms_the_cores(engineer):
    """35 + 35 × (10/17.766)² = 46.1 °C."""
    good = asked(engineer, load_a="10")
    assert "carries up to 10 A, its current rating is 17.76 A as it is laid: within the entered limit" in good
    assert "46.1 °C" in good
    bad = asked(engineer, load_a="18")
    assert "carries up to 18 A, more than its current rating of 17.76 A as it is laid." in bad


@pytest.mark.parametrize(
    ("name", "what"),
    [
        ("size", "size not known"),
        ("insulation", "insulation not known"),
        ("method", "method of installation not known"),
        ("grouped_circuits", "circuits bunched not known"),
        ("ambient_c", "ambient temperature not known"),
    ],
)
def test_what_is_not_known_gives_no_rating(engineer, name, what):
    text = asked(engineer, **{name: ""})
    assert what in text.lower()
    assert "A for good as it is laid" not in text
    assert "within the entered limit" not in asked(engineer, **{name: ""}, load_a="20")


def test_where_nothing_of_the_laying_is_known_the_worst_of_the_tables_still_says_enough(engineer):
    """2.5 mm²: 18.5 A (A2, PVC) × 0.50 (60 °C) × 0.38 (20 circuits) = 3.515 A."""
    text = page(engineer, URL, 200, size="2.5", load_a="3")
    assert "its current rating is 3.51 A however it is laid: within the entered limit" in text


def test_air_as_warm_as_the_insulation_may_become_leaves_nothing(engineer):
    assert "the tables give it no current, however small" in asked(engineer, ambient_c="70")


@pytest.mark.parametrize(
    ("name", "typed", "sentence"),
    [
        ("cores_per_pole", "9", "9 is too many to reckon with here: it must be at most 8."),
        ("grouped_circuits", "0", "0 is not possible: it must be at least 1 and at most 100."),
        ("grouped_circuits", "2.5", "2.5 is not possible: it must be a whole number."),
        ("ambient_c", "200", "200 is not possible: it must be at least -40 and at most 80 °C."),
        ("method", "Z", "'Z' is not one of the choices."),
        ("load_a", "12,345", "Write 12.345 or 12345"),
    ],
)
def test_bad_input_is_told_at_its_field(engineer, name, typed, sentence):
    assert sentence in asked(engineer, 422, **{name: typed})
