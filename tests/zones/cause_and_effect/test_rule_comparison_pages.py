"""Two revisions of rules compared on the page: those that were proven, beside the rules of now."""

import pytest
from django.urls import reverse

from tests import builders
from zones.cause_and_effect.edits import add_usual_rules
from zones.models import CauseAndEffectRule, KeptProof


@pytest.fixture
def hall(town):
    group = builders.make_vent_group(town.zone, number=1)
    builders.make_position(town.hall, "actuator", tag="M1", smoke_zone=town.zone, panel=town.panel, vent_group=group)
    town.rain = builders.make_position(town.hall, "rain_sensor", tag="RS1", panel=town.panel)
    add_usual_rules(panel=town.panel)
    return town


def show(as_, town, name="rule-comparison", **query):
    return as_("engineer").get(reverse(name, args=[town.panel.pk]), query)


def prove_then_set_rain_first(as_, hall):
    show(as_, hall, "panel-proof")
    CauseAndEffectRule.objects.filter(position=hall.rain).update(effect="C", priority=1)


def test_without_another_revision_the_page_says_how_one_comes_to_be(as_, hall):
    assert "No other revision of these rules is kept yet" in show(as_, hall).content.decode()


def test_what_a_change_does_is_shown_with_a_sequence_to_play(as_, hall):
    prove_then_set_rain_first(as_, hall)
    response = show(as_, hall)
    html = response.content.decode()
    assert "before: open · after: shut" in html and "RS1 reports rain" in html and "Play it in the simulator" in html
    _, events = response.context["comparison"].sequences[0]
    assert show(as_, hall, "simulator", events=events).context["page"].at == events.count("~") + 1


def test_a_revision_compared_with_itself_does_the_same(as_, hall):
    prove_then_set_rain_first(as_, hall)
    kept = KeptProof.objects.get().pk
    html = show(as_, hall, **{"from": kept, "to": kept}).content.decode()
    assert "both do the same, whatever happens" in html


def test_another_name_makes_no_revision(as_, hall):
    show(as_, hall, "panel-proof")
    hall.zone.name = "Lobby"
    hall.zone.save()
    show(as_, hall, "panel-proof")
    assert KeptProof.objects.count() == 2
    assert len(show(as_, hall).context["revisions"]) == 2  # now and one


@pytest.mark.parametrize("text", ["0", "999999999999999999999", "now'", "²"])
def test_a_revision_that_is_not_there_is_named(as_, hall, text):
    html = show(as_, hall, to=text).content.decode()
    assert "This panel has no revision of rules" in html and "What differs" not in html


def test_the_revision_of_another_panel_is_not_there(as_, hall):
    other = builders.make_panel(hall.hall, tag="P9")
    as_("engineer").get(reverse("panel-proof", args=[other.pk]))
    html = show(as_, hall, **{"from": KeptProof.objects.get(panel=other).pk}).content.decode()
    assert "This panel has no revision of rules" in html
