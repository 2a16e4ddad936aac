"""The simulator: press inputs, watch vents, lamps and faults follow, step through a sequence, share it by link.

What must happen: handbook calculations.md §9, test vectors (common practice and codes as tagged there).
"""

import html
import re

import pytest
from django.urls import reverse
from django.utils import timezone

from tests import builders
from zones.cause_and_effect.edits import add_usual_rules


@pytest.fixture
def hall(town):
    """The hall with one group, a switch and a rain sensor, and its usual rules."""
    group = builders.make_vent_group(town.zone, number=1)
    of_zone = {"smoke_zone": town.zone, "panel": town.panel, "vent_group": group}
    builders.make_position(town.hall, "actuator", tag="M1", **of_zone)
    town.switch = builders.make_position(town.hall, "ventilation_switch", tag="VS1", **of_zone)
    town.rain = builders.make_position(town.hall, "rain_sensor", tag="RS1", panel=town.panel)
    add_usual_rules(panel=town.panel)
    return town


def sequence(town, *events):
    """Events such as ("switch", "open") as the text of an address."""
    return "~".join(
        f"d{getattr(town, name).pk}.{action}" if hasattr(town, name) else f"{name}.{action}" for name, action in events
    )


def show(as_, town, *events, person="engineer", **query):
    url = reverse("simulator", args=[town.panel.pk])
    return as_(person).get(url, {"events": sequence(town, *events), **query}, follow=True)


def group_of(response):
    return response.context["page"].zones[0].groups[0]


def test_smoke_with_rain_opens(as_, hall):
    page = show(as_, hall, ("rain", "on"), ("call_point", "on"))
    assert group_of(page).word == "open for smoke"
    assert "in alarm" in page.content.decode()


def test_rain_closes_what_was_opened_for_ventilation(as_, hall):
    assert group_of(show(as_, hall, ("switch", "open"))).word == "open for ventilation"
    assert group_of(show(as_, hall, ("switch", "open"), ("rain", "on"))).word == "shut"


def test_mains_failure_blocks_ventilation(as_, hall):
    assert group_of(show(as_, hall, ("mains", "on"), ("switch", "open"))).word == "shut"


def test_reset_with_the_detector_still_operated_alarms_again(as_, hall):
    page = show(as_, hall, ("detector", "on"), ("reset", "press"))
    assert page.context["page"].zones[0].in_alarm


def test_a_pressed_input_leads_to_the_address_of_the_longer_sequence(as_, hall):
    url = reverse("simulator", args=[hall.panel.pk])
    first = sequence(hall, ("rain", "on"))
    second = sequence(hall, ("call_point", "on"))
    response = as_("manager").get(url, {"events": first, "next": second})
    assert response.url == f"{url}?events={first}~{second}"


def test_stepping_back_shows_the_state_before(as_, hall):
    page = show(as_, hall, ("switch", "open"), ("rain", "on"), at="1")
    assert group_of(page).word == "open for ventilation"
    assert len(page.context["page"].recorded) == 2


def test_an_input_pressed_after_stepping_back_goes_on_from_there(as_, hall):
    page = show(as_, hall, ("switch", "open"), ("rain", "on"), at="1", next=sequence(hall, ("call_point", "on")))
    assert [event.words for event in page.context["page"].recorded] == ["VS1 says open", "CP1 operates"]


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("nonsense", "cannot be read"),
        ("d99999.on", "does not have"),
        ("mains.on~mains.on", "already"),
        ("~".join(["reset.press"] * 201), "At most 200"),
        ("mains.open", "does not have"),
    ],
)
def test_a_sequence_that_cannot_be_is_told_and_starts_at_rest(as_, hall, text, sentence):
    response = as_("engineer").get(reverse("simulator", args=[hall.panel.pk]), {"events": text}, follow=True)
    assert sentence in response.content.decode()
    assert response.context["page"].recorded == []


def test_an_event_that_cannot_happen_leaves_the_sequence_as_it_was(as_, hall):
    page = show(as_, hall, ("mains", "on"), next="mains.on")
    assert "already" in page.content.decode()
    assert len(page.context["page"].recorded) == 1


def test_a_rule_for_a_zone_of_another_panel_is_left_out_and_told(as_, hall):
    other = builders.make_zone(hall.hall, panel=None, number=9)
    builders.make_rule(hall.panel, position=hall.call_point, smoke_zone=other, effect="O")
    page = show(as_, hall, ("call_point", "on"))
    assert "Zone 9 Stair does not hang on P1" in page.content.decode()
    assert group_of(page).word == "open for smoke"


def test_a_rule_of_a_device_no_longer_used_is_left_out_and_told(as_, hall):
    hall.detector.retired_on = timezone.localdate()
    hall.detector.save()
    text = show(as_, hall).content.decode()
    assert "SD1 is no longer used since" in text
    assert "Take the rule out, or take the position back." in text


def test_a_device_of_another_panel_that_a_rule_names_is_an_input(as_, hall):
    elsewhere = builders.make_position(
        hall.hall, "fire_alarm_interface", tag="FA9", panel=builders.make_panel(hall.hall)
    )
    builders.make_rule(hall.panel, position=elsewhere, smoke_zone=hall.zone, effect="O", is_latching=True)
    url = reverse("simulator", args=[hall.panel.pk])
    page = as_("engineer").get(url, {"events": f"d{elsewhere.pk}.on"})
    assert group_of(page).word == "open for smoke"


def test_a_panel_without_rules_leads_to_its_usual_rules(as_, town):
    assert "Give the panel its usual rules" in show(as_, town).content.decode()


def drawn(page):
    """What the drawing shows: state of each vent, and the address of each input that can be pressed."""
    text = page.content.decode()
    vents = re.findall(r'd-vent is-([a-z-]+)"', text)
    links = {
        html.unescape(href).split("next=")[1].split("#")[0]: html.unescape(href).split("#")[0]
        for href in re.findall(r'<a href="([^"]*next=[^"]*)"><g class="d-input', text)
    }
    return vents, links


def test_an_input_pressed_on_the_overview_opens_its_vents_there(as_, hall):
    url = reverse("simulator", args=[hall.panel.pk])
    page = as_("engineer").get(url)
    vents, links = drawn(page)
    assert vents == ["shut"]
    page = as_("engineer").get(url + links[f"d{hall.call_point.pk}.on"], follow=True)
    vents, links = drawn(page)
    assert vents == ["open"] and "IN ALARM" in page.content.decode()
    assert f"d{hall.call_point.pk}.off" in links and f"d{hall.call_point.pk}.on" not in links


def test_a_vent_open_for_air_is_told_apart_from_one_open_for_smoke(as_, hall):
    assert drawn(show(as_, hall, ("switch", "open")))[0] == ["ventilating"]
    assert drawn(show(as_, hall, ("switch", "open"), ("call_point", "on")))[0] == ["open"]


def test_a_fault_is_shown_at_its_input_on_the_overview(as_, hall):
    assert "d-input is-fault" not in show(as_, hall).content.decode()
    assert "d-input is-fault" in show(as_, hall, ("mains", "on")).content.decode()


def test_an_event_in_the_drawing_is_as_good_as_that_of_the_list(as_, hall):
    page = as_("engineer").get(reverse("simulator", args=[hall.panel.pk]))
    offered = {
        event
        for zone in [page.context["page"].panel_wide, *page.context["page"].zones]
        for one in zone.inputs
        for event, _, _ in one.buttons
    }
    assert set(drawn(page)[1]) == offered
