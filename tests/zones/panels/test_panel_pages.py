"""Pages of a panel: what they show, what they take, what they refuse with which sentence."""

import re
import uuid
from html import unescape

import pytest
from django.urls import reverse

from tests import builders
from zones.design_basis.edits import set_practice
from zones.engineering.power_order import ISOLATE, POWER_UP
from zones.models import ActuatorCircuit, ControlPanel, DetectionLine, DeviceKind, PanelSetting, Position

pytestmark = pytest.mark.django_db


def text_of(response):
    return " ".join(response.content.decode().split())


@pytest.fixture
def model(town):
    return builders.make_product_model(DeviceKind.CONTROL_PANEL, supply_limit_a=8)


@pytest.fixture
def new_panel(town):
    return reverse("panel-create", args=[town.hall.slug])


def test_the_page_says_which_figures_are_missing_and_where_known_ones_come_from(as_, town, model):
    town.panel.position.product_model = model
    town.panel.position.save()
    page = text_of(as_("engineer").get(town.panel.get_absolute_url()))
    assert '8 A <span class="caption">data sheet' in page
    assert "not recorded" in page
    assert "no battery set recorded" in page


def test_an_answer_that_is_not_known_names_what_it_lacks_after_a_colon(as_, town):
    page = re.sub(r"<[^>]+>", "", text_of(as_("engineer").get(town.panel.get_absolute_url())))
    assert "not known: no circuit recorded" in " ".join(page.split())


def test_the_storey_of_a_zone_is_told_from_the_number_its_name_ends_in(as_, town):
    builders.make_zone(town.hall, panel=town.panel, number=2, name="Lobby 1", storey="1")
    page = text_of(as_("engineer").get(town.panel.get_absolute_url()))
    assert '2 Lobby 1</a> <span class="soft">storey 1</span>' in page


def test_the_page_cautions_to_isolate_mains_and_batteries_before_a_guard_comes_off(as_, town):
    page = text_of(as_("manager").get(town.panel.get_absolute_url()))
    assert "Before a guard comes off: last battery lead off, mains off and locked, both proven dead" in page


@pytest.fixture
def record(town):
    return reverse("panel-record", args=[town.panel.pk])


@pytest.mark.parametrize("person", ["engineer", "manager"])
def test_the_power_orders_are_one_click_from_the_panel(as_, town, person, record):
    assert f'href="{record}#power-order"' in text_of(as_(person).get(town.panel.get_absolute_url()))
    assert 'id="power-order"' in text_of(as_(person).get(record))


def test_the_record_shows_the_general_power_orders_with_their_hazards(as_, town, record):
    page = unescape(text_of(as_("engineer").get(record)))
    for order in (POWER_UP, ISOLATE):
        assert all(step.do in page for step in order.steps)
    assert "general order, common practice: the maker's wins" in page
    assert "live work" in page


def test_the_makers_order_is_shown_instead_with_the_general_one_beneath(as_, town, record):
    town.panel.position.product_model = builders.make_product_model(
        "control_panel", isolation_order="Turn key K2.\nWait 30 s.", power_order_source="Manual 12, page 4"
    )
    town.panel.position.save()
    page = unescape(text_of(as_("engineer").get(record)))
    makers, general = page.index("Turn key K2."), page.rindex(ISOLATE.steps[2].do)
    assert makers < page.index("where the maker's is silent") < general
    assert "2 steps · the maker's order: Manual 12, page 4" in page
    assert page.count(POWER_UP.steps[0].do) == 1  # of powering up the maker says nothing


def test_a_manager_reads_the_page_without_a_way_to_change_it(as_, town):
    circuit = builders.make_circuit(town.panel)
    page = text_of(as_("manager").get(town.panel.get_absolute_url()))
    assert reverse("circuit-update", args=[circuit.pk]) not in page
    assert "Add circuit" not in page
    assert "Change panel" not in page


@pytest.mark.parametrize(
    ("expected", "words"), [(2, "as expected"), (3, "short by 1"), (1, "over by 1"), (None, "expected number missing")]
)
def test_actuators_found_are_counted_against_those_expected(as_, town, expected, words):
    circuit = builders.make_circuit(town.panel, expected_actuators=expected)
    for _ in range(2):
        builders.make_position(town.hall, "actuator", actuator_circuit=circuit)
    builders.make_position(town.hall, "actuator", actuator_circuit=circuit, retired_on="2026-01-01")
    assert words in text_of(as_("office").get(town.panel.get_absolute_url()))


def test_a_device_on_no_circuit_and_no_line_is_shown_with_what_it_lacks(as_, town):
    builders.make_position(town.hall, "actuator", tag="M8", panel=town.panel)
    builders.make_position(town.hall, "rain_sensor", tag="RS8", panel=town.panel)
    devices = as_("office").get(town.panel.get_absolute_url()).context["other_devices"]
    lacks = {device.tag: device.lacks for device in devices}
    assert (lacks["M8"], lacks["SD1"], lacks["RS8"]) == ("no circuit", "no line", "")


def test_a_panel_is_added_with_its_unit_and_the_page_opens(as_, town, new_panel, model):
    response = as_("office").post(
        new_panel, {"tag": "P7", "product_model": model.pk, "serial": "KL-1", "fitted_on": "2026-03-02"}, follow=True
    )
    assert response.status_code == 200
    assert "KL-1" in text_of(response)
    assert ControlPanel.objects.get(position__tag="P7").building == town.hall


def test_the_same_form_sent_twice_makes_one_panel(as_, new_panel):
    client, data = as_("office"), {"tag": "P8", "submission_key": str(uuid.uuid4())}
    first, second = client.post(new_panel, data), client.post(new_panel, data)
    assert first.url == second.url
    assert ControlPanel.objects.filter(position__tag="P8").count() == 1


def test_the_same_circuit_form_sent_twice_makes_one_circuit(as_, town):
    client, data = as_("office"), {"number": "5", "submission_key": str(uuid.uuid4())}
    url = reverse("circuit-create", args=[town.panel.pk])
    first, second = client.post(url, data), client.post(url, data)
    assert (first.status_code, second.status_code) == (302, 302)
    assert ActuatorCircuit.objects.count() == 1


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"tag": "p1"}, "has a position &#x27;P1&#x27; already"),
        ({"tag": "x" * 41}, "at most 40 characters"),
        ({"tag": "P\0"}, "Null characters are not allowed"),
        ({"serial": "S-1"}, "Choose the model that serial &#x27;S-1&#x27; belongs to"),
        ({"supply_limit_a": "NaN"}, "Enter a number"),
        ({"supply_limit_a": "1e999"}, "&#x27;1e999&#x27; is not possible"),
        (
            {"supply_limit_a": "0"},
            "0 is not possible: it must be greater than 0 and at most 200 A. Leave it empty if not known",
        ),
        ({"supply_limit_a": "-3"}, "-3 is not possible"),
        ({"product_model": "999999999999999999999"}, "not one of the available choices"),
        ({"fitted_on": "2999-01-01"}, "is in the future"),
        ({"fitted_on": "0202-01-01"}, "Check the year"),
    ],
)
def test_what_cannot_be_a_panel_is_told_and_nothing_is_added(as_, new_panel, fields, sentence):
    before = Position.objects.count()
    response = as_("office").post(new_panel, {"tag": "P9", "mains_feed": "DB1 way 4", **fields})
    assert response.status_code == 422
    assert sentence in text_of(response)
    assert "DB1 way 4" in text_of(response)  # what was typed stands
    assert Position.objects.count() == before


def test_changing_the_tag_changes_the_position(as_, town):
    client, url = as_("office"), reverse("panel-update", args=[town.panel.pk])
    form = client.get(url).context["form"]
    data = {"tag": "P1A", "earth": "bar E2"} | {
        name: form.initial[name] for name in ("seen_version", "seen_position_version")
    }
    assert client.post(url, data).status_code == 302
    town.panel.refresh_from_db()
    assert (town.panel.tag, town.panel.earth, town.panel.row_version) == ("P1A", "bar E2", 1)


@pytest.mark.parametrize("changed", ["panel", "position"])
def test_the_second_of_two_people_is_told_and_shown_both(as_, town, changed):
    client, url = as_("office"), reverse("panel-update", args=[town.panel.pk])
    initial = client.get(url).context["form"].initial
    seen = {name: initial[name] for name in ("seen_version", "seen_position_version")}
    record = town.panel if changed == "panel" else town.panel.position
    setattr(record, "earth" if changed == "panel" else "room", "changed meanwhile")
    record.row_version += 1
    record.save()
    response = client.post(url, {"tag": "P1", "earth": "bar E9", "room": "my room", **seen})
    assert response.status_code == 422
    page = text_of(response)
    assert "Changed meanwhile" in page
    assert "changed meanwhile" in page
    assert ("bar E9" if changed == "panel" else "my room") in page
    record.refresh_from_db()
    assert "changed meanwhile" in (record.earth if changed == "panel" else record.room)


def test_changing_the_battery_names_the_set_that_comes_out(as_, town):
    builders.make_battery_set(town.panel, date_code="2403")
    client, url = as_("engineer"), reverse("battery-set-create", args=[town.panel.pk])
    assert "2403" in text_of(client.get(url))
    assert client.post(url, {"blocks": 2, "fitted_on": "2026-01-05"}).status_code == 302
    assert [each.removed_on is None for each in town.panel.battery_sets.all()] == [True, False]


def test_a_battery_cannot_go_in_before_the_present_one(as_, town):
    builders.make_battery_set(town.panel, fitted_on="2024-04-08")
    url = reverse("battery-set-create", args=[town.panel.pk])
    response = as_("engineer").post(url, {"blocks": 2, "fitted_on": "2024-04-07"})
    assert response.status_code == 422
    assert "has been in since 8 Apr 2024" in text_of(response)
    assert town.panel.battery_sets.count() == 1


@pytest.mark.parametrize(
    ("url_name", "make", "sentence"),
    [
        ("circuit-create", builders.make_circuit, "Output 3 of this panel has a circuit already"),
        ("line-create", builders.make_line, "Line 3 of this panel exists already"),
    ],
)
def test_a_number_in_use_is_told_at_its_field(as_, town, url_name, make, sentence):
    make(town.panel, number=3)
    response = as_("office").post(reverse(url_name, args=[town.panel.pk]), {"number": 3})
    assert response.status_code == 422
    assert sentence in str(response.context["form"].errors["number"])


@pytest.mark.parametrize("number", ["-1", "99999", "1e3", "", "9" * 400])
def test_a_number_that_no_output_has_is_refused(as_, town, number):
    response = as_("office").post(reverse("circuit-create", args=[town.panel.pk]), {"number": number})
    assert response.status_code == 422
    assert not ActuatorCircuit.objects.exists()


def test_a_line_takes_no_zone_of_another_building(as_, town):
    foreign = builders.make_zone(town.mill)
    response = as_("office").post(reverse("line-create", args=[town.panel.pk]), {"number": 1, "smoke_zone": foreign.pk})
    assert "smoke_zone" in response.context["form"].errors
    assert not DetectionLine.objects.exists()


def test_add_another_opens_the_form_again_with_the_next_number(as_, town):
    url = reverse("circuit-create", args=[town.panel.pk])
    response = as_("office").post(url, {"number": 4, "add_another": "1"}, follow=True)
    assert response.request["PATH_INFO"] == url
    assert response.context["form"].initial["number"] == 5


def test_a_form_returns_to_the_page_it_was_reached_from(as_, town):
    back = reverse("building-set-up", args=[town.hall.slug])
    response = as_("office").post(reverse("circuit-create", args=[town.panel.pk]) + f"?next={back}", {"number": 4})
    assert response.url == back


@pytest.mark.parametrize("next_url", ["https://elsewhere.example/", "//elsewhere.example/", "javascript:1", "/" * 400])
def test_a_form_never_leads_to_another_site(as_, town, next_url):
    response = as_("office").post(reverse("circuit-create", args=[town.panel.pk]) + f"?next={next_url}", {"number": 4})
    assert response.url == town.panel.get_absolute_url()


def test_an_unused_circuit_is_removed_and_its_history_stays(as_, town):
    circuit = builders.make_circuit(town.panel)
    response = as_("engineer").post(reverse("circuit-remove", args=[circuit.pk]))
    assert response.url == town.panel.get_absolute_url()
    assert not ActuatorCircuit.objects.exists()
    assert ActuatorCircuit.history.filter(id=circuit.pk, history_type="-").get().history_user == town.people["engineer"]


def test_a_used_circuit_stays_and_its_users_are_named(as_, town):
    circuit = builders.make_circuit(town.panel, number=1)
    builders.make_position(town.hall, "actuator", tag="M7", actuator_circuit=circuit)
    response = as_("office").post(reverse("circuit-remove", args=[circuit.pk]), follow=True)
    assert "P1 circuit 1 stays: 1 position uses it (M7)" in text_of(response)
    assert ActuatorCircuit.objects.exists()


def test_a_line_that_was_used_once_stays(as_, town):
    line = builders.make_line(town.panel, number=2)
    detector = builders.make_position(town.hall, tag="SD9", detection_line=line)
    detector.detection_line = None
    detector.save()
    response = as_("office").post(reverse("line-remove", args=[line.pk]), follow=True)
    assert "SD9 was on it once" in text_of(response)
    assert DetectionLine.objects.exists()


def test_a_setting_is_unique_on_its_panel_whatever_its_capitals(as_, town):
    builders.make_setting(town.panel, name="Run time")
    url = reverse("setting-create", args=[town.panel.pk])
    response = as_("office").post(url, {"name": "run time", "value": "60"})
    assert "a setting &#x27;run time&#x27; already" in text_of(response)
    assert PanelSetting.objects.count() == 1
    assert as_("office").post(url, {"name": "Run on", "value": "60"}).status_code == 302


def test_a_panel_that_does_not_exist_is_not_found(as_, town):
    for pk in (0, 999_999, 10**30):
        assert as_("office").get(f"/panels/{pk}/").status_code == 404


@pytest.mark.parametrize(("tolerance", "status"), [("50", 302), ("60", 422)])
def test_a_tolerance_above_fifty_percent_is_told_and_no_line_is_made(as_, town, tolerance, status):
    url = reverse("line-create", args=[town.panel.pk])
    response = as_("office").post(url, {"number": 9, "end_of_line_tolerance_percent": tolerance})
    assert response.status_code == status
    assert town.panel.detection_lines.filter(number=9).exists() == (status == 302)


def test_an_empty_figure_shows_that_of_the_model_grey_in_its_box(as_, town, model):
    panel = builders.make_panel(town.hall)
    panel.position.product_model = model
    panel.position.save()
    form = as_("office").get(reverse("panel-update", args=[panel.pk])).context["form"]
    assert 'placeholder="8"' in str(form["supply_limit_a"])
    assert "value=" not in str(form["supply_limit_a"])
    assert "placeholder" not in str(form["charger_current_a"])


def boxes(as_, url_name, record, *names):
    """What stands grey in the empty boxes of a form."""
    form = as_("office").get(reverse(url_name, args=[record.pk])).context["form"]
    found = [re.search(r'placeholder="([^"]*)"', str(form[name])) for name in names]
    return [one and one[1] for one in found]


def test_the_boxes_of_a_circuit_and_a_line_show_what_the_panels_model_says(as_, town, model):
    type(model).objects.filter(pk=model.pk).update(output_limit_a="12", line_voltage_v="18")
    panel = builders.make_panel(town.hall)
    panel.position.product_model = model
    panel.position.save()
    circuit = builders.make_circuit(panel)
    line = builders.make_line(panel)
    assert boxes(as_, "circuit-update", circuit, "current_limit_a") == ["12"]
    assert boxes(as_, "line-update", line, "line_voltage_v") == ["18"]


def test_the_box_of_a_lines_tolerance_shows_the_firms_common_practice(as_, town):
    line = builders.make_line(town.panel)
    assert boxes(as_, "line-update", line, "end_of_line_tolerance_percent") == ["5"]
    set_practice(name="element_tolerance", value="0.02")
    assert boxes(as_, "line-update", line, "end_of_line_tolerance_percent") == ["2"]


def test_the_boxes_of_a_battery_show_what_its_model_says(as_, town):
    model = builders.make_product_model(kind="battery", capacity_ah="24", service_life_years="6")
    battery = builders.make_battery_set(town.panel, product_model=model, removed_on=None)
    names = ("capacity_ah", "design_life_years", "discharge_limit_a")
    assert boxes(as_, "battery-set-update", battery, *names) == ["24", "6", None]
