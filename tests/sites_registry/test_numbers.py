"""Numbers as people type them, wherever a number is typed."""

import pytest
from django import forms
from hypothesis import given
from hypothesis import strategies as st

from sites_registry.forms.base import RegisterForm
from sites_registry.typed_numbers import NumberNotClear, with_point


@pytest.mark.parametrize(
    ("typed", "read"),
    [
        ("12,5", "12.5"),
        (" −0,125 ", "-0.125"),
        ("1,2500", "1.2500"),
        ("1.250", "1.250"),
        ("1.250,5", "1250.5"),
        ("1,250.5", "1250.5"),
        ("1,250,000", "1250000"),
        ("1 250", "1250"),
        ("10\N{NO-BREAK SPACE}000,5", "10000.5"),
        (",5", ".5"),
        ("twelve", "twelve"),
        ("1,2,3", "1,2,3"),
        ("", ""),
    ],
)
def test_a_number_is_read_as_a_person_means_it(typed, read):
    assert with_point(typed) == read


@pytest.mark.parametrize("typed", ["1,250", "12,500", "-999,999", "1,000"])
def test_a_comma_before_three_digits_is_asked_about(typed):
    whole = typed.replace(",", "")
    with pytest.raises(NumberNotClear, match=f"can be read as .* or as {whole}. Write"):
        with_point(typed)


@given(st.decimals(-999_999, 999_999, places=2))
def test_point_and_comma_give_the_same_number(number):
    assert float(with_point(f"{number:f}".replace(".", ","))) == float(number)


class FiguresForm(RegisterForm):
    length_m = forms.DecimalField()
    share = forms.FloatField()
    count = forms.IntegerField()


def test_every_field_of_a_number_takes_a_comma_and_asks_where_it_is_not_clear():
    form = FiguresForm({"length_m": "12,5", "share": "0,85", "count": "1 250"})
    assert form.is_valid()
    assert [float(value) for value in form.cleaned_data.values()] == [12.5, 0.85, 1250]
    unclear = FiguresForm({"length_m": "1,250", "share": "1,250", "count": "1,250"})
    assert not unclear.is_valid()
    assert {str(errors[0]) for errors in unclear.errors.values()} == {
        "1,250 can be read as 1.25 or as 1250. Write 1.25 or 1250."
    }


def test_what_is_no_number_is_told_with_what_was_typed():
    form = FiguresForm({"length_m": "abc", "share": "x" * 50, "count": "12,5"})
    assert [str(errors[0]) for errors in form.errors.values()] == [
        "'abc' is not a number. Enter a number in plain digits, such as 12.5.",
        f"'{'x' * 20}…' is not a number. Enter a number in plain digits, such as 12.5.",
        "'12,5' is not a whole number. Enter a whole number in plain digits, such as 12.",
    ]


@pytest.mark.parametrize("typed", ["1e400", "-1e400", "1e-400", "9" * 400])
def test_a_number_over_pages_is_refused_with_its_first_twenty_characters(typed):
    form = FiguresForm({"length_m": typed, "share": "0.5", "count": typed})
    for name in ("length_m", "count"):
        (sentence,) = form.errors[name]
        assert sentence.startswith(f"'{typed[:20]}")
        assert len(sentence) < 100


def test_the_box_of_a_number_takes_what_is_typed():
    """In a box of type number a browser with points leaves the comma of 12,5 out, and 125 is sent."""
    form = FiguresForm()
    boxes = {name: str(form[name]) for name in form.fields}
    assert all('type="text"' in box and "step=" not in box for box in boxes.values()), boxes
    assert 'inputmode="decimal"' in boxes["share"]
    assert 'inputmode="numeric"' in boxes["count"]
