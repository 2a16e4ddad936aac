"""The proof page: what is proven, what fails with the shortest sequence that shows it, playable in the simulator.

What must hold: handbook calculations.md §9 (priorities, common practice); the prover itself is checked against a
general model checker in tests/zones/engineering/cause_and_effect/.
"""

import itertools
import re
import time

import pytest
from django.urls import reverse

from tests import builders
from zones.cause_and_effect.edits import add_usual_rules
from zones.cause_and_effect.proof import proof_page
from zones.cause_and_effect.records import panel_logic
from zones.models import CauseAndEffectRule


@pytest.fixture
def hall(town):
    """The hall with one group, its actuator and a rain sensor, and its usual rules."""
    group = builders.make_vent_group(town.zone, number=1)
    builders.make_position(town.hall, "actuator", tag="M1", smoke_zone=town.zone, panel=town.panel, vent_group=group)
    town.rain = builders.make_position(town.hall, "rain_sensor", tag="RS1", panel=town.panel)
    add_usual_rules(panel=town.panel)
    return town


def show(as_, town, person="engineer"):
    return as_(person).get(reverse("panel-proof", args=[town.panel.pk]))


def test_the_usual_rules_are_proven(as_, hall):
    response = show(as_, hall)
    assert response.context["page"].is_proven
    assert "every property is proven wherever it applies" in response.content.decode()


def test_what_does_not_apply_is_named_with_its_reason_and_asked_about(as_, hall):
    response = show(as_, hall)
    reasons = {name: reason for name, _, reason in response.context["page"].not_applicable}
    # The hall has no fire service control, no lock-out group and no monitored line: handbook calculations.md §9.
    assert set(reasons) >= {"Lock-out", "Fire service first", "Line fault safe"}
    page = response.content.decode()
    assert "does the fire strategy ask for it?" in page and "everything that applies is proven" not in page
    assert f"Does not apply: {reasons['Lock-out']}" in page


def test_a_reason_that_many_zones_share_is_told_once(as_, hall):
    for number in (2, 3):
        zone = builders.make_zone(hall.hall, panel=hall.panel, number=number, name="Lobby")
        builders.make_vent_group(zone, number=1)
    asked = [reason for name, _, reason in show(as_, hall).context["page"].not_applicable if name == "Lock-out"]
    assert asked == ["Zone 1 Main stair shares a lock-out group with no other zone. The same in every other zone."]


def test_what_applies_is_not_asked_about(as_, hall):
    before = {name for name, _, _ in show(as_, hall).context["page"].not_applicable}
    hall.zone.lockout_group = "shaft A"
    hall.zone.save()
    other = builders.make_zone(hall.hall, panel=hall.panel, number=2, lockout_group="shaft A")
    group = builders.make_vent_group(other, number=1)
    builders.make_position(hall.hall, "actuator", tag="M2", smoke_zone=other, panel=hall.panel, vent_group=group)
    detector = builders.make_position(hall.hall, "smoke_detector", tag="SD2", smoke_zone=other, panel=hall.panel)
    builders.make_rule(hall.panel, position=detector, smoke_zone=other, effect="O")
    assert "Lock-out" in before
    assert "Lock-out" not in {name for name, _, _ in show(as_, hall).context["page"].not_applicable}


def test_rain_that_closes_in_smoke_is_found_with_a_sequence_to_play(as_, hall):
    rule = CauseAndEffectRule.objects.get(position=hall.rain)
    rule.effect, rule.priority = "C", 1
    rule.save()
    response = show(as_, hall)
    failed = {result.name: result for result in response.context["page"].failures}
    assert "Smoke before ventilation" in failed
    link = re.search(r'href="([^"]+simulator/\?events=[^"]+)"', response.content.decode())[1]
    played = as_("engineer").get(link)
    zone = played.context["page"].zones[0]
    assert zone.in_alarm
    assert zone.groups[0].word == "shut"


def test_a_zone_that_nothing_opens_by_hand_is_told(as_, hall):
    CauseAndEffectRule.objects.filter(position=hall.call_point).delete()
    failed = [result.name for result in show(as_, hall).context["page"].failures]
    assert "Manual trigger" in failed


def test_a_panel_without_rules_leads_to_its_usual_rules(as_, town):
    assert "Give the panel its usual rules" in show(as_, town).content.decode()


def test_a_rule_that_this_panel_cannot_follow_is_told(as_, hall):
    other = builders.make_zone(hall.hall, panel=None, number=9)
    builders.make_rule(hall.panel, position=hall.call_point, smoke_zone=other, effect="O")
    assert "does not hang on P1" in show(as_, hall).content.decode()


def test_a_manager_reads_the_proof(as_, hall):
    assert show(as_, hall, "manager").status_code == 200


def verdicts_of(panel):
    return [(row.zone, row.name, row.verdict) for _, results in proof_page(panel_logic(panel)).rows for row in results]


def test_a_machine_so_busy_that_hours_pass_gives_the_same_verdicts(hall, monkeypatch):
    at_ease, hours = verdicts_of(hall.panel), itertools.count()
    for clock in ("time", "monotonic", "perf_counter", "process_time"):
        monkeypatch.setattr(time, clock, lambda: 3600.0 * next(hours))
    assert verdicts_of(hall.panel) == at_ease


def test_a_limit_that_is_reached_is_named(as_, hall, monkeypatch):
    monkeypatch.setattr("zones.cause_and_effect.proof.MOST_STATES", 3)
    html = show(as_, hall).content.decode()
    assert "Not decided: more than 3 states looked at." in html
    assert not show(as_, hall).context["page"].is_proven


def test_no_time_is_told_that_the_machine_took(as_, hall):
    assert re.search(r"\d+ states looked at</p>", show(as_, hall).content.decode())
