"""Days are typed with the month as a word, as they stand on every page; figures that may be two days are refused."""

from datetime import date, datetime

import pytest
from django import forms

from sites_registry.forms.base import RegisterForm


class Entry(RegisterForm):
    day = forms.DateField()


class MomentEntry(RegisterForm):
    at = forms.DateTimeField()


@pytest.mark.parametrize(
    "typed",
    ["3 Mar 2026", "03 march 2026", " 3  Mar 2026 ", "3. Mar 2026", "2026-03-03", "03/03/2026"],
)
def test_a_day_is_taken_as_people_write_it(typed):
    form = Entry({"day": typed})
    assert form.is_valid(), form.errors
    assert form.cleaned_data["day"] == date(2026, 3, 3)


def test_figures_with_one_reading_are_taken():
    form = Entry({"day": "31/01/2026"})
    assert form.is_valid(), form.errors
    assert form.cleaned_data["day"] == date(2026, 1, 31)


@pytest.mark.parametrize("typed", ["03/04/2026", "3.4.2026", "03-04-2026"])
def test_figures_with_two_readings_are_refused_with_both(typed):
    assert Entry({"day": typed}).errors["day"] == [
        f"'{typed}' may be 3 Apr 2026 or 4 Mar 2026. Write the month as a word."
    ]


@pytest.mark.parametrize("typed", ["soon", "30 Feb 2026", "3 Foo 2026", "3 Mar 26", "99/99/2026", "3 Mar 0026"])
def test_what_is_no_day_is_refused_with_its_value_and_an_example(typed):
    assert Entry({"day": typed}).errors["day"] == [f"'{typed}' is not a day. Write it as 3 Mar 2026."]


def test_the_box_shows_a_day_as_every_page_does():
    assert 'value="3 Mar 2026"' in str(Entry(initial={"day": date(2026, 3, 3)})["day"])
    assert 'value="3 Mar 2026"' in str(Entry(initial={"day": "2026-03-03"})["day"])


def test_what_was_refused_stays_in_the_box():
    assert 'value="03/04/2026"' in str(Entry({"day": "03/04/2026"})["day"])


@pytest.mark.parametrize("typed", ["3 Mar 2026, 14:30", "3 Mar 2026 14:30", "2026-03-03T14:30", "2026-03-03 14:30:00"])
def test_a_day_and_hour_are_taken_as_people_write_them(typed):
    form = MomentEntry({"at": typed})
    assert form.is_valid(), form.errors
    assert form.cleaned_data["at"].replace(tzinfo=None) == datetime(2026, 3, 3, 14, 30)


@pytest.mark.parametrize("typed", ["3 Mar 2026", "soon", "3 Mar 2026, 25:00"])
def test_what_is_no_day_and_hour_is_refused_with_an_example(typed):
    assert MomentEntry({"at": typed}).errors["at"] == [
        f"'{typed}' is not a day and an hour. Write them as 3 Mar 2026, 14:30."
    ]


def test_the_box_shows_a_day_and_hour_as_every_page_does():
    html = str(MomentEntry(initial={"at": datetime(2026, 3, 3, 14, 30)})["at"])
    assert 'value="3 Mar 2026, 14:30"' in html
