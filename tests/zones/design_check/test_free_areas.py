"""The free area on a zone's page is the design check's own answer; a missing figure gives no verdict.

The rule is the handbook's (calculations.md, house rules: "missing input -> no verdict"; process.md §1 step 1).
"""

from datetime import date

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from tests import builders
from tests.zones.installations import make_installation, set_figure
from zones.design_check.checked import checked_panel, checked_portfolio
from zones.design_check.free_areas import answer_of
from zones.engineering import Severity
from zones.models import CauseAndEffectRule, DeviceKind, SmokeZone, Vent

pytestmark = pytest.mark.django_db


@pytest.fixture
def made(town, shared, monkeypatch):
    monkeypatch.setattr(timezone, "localdate", lambda: date(2026, 3, 2))
    return shared.built(installation_at_the_hall, town)


def installation_at_the_hall(town):
    return make_installation(town.hall, tag="P7", circuits=2)


def zone_with(made, **changes):
    """The first zone, with these fields."""
    SmokeZone.objects.filter(pk=made.zones[0].pk).update(**changes)
    return SmokeZone.objects.get(pk=made.zones[0].pk)


def answer(zone):
    return answer_of(zone, list(zone.vents.all()))


PLUME = {
    "area_method": "axisymmetric",
    **{"heat_release_kw": "2000", "clear_height_m": "5", "layer_depth_m": "2"},
}
# What can be wrong with a zone and its vents; each is told in the same words on both pages.
CASES = {
    "nothing": lambda made: None,
    "more is asked for": lambda made: zone_with(made, required_area_m2="9"),
    "aerodynamic, undeclared": lambda made: zone_with(made, required_area_kind="aerodynamic"),
    "nothing is asked for": lambda made: zone_with(made, required_area_m2=None, required_area_kind=""),
    "a stroke is not known": lambda made: set_figure(made.models[DeviceKind.ACTUATOR], stroke_mm=None),
    "a width is not known": lambda made: Vent.objects.filter(tag="V2.1").update(width_mm=None),
    "one tag twice on the panel": lambda made: Vent.objects.filter(tag__in=("V2.1", "V3.1")).update(tag="V"),
    "a width that cannot be": lambda made: Vent.objects.filter(smoke_zone__in=made.zones).update(width_mm=60_000),
    "a method without its figure": lambda made: zone_with(made, area_method="fr-workplace"),
    "a method beside the strategy": lambda made: zone_with(made, area_method="fr-workplace", floor_area_m2="250"),
    "a plume alone": lambda made: zone_with(made, required_area_m2=None, required_area_kind="", **PLUME),
    "one vent lets air in": lambda made: (
        Vent.objects.filter(tag="V2.1").update(purpose="inlet"),
        zone_with(made, inlet_ratio="1.5", inlet_ratio_kind="geometric"),
    ),
    "declared above what opens": lambda made: Vent.objects.update(aerodynamic_area_m2="5"),
}


@pytest.mark.parametrize("case", CASES)
def test_the_zone_is_answered_as_in_the_design_check_of_its_panel(made, case):
    CASES[case](made)
    zone = SmokeZone.objects.select_related("panel").get(pk=made.zones[0].pk)
    vents = list(zone.vents.all())
    ours = [line.finding.sentence for line in answer_of(zone, vents).lines]
    of_panel = [one.sentence for one in checked_panel(made.panel).findings]
    assert ours
    assert set(ours) <= set(of_panel)
    about = [
        one.sentence
        for one in checked_panel(made.panel).findings
        if one.code.startswith("area.") and one.subject == f"{zone.number} {zone.name}"
    ]
    assert set(about) <= set(ours)


def test_the_area_is_computed_where_nobody_declared_one(made):
    found = answer(zone_with(made))
    # Two top-hung leaves of 1.2 m × 1.0 m, 0.5 m open, angle 2 asin 0.25: front 0.5 × 1.2 and two triangles of
    # 1/2 × 1² × sin 28.96° make 1.0841 m² each, below the frame's 1.2 m² [calc].
    assert (found.key, found.word) == ("meets", "within the entered limit")
    assert "opens 2.168 m² geometric, 1.8 m² are required" in found.sentence.replace("\xa0", " ")


def test_too_little_area_is_not_met_and_says_by_how_much(made):
    found = answer(zone_with(made, required_area_m2="9"))
    assert found.key == "not_met"
    assert "less than the 9 m² required" in found.sentence.replace("\xa0", " ")


def test_a_geometric_area_never_answers_for_an_aerodynamic_one(made):
    Vent.objects.filter(smoke_zone=made.zones[0]).update(geometric_area_m2="5")
    found = answer(zone_with(made, required_area_kind="aerodynamic"))
    assert found.key == "not_known"
    assert "declared aerodynamic area or tested coefficient" in found.sentence.lower()


def test_without_a_required_area_there_is_no_verdict(made):
    found = answer(zone_with(made, required_area_m2=None, required_area_kind=""))
    assert found.key == "not_known"
    assert "equired area of zone 2 Stair not known" in found.sentence


def test_a_zone_without_vents_is_not_known(made):
    zone = builders.make_zone(made.building, made.panel, number=9, required_area_m2="1", required_area_kind="geometric")
    found = answer(zone)
    assert (found.key, found.lines) == ("not_known", ())
    assert "No vent recorded" in found.sentence


def test_a_zone_on_no_panel_is_answered_too(made):
    assert answer(zone_with(made, panel=None)).key == "meets"


def test_the_page_shows_the_answer_with_its_source(as_, made):
    page = " ".join(
        as_("manager").get(zone_with(made, required_area_m2="9").get_absolute_url()).content.decode().split()
    )
    assert "less than the 9" in page
    assert "Figures, formula, source" in page
    assert f"/panels/{made.panel.pk}/design-check/?severity=all" in page


def test_each_figure_of_a_vent_names_the_definition_behind_it(made):
    zone = zone_with(made)
    first, second = zone.vents.order_by("tag")
    Vent.objects.filter(pk=second.pk).update(
        discharge_coefficient="0.35", coefficient_is_tested=True, tested_angle_deg="25"
    )
    found = answer(zone).of_vents
    assert (found[first.pk].geometric_m2, found[first.pk].geometric_by) == (1.08, "frame, stroke and gaps")
    assert found[first.pk].estimate == "estimate, geometric × 0.6: about 0.65 m²"
    assert found[second.pk].aerodynamic_m2 == 0.42  # 1.2 m × 1.0 m × 0.35: handbook 5
    assert found[second.pk].aerodynamic_by == "frame × tested coefficient at 25°"


def test_a_zone_with_inlets_alone_is_not_known(made):
    zone = zone_with(made, needs_no_inlets=True)
    zone.vents.update(purpose="inlet")
    found = answer(zone)
    assert found.key == "not_known" and "only inlets" in found.sentence


def with_an_inlet(made, **rule):
    """The last vent of the first zone lets air in, its actuator in a group of its own; the rest opens by a rule."""
    zone = zone_with(made, inlet_ratio="0.1", inlet_ratio_kind="geometric")
    inlet = zone.vents.order_by("tag").last()
    Vent.objects.filter(pk=inlet.pk).update(purpose="inlet")
    group = builders.make_vent_group(zone, number=7)
    inlet.actuators.update(vent_group=group)
    others = builders.make_vent_group(zone, number=8)
    zone.positions.filter(kind=DeviceKind.ACTUATOR).exclude(vent=inlet).update(vent_group=others)
    CauseAndEffectRule.objects.create(
        panel=made.panel, cause="zone_in_alarm", cause_zone=zone, vent_group=others, effect="O"
    )
    return group, zone


def of_air(made, code):
    return [one for one in checked_panel(made.panel).findings if one.code == code]


def test_what_opens_the_outlets_must_open_the_inlets_by_the_recorded_rules(made):
    group, zone = with_an_inlet(made)
    (wrong,) = of_air(made, "air.cause")
    assert wrong.severity == Severity.FAIL and f"{zone} in alarm opens its outlets, but not its inlet" in wrong.sentence
    CauseAndEffectRule.objects.create(
        panel=made.panel, cause="zone_in_alarm", cause_zone=zone, vent_group=group, effect="O"
    )
    assert [one.severity for one in of_air(made, "air.cause")] == [Severity.MEETS]
    assert [one.severity for one in of_air(made, "air.time")] == [Severity.MEETS]


def test_an_inlet_on_an_output_of_another_panel_is_judged_by_that_panel(made, town):
    group, zone = with_an_inlet(made)
    CauseAndEffectRule.objects.create(
        panel=made.panel, cause="zone_in_alarm", cause_zone=zone, vent_group=group, effect="O"
    )
    other = make_installation(town.hall, tag="P8", models=made.models)
    inlet = zone.vents.get(purpose="inlet")
    circuit = other.panel.actuator_circuits.get()
    moved = circuit.positions.order_by("order_on_line").last()
    inlet.actuators.update(vent=None)
    type(moved).objects.filter(pk=moved.pk).update(smoke_zone=zone, vent_group=group, vent=inlet)
    found = {one.code: one.severity for one in checked_panel(made.panel).findings if one.code.startswith("air.")}
    assert found["air.time"] == Severity.MEETS
    assert found["air.signal"] == Severity.QUESTION
    assert "air.opens" not in found
    (whole,) = checked_portfolio(type(town.hall).objects.filter(pk=town.hall.pk))
    (of_building,) = [one for one in whole.panels if one.panel == made.panel]
    assert {one.code: one.severity for one in of_building.findings if one.code.startswith("air.")} == found


def test_the_recorded_rules_cost_one_query_and_only_where_an_inlet_asks(made):
    def queries():
        with CaptureQueriesContext(connection) as captured:
            checked_panel(made.panel)
        return len(captured)

    before = queries()
    with_an_inlet(made)
    assert queries() == before + 1
    Vent.objects.filter(smoke_zone__in=made.zones).exclude(smoke_zone=made.zones[0]).update(purpose="inlet")
    assert queries() == before + 1
