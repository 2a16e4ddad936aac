"""The free area on a zone's page is the design check's own answer; a missing figure gives no verdict.

The rule is the handbook's (calculations.md, house rules: "missing input -> no verdict"; process.md §1 step 1).
"""

from datetime import date

import pytest
from django.utils import timezone

from tests import builders
from tests.zones.installations import make_installation, set_figure
from zones.design_basis.practice import current_practice
from zones.design_check.checked import checked_panel
from zones.design_check.free_areas import answer_of, findings_of_area
from zones.models import DeviceKind, SmokeZone, Vent

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
    "declared above what opens": lambda made: Vent.objects.update(aerodynamic_area_m2="5"),
}


@pytest.mark.parametrize("case", CASES)
def test_the_zone_is_answered_as_in_the_design_check_of_its_panel(made, case):
    CASES[case](made)
    zone = SmokeZone.objects.select_related("panel").get(pk=made.zones[0].pk)
    vents = list(zone.vents.all())
    ours = [one.sentence for one in findings_of_area(zone, vents, current_practice())]
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
