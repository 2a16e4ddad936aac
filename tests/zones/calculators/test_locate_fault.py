"""Locating a fault, by hand and from the record. Readings: handbook of calculations, 3 (causes are practice [P])."""

import pytest
from django.urls import reverse

from tests import builders
from tests.zones.calculators.ask import page, words
from tests.zones.installations import make_installation, set_figure

pytestmark = pytest.mark.django_db
URL = "calculator-locate-fault"
LINE = {
    "call_points": "1",
    "detectors": "3",
    "removal_opens_line": "yes",
    "detector_ua": "0",
    "length_m": "80",
    "size": "0.75",
    "conductor_class": "1",
    "end_of_line_ohm": "10000",
    "element_percent": "1",
    "alarm_ohm": "680",
}


def asked(client, status=200, /, **changes):
    return page(client, URL, status, **{name: value for name, value in {**LINE, **changes}.items() if value})


@pytest.fixture
def made(town, shared):
    return shared.built(installation_at_the_hall, town)


def installation_at_the_hall(town):
    return make_installation(town.hall, tag="P5")


def fault(client, made, status=200, number=1, /, **figures):
    response = client.get(reverse("line-locate-fault", args=[made.panel.pk, number]), figures)
    assert response.status_code == status
    return words(response)


def first(text):
    """The first explanation of a page."""
    return text.partition("most likely first")[2].partition("It would read")[0]


def test_an_empty_form_shows_a_hint(engineer):
    assert "Enter the reading and the line" in page(engineer, URL)


@pytest.mark.parametrize(
    ("reading", "reporting", "cause"),
    [
        ("10k", "all", "The line is as it should be."),
        (
            "5k",
            "all",
            "A resistor was left at the panel's terminals beside the one at D3.",
        ),  # 5.0 kilohm: two resistors
        ("4.7k", "all", "The resistor is 4.70 kΩ, not 10.00 kΩ."),
        ("640", "all", "in alarm"),
        ("open", "C1 D1", "D2 is taken out of its base."),
        ("OL", "all", "The end-of-line resistor at D3 is missing or cut off."),
        ("1.2", "none", "The cores touch"),
    ],
)
def test_a_reading_of_the_handbook_is_explained(engineer, reading, reporting, cause):
    text = asked(engineer, reading_ohm=reading, reporting=reporting)
    assert cause in first(text), text
    assert "Next:" in text and "within it" in text


@pytest.mark.parametrize(("reading", "leak"), [("9k", "About 89"), ("8k", "About 39")])
def test_leakage_of_the_handbook_is_among_what_fits(engineer, reading, leak):
    """9.0 kilohm is a leakage of 90 kilohm, 8.0 of 40, less the cable: or a resistor of the next E24 value."""
    fitting = asked(engineer, reading_ohm=reading, reporting="all").partition("Less likely")[0]
    assert leak in fitting and "lies across the line: damp, or an insulation fault." in fitting


def test_explanations_that_fit_alike_come_with_what_tells_them_apart(engineer):
    text = asked(engineer, reading_ohm="open")
    assert "To tell them apart: Open the line at" in text
    assert "was not tried" in text
    assert "To tell them apart" not in asked(engineer, reading_ohm="open", reporting="C1 D1 D2 D3")


def test_nothing_fits_is_said_with_what_comes_nearest(engineer):
    text = asked(engineer, reading_ohm="1.5M", reporting="D3")
    assert "Nothing fits this reading" in text and "What comes nearest" in text and "Does not agree" in text


def test_two_polarities_that_differ_are_questioned(engineer):
    assert "The two polarities differ" not in asked(engineer, reading_ohm="10k", swapped_ohm="10.05k")
    text = asked(engineer, reading_ohm="10k", swapped_ohm="4k")
    assert "The two polarities differ (10.00 kΩ and 4.00 kΩ)" in text
    assert "The two polarities differ" in asked(engineer, reading_ohm="10k", swapped_ohm="open")


def test_an_unknown_figure_of_the_line_is_told_and_nothing_is_explained(engineer):
    text = asked(engineer, reading_ohm="10k", end_of_line_ohm="")
    assert "resistance of the end-of-line resistor not known" in text.lower() and "most likely first" not in text
    assert "reading not known" in asked(engineer).lower()


@pytest.mark.parametrize(
    ("name", "typed", "sentence"),
    [
        ("reading_ohm", "-5", "-5 is not possible: it must be 0 or more and at most 10000000 ohm"),
        ("reading_ohm", "99M", "99M is not possible"),
        ("reading_ohm", "much", "'much' is not a reading: write ohms such as 680, 9.98k or 1.2M, or the word open."),
        ("reading_ohm", "nan", "'nan' is not a reading"),
        ("reporting", "C1 X9", "'X9' is not possible: it must be devices of the line: C1, D1, D2, D3."),
        ("taken", "guess", "'guess' is not one of the choices."),
    ],
)
def test_bad_input_is_told_at_its_field(engineer, name, typed, sentence):
    assert sentence in asked(engineer, 422, **{"reading_ohm": "10k", name: typed})


# From the record ------------------------------------------------------------------------------------------------------


def test_a_line_of_the_record_needs_the_reading_only(engineer, made):
    assert "When all is well, a meter reads 9.9" in fault(engineer, made)
    text = fault(engineer, made, reading_ohm="10k")
    assert "The line is as it should be." in first(text)


def test_devices_of_the_record_that_report_place_the_fault(engineer, made):
    text = fault(engineer, made, reading_ohm="open", tried="yes", reporting=["P5D1.1"])
    assert "P5D1.2 is taken out of its base." in first(text)
    none = fault(engineer, made, reading_ohm="open", tried="yes")
    assert "The line is broken between panel and P5D1.1." in first(none)


def test_a_device_of_another_line_is_refused(engineer, made):
    assert "Select a valid choice" in fault(engineer, made, 422, reading_ohm="open", tried="yes", reporting=["X"])


def test_a_record_that_lacks_a_figure_says_which_and_where_to_enter_it(engineer, made):
    set_figure(made.models["smoke_detector"], alarm_resistance_ohm=None)
    text = fault(engineer, made, reading_ohm="10k")
    assert "alarm resistance of P5D1.2 and P5D1.3 not known" in text.replace("Alarm", "alarm")
    assert "the office enters it" in text and "most likely first" not in text


@pytest.mark.parametrize("place", ["", "none_needed", "panel_terminal", "missing"])
def test_without_an_element_at_the_last_device_nothing_is_explained(engineer, made, place):
    line = made.lines[0]
    line.end_place = place
    line.save()
    text = fault(engineer, made, reading_ohm="10k")
    assert "does not say enough" in text and "Change the line" in text and "most likely first" not in text


def test_a_line_without_devices_is_explained_by_its_element(engineer, made):
    builders.make_line(made.panel, number=9, end_of_line_ohm=10_000, end_place="panel_terminal")
    assert "The line is as it should be." in first(fault(engineer, made, 200, 9, reading_ohm="10k"))


def test_a_line_that_is_not_there_or_not_yours_is_hidden(as_, made):
    assert as_("engineer").get(f"/panels/{made.panel.pk}/lines/99/locate-fault/").status_code == 404
    assert as_("manager").get(f"/panels/{made.panel.pk}/lines/1/locate-fault/").status_code == 403


def test_the_way_leads_from_panel_design_check_and_device(as_, made):
    client, url = as_("engineer"), reverse("line-locate-fault", args=[made.panel.pk, 1])
    device = made.lines[0].positions.first()
    for page_url in (
        made.panel.get_absolute_url(),
        f"/panels/{made.panel.pk}/design-check/",
        device.get_absolute_url(),
    ):
        assert url in client.get(page_url).content.decode(), page_url
    assert url not in as_("manager").get(made.panel.get_absolute_url()).content.decode()
