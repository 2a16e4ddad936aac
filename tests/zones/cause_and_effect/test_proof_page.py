"""The proof page: what is proven, what fails with the shortest sequence that shows it, playable in the simulator.

What must hold: handbook calculations.md §9 (priorities, common practice); the prover itself is checked against a
general model checker in tests/zones/engineering/cause_and_effect/.
"""

import io
import itertools
import re
import time

import pytest
from django.core.management import CommandError, call_command
from django.db import connection
from django.urls import reverse

from tests import builders
from zones.cause_and_effect.edits import add_usual_rules
from zones.cause_and_effect.records import panel_logic
from zones.engineering.cause_and_effect import prove
from zones.models import CauseAndEffectRule, KeptProof, ProofToMake


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


def compose_papers():
    call_command("compose_papers", stdout=io.StringIO())


def test_the_usual_rules_are_proven(as_, hall):
    response = show(as_, hall)
    assert response.context["page"].is_proven
    assert "every property is proven wherever it applies" in response.content.decode()


def test_what_does_not_apply_is_named_with_its_reason_and_asked_about(as_, hall):
    response = show(as_, hall)
    reasons = {name: reason for name, _, _, reason in response.context["page"].not_applicable}
    # The hall has no fire service control, no lock-out group and no monitored line: handbook calculations.md §9.
    assert set(reasons) >= {"Lock-out", "Fire service first", "Line fault safe"}
    page = response.content.decode()
    assert "does the fire strategy ask for it?" in page and "everything that applies is proven" not in page
    assert f"Not applicable: {reasons['Lock-out']}" in page


def test_a_reason_that_many_zones_share_is_told_once(as_, hall):
    for number in (2, 3):
        zone = builders.make_zone(hall.hall, panel=hall.panel, number=number, name="Lobby")
        builders.make_vent_group(zone, number=1)
    asked = [reason for name, _, _, reason in show(as_, hall).context["page"].not_applicable if name == "Lock-out"]
    assert asked == ["Zone 1 Main stair shares a lock-out group with no other zone. The same in every other zone."]


def test_what_applies_is_not_asked_about(as_, hall):
    before = {name for name, *_ in show(as_, hall).context["page"].not_applicable}
    hall.zone.lockout_group = "shaft A"
    hall.zone.save()
    other = builders.make_zone(hall.hall, panel=hall.panel, number=2, lockout_group="shaft A")
    group = builders.make_vent_group(other, number=1)
    builders.make_position(hall.hall, "actuator", tag="M2", smoke_zone=other, panel=hall.panel, vent_group=group)
    detector = builders.make_position(hall.hall, "smoke_detector", tag="SD2", smoke_zone=other, panel=hall.panel)
    builders.make_rule(hall.panel, position=detector, smoke_zone=other, effect="O")
    assert "Lock-out" in before
    assert "Lock-out" not in {name for name, *_ in show(as_, hall).context["page"].not_applicable}


def test_rain_that_closes_in_smoke_is_found_with_a_sequence_to_play(as_, hall):
    rule = CauseAndEffectRule.objects.get(position=hall.rain)
    rule.effect, rule.priority = "C", 1
    rule.save()
    response = show(as_, hall)
    failed = {result.name: result for result in response.context["page"].failures}
    assert "Smoke before ventilation" in failed
    link = re.search(r'href="([^"]+simulator/\?events=[^"]+)"', response.content.decode())[1].replace("&amp;", "&")
    assert as_("engineer").get(link).context["page"].at == 1
    played = as_("engineer").get(link.replace("&at=1", ""))
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
    proof = prove(panel_logic(panel).ruleset)
    return [(zone.zone, one.property, one.verdict) for zone in proof.zones for one in zone.results]


def test_a_machine_so_busy_that_hours_pass_gives_the_same_verdicts(hall, monkeypatch):
    at_ease, hours = verdicts_of(hall.panel), itertools.count()
    for clock in ("time", "monotonic", "perf_counter", "process_time"):
        monkeypatch.setattr(time, clock, lambda: 3600.0 * next(hours))
    assert verdicts_of(hall.panel) == at_ease


def test_a_limit_that_is_reached_is_named(as_, hall, monkeypatch):
    monkeypatch.setattr("zones.cause_and_effect.kept_proofs.MOST_STATES", 3)
    show(as_, hall)
    compose_papers()
    html = show(as_, hall).content.decode()
    assert "Not decided: more than 3 states looked at." in html
    assert not show(as_, hall).context["page"].is_proven


def test_no_time_is_told_that_the_machine_took(as_, hall):
    assert re.search(r"\d+ states looked at · proven \d+ \w+ \d{4} *</p>", show(as_, hall).content.decode())


def test_a_proof_is_made_once_and_then_shown_as_it_was_kept(as_, hall, monkeypatch):
    first = show(as_, hall).context["page"]
    monkeypatch.setattr("zones.cause_and_effect.kept_proofs.prove", None)  # to prove again would fail
    again = show(as_, hall).context["page"]
    assert (again.rows, again.made_at) == (first.rows, first.made_at)


@pytest.fixture
def long_to_prove(hall, monkeypatch):
    """The hall, as if its rules had more states than anybody waits for."""
    monkeypatch.setattr("zones.cause_and_effect.kept_proofs.STATES_AT_ONCE", 3)
    return hall


def test_a_long_proof_is_made_by_the_worker_while_the_page_says_so(as_, long_to_prove):
    waiting = show(as_, long_to_prove)
    assert waiting.context["page"] is None
    assert "It waits for its turn" in waiting.content.decode()
    compose_papers()
    response = show(as_, long_to_prove)
    assert response.context["page"].is_proven and response.context["on_its_way"] is None


def test_a_proof_on_its_way_says_how_far_it_is(as_, long_to_prove):
    show(as_, long_to_prove)
    ProofToMake.objects.update(begun_at="2026-11-30T12:00Z", parts=8, parts_done=3, states=12_000)
    html = show(as_, long_to_prove).content.decode()
    assert re.search("12000 states looked at in 3 of 8 different parts", html)


def test_the_proof_of_older_rules_is_shown_at_once_as_such_until_that_of_now_is_made(as_, long_to_prove):
    show(as_, long_to_prove)
    compose_papers()
    CauseAndEffectRule.objects.filter(position=long_to_prove.rain).update(priority=1)
    html = show(as_, long_to_prove).content.decode()
    assert "of older rules: they were changed since" in html and "Properties" in html
    compose_papers()
    assert "of older rules" not in show(as_, long_to_prove).content.decode()
    assert KeptProof.objects.count() == 2


def test_rules_changed_before_the_worker_came_are_proven_as_they_stand_then(as_, long_to_prove):
    show(as_, long_to_prove)
    CauseAndEffectRule.objects.filter(position=long_to_prove.call_point).delete()
    show(as_, long_to_prove)
    compose_papers()
    assert "Manual trigger" in [one.name for one in show(as_, long_to_prove).context["page"].failures]


def test_another_name_makes_a_proof_older_but_not_of_other_rules(as_, long_to_prove):
    show(as_, long_to_prove)
    compose_papers()
    long_to_prove.zone.name = "Lobby"
    long_to_prove.zone.save()
    assert "do the same as those of now" in show(as_, long_to_prove).content.decode()


def test_a_proof_that_cannot_be_made_is_told_and_tried_again(as_, long_to_prove, monkeypatch):
    show(as_, long_to_prove)
    with monkeypatch.context() as broken, pytest.raises(CommandError):
        broken.setattr("zones.cause_and_effect.kept_proofs.prove", None)
        compose_papers()
    assert "The proof could not be made" in show(as_, long_to_prove).content.decode()
    compose_papers()
    assert show(as_, long_to_prove).context["page"].is_proven


def test_a_failure_shown_of_older_rules_cannot_be_played_on_those_of_now(as_, long_to_prove):
    CauseAndEffectRule.objects.filter(position=long_to_prove.rain).update(effect="C", priority=1)
    show(as_, long_to_prove)
    compose_papers()
    assert "Play it in the simulator" in show(as_, long_to_prove).content.decode()
    CauseAndEffectRule.objects.filter(position=long_to_prove.rain).delete()
    html = show(as_, long_to_prove).content.decode()
    assert "What fails" in html and "Play it in the simulator" not in html


@pytest.mark.skipif(connection.vendor != "sqlite", reason="PostgreSQL has a disk of its own")
@pytest.mark.parametrize("at_once", [3, 3_000])
def test_on_a_disk_that_cannot_be_written_the_page_is_read_all_the_same(as_, hall, monkeypatch, at_once):
    monkeypatch.setattr("zones.cause_and_effect.kept_proofs.STATES_AT_ONCE", at_once)
    engineer = as_("engineer")
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA query_only = ON")
        response = engineer.get(reverse("panel-proof", args=[hall.panel.pk]))
        cursor.execute("PRAGMA query_only = OFF")
    assert response.status_code == 200
    assert bool(response.context["page"]) is (at_once == 3_000)
    assert not KeptProof.objects.exists() and not ProofToMake.objects.exists()
