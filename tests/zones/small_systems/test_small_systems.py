"""A small system in one step: what the answers make, what is shown before, and what is refused."""

from decimal import Decimal
from pathlib import Path

import pytest
from django.urls import reverse

from tests import builders
from tests.zones.engineering.approval import compare
from tests.zones.installations import make_models
from tests.zones.small_systems.made_told import known, lines_of_what_was_made
from tests.zones.small_systems.small_system_answers import answers
from zones.models import (
    ActuatorCircuit,
    Cable,
    CauseAndEffectRule,
    ControlPanel,
    DeviceKind,
    EndOfLinePart,
    Position,
    SmokeZone,
    Terminal,
    Vent,
)
from zones.small_systems.descriptions import RUNS, small_systems
from zones.small_systems.forms import SmallSystemForm
from zones.small_systems.making import make_small_system
from zones.wiring.check import findings_of_wiring

pytestmark = pytest.mark.django_db
TWO_ZONES = "one-panel-two-zones"


@pytest.fixture
def building(town):
    return builders.make_building(town.quay_housing, name="Sluice House", slug="sluice-house")


@pytest.fixture
def models(town):
    return {kind.value: model for kind, model in make_models().items()}


def url_of(building, key=TWO_ZONES):
    return reverse("small-system", args=[building.slug, key])


def make(building, key=TWO_ZONES, **typed):
    """The panel made of these answers, without the page."""
    system = small_systems()[key]
    form = SmallSystemForm(answers(key, **typed), building=building, system=system)
    assert form.is_valid(), form.errors
    return make_small_system(building=building, system=system, answers=form.answers()).panel


def counts():
    return [
        model.objects.count()
        for model in (ControlPanel, SmokeZone, Vent, Position, Cable, Terminal, CauseAndEffectRule)
    ]


def test_two_zones_are_made_with_runs_positions_rules_and_battery(building, models, django_assert_max_num_queries):
    with django_assert_max_num_queries(740):  # for some 140 records with their histories
        panel = make(building, models=models)
    assert list(panel.smoke_zones.values_list("number", "name", "storey")) == [
        (1, "Stair 1", "roof"),
        (2, "Stair 2", "roof"),
    ]
    tags = building.positions.exclude(kind=DeviceKind.CONTROL_PANEL).in_walking_order().values_list("tag", flat=True)
    assert list(tags) == ["M1", "CP1", "SD1", "VS1", "M2", "CP2", "SD2", "VS2", "RS1"]
    assert panel.position.product_model == models["control_panel"]
    # What is left open in the second zone is that of the first.
    assert building.positions.get(tag="M2").product_model == models["actuator"]
    assert panel.battery_sets.get().product_model == models["battery"]
    assert panel.actuator_circuits.count() == 2
    assert list(panel.detection_lines.order_by("number").values_list("smoke_zone__number", "name")) == [
        (1, "call points"),
        (1, "detectors"),
        (2, "call points"),
        (2, "detectors"),
    ]
    call_point = building.positions.get(tag="CP2")
    assert (call_point.detection_line.number, call_point.order_on_line, call_point.smoke_zone.number) == (3, 1, 2)
    opening = panel.rules.filter(position=call_point, effect=CauseAndEffectRule.Effect.OPEN).get()
    assert opening.smoke_zone.number == 2


def test_the_circuit_is_set_by_drive_and_stroke_of_its_actuators(building, models):
    panel = make(building, models=models, z1_actuators_count=2, z1_each=2)
    circuit = panel.actuator_circuits.get(number=1)
    # 500 mm at 10 mm/s take 50 s; a fifth more is common practice (zones/design_basis/practice.py).
    assert (circuit.drive, circuit.expected_actuators, circuit.run_time_s) == (
        "polarity",
        4,
        64,
    )  # 500 mm at 9.5 mm/s, × 1.2
    assert circuit.delay_s == 0
    vents = circuit.positions.order_by("order_on_line").values_list("order_on_line", "vent__tag")
    assert list(vents) == [(1, "V1"), (2, "V1"), (3, "V2"), (4, "V2")]


MANY = {"actuators": 3, "call_points": 2, "detectors": 4, "switches": 2}
# Those whose lines and inputs all start at the panel; test_small_system_on_data_link.py has the other.
OF_THE_PANEL = [key for key in small_systems() if not key.endswith("data-link")]
FEW = {"switches": 0, "detectors": 0}


@pytest.mark.parametrize(
    ("key", "drive", "numbers"),
    [*((key, "polarity", {}) for key in OF_THE_PANEL), (TWO_ZONES, "addressed", MANY), (TWO_ZONES, "polarity", FEW)],
)
def test_what_is_made_is_wired_without_a_finding(building, models, key, drive, numbers):
    typed = {f"z1_{part}_count": number for part, number in numbers.items()}
    panel = make(building, key, models=models, z1_drive=drive, **typed)
    assert [finding.sentence for finding in findings_of_wiring(panel)] == []
    monitored = panel.detection_lines.count() + panel.actuator_circuits.filter(drive="polarity").count()
    assert EndOfLinePart.objects.filter(first__building=building).count() == monitored


def test_cables_have_the_type_the_area_and_the_lengths_leg_by_leg(building, models):
    make(
        building,
        models=models,
        z1_each=2,
        z1_actuators_lengths="18 3,5",
        output_cable_type="E30",
        output_cable_area="2.5",
        other_cable_type="LSZH",
        z1_detectors_lengths="12",
    )
    first, second = Cable.objects.filter(actuator_circuit__number=1).order_by("pk")
    assert (first.cable_type, first.area_mm2, first.length_m) == ("E30", Decimal("2.5"), 18)
    assert (second.length_m, second.upstream, second.feeds.tag) == (Decimal("3.5"), first, "M2")
    to_detector = Cable.objects.get(feeds__tag="SD1")
    assert (to_detector.cable_type, to_detector.length_m, to_detector.area_mm2) == ("LSZH", 12, None)
    assert Cable.objects.get(feeds__tag="M3").length_m is None


def test_the_mains_feed_stands_on_its_terminals(building):
    panel = make(building, mains_feed="DB1, way 4, 6 A")
    cores = Cable.objects.get(tag="W1.0").cores.order_by("number")
    where = [(core.colour, core.ends.get().terminal.number) for core in cores]
    assert where == [("BN", "L"), ("BU", "N"), ("GNYE", "PE")]
    assert panel.mains_feed == "DB1, way 4, 6 A"


def test_each_cable_says_from_where_to_where_it_runs_a_long_name_of_the_board_cut_to_its_room(building):
    panel = make(building, mains_feed=f"{'B' * 81}, way 4", z1_each=2, z1_end="in_box")
    mains = Cable.objects.get(tag="W1.0")
    assert (mains.from_place, mains.to_place) == ("B" * 80, "P1")
    of_output = panel.actuator_circuits.get(number=1).cables.order_by("tag")
    assert list(of_output.values_list("tag", "from_place", "to_place")) == [
        ("W1.1-1", "P1", "M1"),
        ("W1.1-2", "M1", "JB1"),
        ("W1.1-3", "JB1", "M2"),
    ]
    box = building.positions.get(tag="JB1")
    assert (box.place, box.storey, box.smoke_zone.number, box.panel) == ("before M2", "roof", 1, panel)


def test_a_preview_shows_all_and_makes_nothing(as_, building, models):
    before = counts()
    response = as_("engineer").post(url_of(building), answers(TWO_ZONES, models=models))
    assert response.status_code == 200
    assert counts() == before
    preview = response.context["preview"]
    assert "2 circuits" in preview.counts and "9 positions" in preview.counts
    page = response.content.decode()
    for words in (
        "SD2",
        "P1 line 4, place 1",
        "W1.1-1",
        "CP1 operates",
        "no finding on the wiring",
        "Make it like this",
    ):
        assert words in page


def test_the_same_answers_are_shown_alike_and_others_are_shown_again_first(as_, building):
    sent = answers(TWO_ZONES)
    first, second = (as_("office").post(url_of(building), sent).context["preview"].digest for _ in range(2))
    assert first == second
    response = as_("office").post(url_of(building), sent | {"keep": "1", "seen": first, "z1_detectors_count": "5"})
    assert response.status_code == 200 and response.context["has_changed"]
    assert not building.panels.exists()


def test_tags_and_numbers_count_on_in_a_building_that_has_some(town, models):
    panel = make(town.hall, models=models, panel_tag="P2")
    assert list(panel.smoke_zones.values_list("number", flat=True)) == [2, 3]
    assert set(town.hall.positions.filter(panel=panel, kind="manual_call_point").values_list("tag", flat=True)) == {
        "CP2",
        "CP3",
    }
    assert Cable.objects.filter(building=town.hall, tag="W2.1-1").exists()


def test_sent_twice_it_is_made_once_and_the_history_says_by_whom(as_, town, building):
    sent = answers(TWO_ZONES, submission_key="5f0e6a52-8f4f-4a0e-9a5c-9f2f6c6f6b11")
    sent["seen"] = as_("engineer").post(url_of(building), sent).context["preview"].digest
    for _ in range(2):
        assert as_("engineer").post(url_of(building), sent | {"keep": "1"}).status_code == 302
    panel = building.panels.get()
    call_point, cable = building.positions.get(tag="CP1"), Cable.objects.get(tag="W1.1-1")
    for record in (panel, panel.actuator_circuits.first(), call_point, cable):
        assert record.history.earliest().history_user == town.people["engineer"]


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("panel_tag", "", "required"),
        ("z1_name", "", "required"),
        ("z1_actuators_count", "21", "20"),
        ("z1_actuators_count", "x", "whole number"),
        ("z1_drive", "", "Choose addressed or polarity"),
        ("z1_actuators_lengths", "18 3", "2 lengths for 1 cable"),
        ("z1_actuators_lengths", "far", "is no length"),
        ("z1_actuators_lengths", "0", "0 m is not possible"),
        ("z1_actuators_lengths", "1e9", "not possible"),
        ("z1_detectors_model", "99999999", "valid choice"),
        ("end_of_line_ohm", "-1", "not possible"),
        ("output_cable_area", "9.9", "valid choice"),
        ("z1_name", "A\x00", "Null"),
    ],
)
def test_what_cannot_be_is_refused_at_its_field_and_nothing_is_made(as_, building, field, value, words):
    before = counts()
    response = as_("office").post(url_of(building), answers(TWO_ZONES, **{field: value}))
    assert response.status_code == 422
    assert words in str(response.context["form"].errors[field])
    assert counts() == before


def test_a_tag_that_is_taken_is_refused(as_, town):
    response = as_("office").post(url_of(town.hall), answers(TWO_ZONES, panel_tag="p1"))
    assert "Ropewalk Hall has 'p1' already" in response.context["form"].errors["panel_tag"][0]


def test_a_model_of_another_kind_is_no_choice(as_, building, models):
    response = as_("office").post(url_of(building), answers(TWO_ZONES, z1_detectors_model=models["actuator"].pk))
    assert "z1_detectors_model" in response.context["form"].errors


def test_a_panel_whose_pattern_has_too_few_inputs_says_what_stays_unwired(as_, building, models):
    panel_model = models["control_panel"]
    panel_model.wiring_pattern = (
        "for each output\nXA{n}:1 output out +\nXA{n}:2 output out -\nXA{n}:3 monitor out\n"
        "for each line\nXL{n}:1 line out +\nXL{n}:2 line out -\n"
    )
    panel_model.save()
    response = as_("office").post(url_of(building), answers(TWO_ZONES, models=models))
    assert response.context["preview"].not_wired == ["VS1", "VS2", "RS1"]
    assert "VS1, VS2, RS1" in response.content.decode()


def test_an_unknown_system_is_not_there(as_, building):
    assert as_("office").get(url_of(building, "no-such-system")).status_code == 404


def test_the_office_sees_what_each_system_makes(as_, building):
    page = as_("office").get(reverse("small-system-list", args=[building.slug])).content.decode()
    for system in small_systems().values():
        assert system.name in page and url_of(building, system.key) in page


def test_each_description_names_kinds_and_runs_that_there_are():
    for system in small_systems().values():
        assert system.zones >= 1 and system.zone_parts
        for part in system.parts:
            assert part.kind in DeviceKind.values and part.run in RUNS and 0 <= part.usual <= part.most
            assert (part.run == "line") == bool(part.line)
            assert (part.run == "output") == (part.kind == DeviceKind.ACTUATOR)


def test_the_page_of_answers_asks_the_database_as_often_for_three_zones_as_for_one(
    as_, building, models, django_assert_num_queries
):
    client = as_("office")
    for key in ("one-panel-one-zone", "one-panel-three-zones"):
        with django_assert_num_queries(6):  # session, person, building, last zone, models, tags
            assert client.get(url_of(building, key)).status_code == 200


def test_the_set_up_of_a_building_leads_here(as_, building):
    page = as_("office").get(reverse("building-set-up", args=[building.slug])).content.decode()
    assert reverse("small-system-list", args=[building.slug]) in page
    assert not ActuatorCircuit.objects.exists()


@pytest.mark.parametrize("key", ["one-panel-one-zone-by-hand", TWO_ZONES, "one-panel-two-zones-data-link"])
def test_every_record_that_is_made_is_told_as_approved(building, models, key):
    """After a change on purpose: read what is new in `approved/`, then `APPROVE=1 pytest` with this file."""
    before = known()
    make(building, key, models=models)
    compare(key.replace("-", "_"), lines_of_what_was_made(before), Path(__file__).parent / "approved")
