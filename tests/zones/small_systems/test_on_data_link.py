"""Two zones with their call points on a data link: lines and inputs start at call points, the module is in a box."""

from datetime import date

import pytest
from django.urls import reverse

from inspections.demo.product_models import PANEL_PATTERN
from tests import builders
from tests.zones.installations import make_models
from tests.zones.small_systems.small_system_answers import answers
from zones.engineering.findings import Severity
from zones.engineering.pattern_texts import LINK_CALL_POINT, TWO_CORE_ACTUATOR
from zones.models import Cable, DataLink, EndOfLinePart, InputPort
from zones.small_systems.descriptions import small_systems
from zones.small_systems.forms import SmallSystemForm
from zones.small_systems.making import make_small_system
from zones.wiring.check import findings_of_wiring
from zones.wiring.state import state_of_panel

pytestmark = pytest.mark.django_db
KEY = "one-panel-two-zones-data-link"


def build_house(town):
    town.house = builders.make_building(town.quay_housing, name="Sluice House", slug="sluice-house")
    changes = {
        "control_panel": {"wiring_pattern": PANEL_PATTERN, "end_of_line_ohm": 10_000},
        "manual_call_point": {"wiring_pattern": LINK_CALL_POINT},
    }
    town.models = {kind.value: model for kind, model in make_models(**changes).items()}
    town.two_core = builders.make_product_model(
        "actuator", name="two cores", drive="polarity", wiring_pattern=TWO_CORE_ACTUATOR
    )
    return town


@pytest.fixture
def house(town, shared):
    return shared.built(build_house, town)


@pytest.fixture
def building(house):
    return house.house


@pytest.fixture
def models(house):
    return house.models


@pytest.fixture
def two_core(house):
    return house.two_core


def form_of(building, models, **changes):
    """The small job: circuits of either drive, a detector at one call point, a switch at the other."""
    usual = {
        "z1_drive": "addressed",
        "z1_call_point_switches_count": 0,
        "z1_panel_switches_count": 1,
        "z1_panel_detectors_count": 1,
        "z2_call_point_detectors_count": 0,
        "mains_feed": "DB1, way 7, 10 A",
    }
    sent = answers(KEY, models=models, **(usual | changes))
    return SmallSystemForm(sent, building=building, system=small_systems()[KEY])


def make(building, models, **changes):
    form = form_of(building, models, **changes)
    assert form.is_valid(), form.errors
    return make_small_system(building=building, system=small_systems()[KEY], answers=form.answers())


def build_small_job(town):
    return make(
        town.house,
        town.models,
        z2_actuators_model=town.two_core.pk,
        z2_end="in_box",
        z2_actuators_lengths="24 1",
        z2_link_call_points_lengths="20",
    )


@pytest.fixture
def made(house, shared):
    return shared.built(build_small_job, house)


def across(**of):
    """The two terminals on which an end-of-line part stands."""
    element = EndOfLinePart.objects.get(**of)
    return {f"{(one.panel or one.position).tag} {one}" for one in (element.first, element.second)}


def test_nothing_red_is_found_and_only_the_list_of_the_panel_is_still_to_be_read(made):
    found = findings_of_wiring(made.panel)
    assert [finding.severity for finding in found] == [Severity.MISSING]
    assert "list of data link 1 is not recorded" in found[0].sentence
    assert not made.not_wired
    assert made.panel.battery_sets.get().blocks == 2


def test_call_points_are_on_the_link_and_the_resistor_at_the_detector_or_on_their_own_terminals(made, building):
    link = DataLink.objects.get(panel=made.panel)
    assert set(link.positions.values_list("order_on_line", "tag")) == {(1, "CP1"), (2, "CP2")}
    assert str(Cable.objects.get(tag="W1.D1-2").length_m) == "20.0"
    assert Cable.objects.get(tag="W1.D1-1").length_m is None
    own = building.positions.get(tag="CP1").lines_offered.get()
    assert own.positions.get().tag == "SD1" and own.smoke_zone.number == 1
    assert across(first__position__tag="SD1") == {"SD1 -X1:3", "SD1 -X1:4"}
    assert across(first__position__tag="CP2") == {"CP2 -X3:1", "CP2 -X3:2"}


def test_every_switch_is_of_the_group_that_it_moves(made, building):
    switches = building.positions.filter(kind="ventilation_switch")
    assert {switch.vent_group.smoke_zone_id for switch in switches} == {zone.pk for zone in building.smoke_zones.all()}
    assert all(switch.vent_group.smoke_zone_id == switch.smoke_zone_id for switch in switches)


def test_switches_and_sensor_are_on_inputs_of_the_call_point_or_of_the_panel(made, building):
    at_call_point = InputPort.objects.filter(wired_devices__position__tag="VS2").order_by("number")
    assert {(one.starts_at.tag, one.function, one.long_press, one.short_press) for one in at_call_point} == {
        ("CP2", "open", "fully", "stop"),
        ("CP2", "close", "fully", "stop"),
    }
    at_panel = InputPort.objects.filter(wired_devices__position__tag="VS1").order_by("number")
    assert [(one.starts_at, one.function, one.smoke_zone.number) for one in at_panel] == [
        (None, "open", 1),
        (None, "close", 1),
    ]
    # The resistor of a monitored input leaves the panel for the sensor.
    rain = InputPort.objects.get(function="rain")
    assert (rain.is_monitored, rain.end_of_line_ohm, rain.end_place) == (True, 10_000, "last_device")
    assert across(first__position__tag="RS1") == {"RS1 -X1:3", "RS1 -X1:4"}


def test_three_cores_go_to_the_box_and_two_onward_and_the_module_stands_in_the_box(made, building):
    to_box, onward = Cable.objects.filter(actuator_circuit__number=2).order_by("tag")
    assert (to_box.far_box.tag, to_box.cores_count, to_box.length_m) == ("JB1", 3, 24)
    assert (onward.feeds.tag, onward.cores_count, onward.length_m) == ("M2", 2, 1)
    element = EndOfLinePart.objects.get(first__position__tag="JB1")
    assert (element.kind, made.panel.actuator_circuits.get(number=2).end_place) == ("module", "in_box")
    assert made.panel.actuator_circuits.get(number=2).monitored_by == "three"


def test_the_monitoring_terminal_of_an_actuator_beyond_the_box_need_not_be_wired(building, models):
    models["actuator"].wiring_pattern = ""  # the usual one: +, − and monitor
    models["actuator"].save()
    made = make(building, models, z2_end="in_box", z2_drive="polarity")
    state = state_of_panel(made.panel)
    assert building.positions.get(tag="M2").terminals.filter(electrical_kind="monitor").exists()
    assert (state.wired, state.faults) == (state.needed, 0)


def test_cables_get_the_class_that_was_answered_so_that_voltages_are_computed(building, models):
    make(
        building,
        models,
        output_cable_area="2.5",
        output_cable_class="1",
        other_cable_class="5",
        z2_end="in_box",
        z2_drive="polarity",
    )
    of_circuits = Cable.objects.filter(actuator_circuit__isnull=False)
    assert set(of_circuits.values_list("conductor_class", flat=True)) == {"1"}
    assert Cable.objects.get(tag="W1.D1-1").conductor_class == "5"


def test_a_figure_that_a_data_link_lacks_is_entered_on_the_data_sheet_of_its_call_points(made, models, as_):
    models["manual_call_point"].alarm_current_a = None
    models["manual_call_point"].save()
    response = as_("office").get(reverse("panel-design-check", args=[made.panel.pk]))
    group = next(group for group in response.context["groups"] if group.heading == "Data link 1 call points")
    of_current = next(line for line in group.lines if "current in alarm" in line.finding.sentence.lower())
    assert str(models["manual_call_point"]) in of_current.word
    assert f"/{models['manual_call_point'].pk}/" in of_current.url


def test_the_battery_is_as_old_as_was_answered(building, models):
    made = make(building, models, battery_fitted_on="2024-03-01")
    assert made.panel.battery_sets.get().fitted_on == date(2024, 3, 1)


def test_the_blocks_are_in_series_and_the_feed_is_earthed_to_the_body(made, building):
    leads = Cable.objects.filter(tag__startswith="W1.B").order_by("tag")
    assert [(one.cable_type, one.from_place, one.to_place) for one in leads] == [
        ("red lead", "P1", "G1"),
        ("link of the blocks", "G1", "G2"),
        ("black lead", "G2", "P1"),
    ]
    feed = Cable.objects.get(tag="W1.0")
    assert list(feed.cores.order_by("number").values_list("ends__terminal__number", flat=True)) == ["L", "N", "PE"]
    earth = made.panel.terminals.get(number="PE")
    assert earth.links_from.exists() or earth.links_to.exists()


@pytest.mark.parametrize(
    "numbers",
    [
        {
            "z1_link_call_points_count": 3,
            "z1_call_point_detectors_count": 3,
            "z2_actuators_count": 2,
            "z2_end": "in_box",
        },
        {"z2_link_call_points_count": 0, "z2_call_point_detectors_count": 0, "z2_call_point_switches_count": 0},
        {"z1_panel_switches_count": 2, "monitored_rain_count": 0, "batteries_count": 0},
    ],
)
def test_other_numbers_are_wired_without_a_red_finding(building, models, numbers):
    made = make(building, models, **numbers)
    assert [one.sentence for one in findings_of_wiring(made.panel) if one.severity != Severity.MISSING] == []


def test_the_rules_and_the_preview_know_devices_on_the_link(as_, building, models):
    sent = form_of(building, models).data
    response = as_("engineer").post(reverse("small-system", args=[building.slug, KEY]), sent)
    page = response.content.decode()
    for words in (
        "CP2 operates",
        "SD1 operates",
        "starts at CP1",
        "start at CP2, open, close",
        "P1 data link 1, place 2",
    ):
        assert words in page
    assert not building.panels.exists()


def test_a_panel_without_a_data_link_is_refused_with_what_to_do(as_, building, models):
    models["control_panel"].wiring_pattern = "for each output\nXA{n}:1 output out +\nXA{n}:2 output out -\n"
    models["control_panel"].save()
    response = as_("office").post(reverse("small-system", args=[building.slug, KEY]), form_of(building, models).data)
    assert response.status_code == 422
    assert "has no data link" in response.context["form"].errors["panel_model"][0]
    assert not building.panels.exists()


def test_a_call_point_that_offers_no_line_is_refused_with_what_to_do(as_, building, models):
    models["manual_call_point"].wiring_pattern = "X1:1 link in +\nX1:2 link in -\nX1:3 link in\n"
    models["manual_call_point"].save()
    response = as_("office").post(reverse("small-system", args=[building.slug, KEY]), form_of(building, models).data)
    assert response.status_code == 422
    assert "no call point that offers a detection line" in str(response.context["form"].non_field_errors())


def test_an_addressed_circuit_has_no_module_in_a_box(building, models):
    form = form_of(building, models, z1_end="in_box")
    assert "An addressed circuit has no end-of-line module" in form.errors["z1_end"][0]
