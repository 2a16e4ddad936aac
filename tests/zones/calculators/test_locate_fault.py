"""Locating a fault, by hand and from the record. Readings: handbook of calculations, 3 (causes are practice [P])."""

import re
from html import unescape

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
    return text.partition("most likely first")[2].partition("To be sure")[0]


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
        ("OL", "all", "The end-of-line resistor at D3 is cut off: a lead of it is loose or broken."),
        ("1.2", "none", "The cores touch"),
    ],
)
def test_a_reading_of_the_handbook_is_explained(engineer, reading, reporting, cause):
    text = asked(engineer, reading_ohm=reading, reporting=reporting)
    assert cause in first(text), text
    assert "To be sure:" in text and "Readings so far" in text


@pytest.mark.parametrize(("reading", "leak"), [("9k", "About 90 kΩ"), ("8k", "About 40 kΩ")])
def test_leakage_of_the_handbook_is_among_what_fits(engineer, reading, leak):
    """9.0 kilohm is a leakage of 90 kilohm, 8.0 of 40: handbook 3."""
    fitting = asked(engineer, reading_ohm=reading, reporting="all").partition("Less likely")[0]
    assert f"{leak} lies across the line" in fitting and "damp, or an insulation fault." in fitting


def test_the_next_measurement_comes_first_with_how_it_is_taken_and_what_it_would_show(engineer):
    text = asked(engineer, reading_ohm="open")
    assert text.index("Measure next: Line opened at") < text.index("Readings so far") < text.index("most likely first")
    assert "Take the line off the panel" in text and "What it would show" in text
    assert "no insulation tester: that destroys electronics" in text
    assert "was not tried" in text
    assert "was not tried" not in asked(engineer, reading_ohm="open", reporting="C1 D1 D2 D3")


def test_nothing_fits_is_said_with_what_comes_nearest(engineer):
    text = asked(engineer, reading_ohm="1.5M", reporting="D3")
    assert "Nothing fits these readings" in text and "Does not agree" in text


# Reading by reading ---------------------------------------------------------------------------------------------------


def added(client, measured, shown, status=302, /, **changes):
    """The answer to one more reading, typed into the box of the page."""
    figures = {**LINE, "reading_ohm": "6k", "reporting": "all", **changes, "measured": measured, "shown": shown}
    response = client.get(reverse(URL), figures)
    assert response.status_code == status, words(response)
    return response


def test_a_reading_that_is_added_stands_in_the_address_and_ranks_anew(engineer):
    assert "lies across the line between the panel and C1" not in first(asked(engineer, reading_ohm="6k"))
    response = added(engineer, "forward.1", "10k", m=["earth-first:open"])
    assert response.url.endswith("m=earth-first%3Aopen&m=forward.1%3A10k#answer")
    text = words(engineer.get(response.url))
    assert "Line opened at C1, from C1 to the end 10.00 kΩ Undo" in text
    assert "First core to earth, at the panel open Undo" in text
    assert "lies across the line between the panel and C1" in first(text)


def test_a_voltage_on_the_line_ends_the_readings_in_ohms(engineer):
    text = asked(engineer, reading_ohm="5k", m="voltage:230")
    assert "230 V lies on the line though it is off the panel" in text
    assert "Open nothing, touch no core" in text


def test_each_reading_can_be_undone_by_its_own_link(engineer):
    figures = {**LINE, "reading_ohm": "6k", "reporting": "all", "m": ["forward.1:10k", "earth-first:open"]}
    html = engineer.get(reverse(URL), figures).content.decode()
    ways = [unescape(way) for way in re.findall(r'href="([^"]+)" aria-label="Undo', html)]
    assert len(ways) == 3
    for way, kept in zip(ways, (["10.00 kΩ", "open"], ["6.00 kΩ", "open"], ["6.00 kΩ", "10.00 kΩ"]), strict=True):
        text = words(engineer.get(way)).partition("Readings so far")[2].partition("When all is well")[0]
        assert text.count("Undo") == 2 and all(value in text for value in kept), text


@pytest.mark.parametrize(
    ("measured", "shown", "sentence"),
    [
        ("forward.1", "much", "'much' is not a reading: write ohms such as 680, 9.98k or 1.2M, or the word open."),
        ("forward.1", "", "Enter what the meter shows"),
        ("forward.1", "99M", "99M is not possible"),
        ("voltage", "open", "open is not possible: it must be 0 or more and at most 1000 V."),
        ("", "10k", "This field is required."),
    ],
)
def test_a_bad_further_reading_is_told_at_its_box_and_the_others_are_kept(engineer, measured, shown, sentence):
    text = words(added(engineer, measured, shown, 422, m=["earth-first:open"]))
    assert sentence in text
    assert "First core to earth, at the panel open Undo" in text and "most likely first" in text


@pytest.mark.parametrize(
    ("address", "sentence"),
    [
        ("forward.9:10k", "Measurement: 'forward.9' is not possible: it must be one that can be taken on this line."),
        ("forward.1", "'forward.1' is not a measurement with its reading"),
        (":10k", "Measurement: '' is not possible"),
        ("forward.1:x", "'x' is not a reading"),
        ("voltage:open", "Voltage: infinite is not possible: it must be 0 or more and at most 1000 V."),
        ("voltage:1.2k", "Voltage: 1200 is not possible: it must be 0 or more and at most 1000 V."),
    ],
)
def test_a_mistyped_address_is_told_in_a_sentence(engineer, address, sentence):
    assert sentence in asked(engineer, 422, reading_ohm="10k", m=address)


def test_more_readings_than_anybody_takes_are_refused(engineer):
    assert "25 readings are more than can be reckoned with" in asked(engineer, 422, m=["forward.1:10k"] * 25)


def test_when_one_explanation_stands_out_no_measurement_is_proposed(engineer):
    text = asked(engineer, reading_ohm="open", reporting="all", m=["forward.4:open"])
    assert "One explanation stands out" in text and "Measure next:" not in text


def test_a_reading_with_a_decimal_comma_is_taken(engineer):
    assert "line off 9.98 kΩ Undo" in asked(engineer, reading_ohm="9,98k", reporting="all")


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
        ("reading_ohm", "1,250k", "1,250 can be read as 1.25 or as 1250."),
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
    assert "The line is broken between the panel and P5D1.1." in first(none)


def test_a_device_of_another_line_is_refused(engineer, made):
    assert "Select a valid choice" in fault(engineer, made, 422, reading_ohm="open", tried="yes", reporting=["X"])


def test_a_search_from_the_record_goes_on_reading_by_reading(engineer, made):
    url = reverse("line-locate-fault", args=[made.panel.pk, 1])
    figures = {"reading_ohm": "open", "tried": "yes", "reporting": ["P5D1.1"]}
    response = engineer.get(url, {**figures, "measured": "loop.2", "shown": "1.1"})
    text = words(engineer.get(response.url))
    assert "Line opened at P5D1.2, back to the panel, cores joined there 1.1 Ω Undo" in text
    assert "P5D1.2 is taken out of its base." in first(text)
    assert "The line is broken between P5D1.1 and P5D1.2." not in first(text)


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
