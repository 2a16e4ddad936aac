"""What a plan shows of panels set up wrongly in one thing: told apart by a watch and mistakes made apart from the plan.

Source of the mistakes: common practice, no published list. `wrong_panels` here makes its own, one edit each, and
watches by the step-by-step simulation with a clock; the plan is made by another list and by running all at once.
"""

from dataclasses import replace

import pytest

from tests.zones.engineering.cause_and_effect import wrong_panels as independent
from tests.zones.engineering.cause_and_effect.planted import building
from zones.engineering.cause_and_effect import AfterReset, InputKind, commissioning_plan
from zones.engineering.cause_and_effect.commissioning_told import told_by
from zones.engineering.cause_and_effect.panels_at_once import PanelsAtOnce
from zones.engineering.cause_and_effect.wrong_panels import Mistake, wrong_panels


def as_rules(ruleset, wrong):
    """The rules of a wrong panel, written out, for the independent watch."""
    if wrong.rule:
        rules = [now for rule in ruleset.rules for now in (wrong.now if rule.key == wrong.rule else (rule,))]
        return independent.WrongPanel(wrong.mistake, wrong.rule, replace(ruleset, rules=tuple(rules)))
    if wrong.mistake is Mistake.POLE:
        return independent.WrongPanel(wrong.mistake, wrong.subject, ruleset, inverted=wrong.subject)
    if wrong.mistake is Mistake.AFTER_RESET:
        other = next(one for one in AfterReset if one is not ruleset.after_reset)
        return independent.WrongPanel(wrong.mistake, "", replace(ruleset, after_reset=other))
    changes = {
        Mistake.RESET: {"kind": InputKind.DETECTOR},
        Mistake.RESET_SCOPE: {"zone": None},
        Mistake.LOCKOUT: {"lockout_group": ""},
    }[wrong.mistake]
    where = "zones" if wrong.mistake is Mistake.LOCKOUT else "inputs"
    some = tuple(replace(one, **changes) if one.key == wrong.subject else one for one in getattr(ruleset, where))
    return independent.WrongPanel(wrong.mistake, wrong.subject, replace(ruleset, **{where: some}))


@pytest.mark.parametrize("number", [1, 7])
def test_all_panels_at_once_show_what_each_shows_on_its_own(number):
    ruleset = building(number)
    wrong = wrong_panels(ruleset)
    watched = independent.PlanWatched(ruleset, commissioning_plan(ruleset))
    panels, told = PanelsAtOnce(ruleset, wrong), 0
    for events in independent.rounds_of(commissioning_plan(ruleset)):
        standing = panels.rest()
        panels.replay(standing, events)
        told |= standing.told
    alone = [watched.tells(as_rules(ruleset, one)) for one in wrong]
    assert alone == [bool(told >> k & 1) for k in range(1, len(wrong) + 1)]
    assert any(alone) and not all(alone)


def test_the_share_that_a_plan_shows_and_what_it_leaves_unseen_add_up():
    ruleset = building(1)
    told = told_by(commissioning_plan(ruleset), ruleset)
    assert told.of == len(wrong_panels(ruleset)) == told.told + len(told.unseen)
    assert 0 < told.told < told.of
    assert all(one.endswith(".") for one in told.unseen)


def test_steps_that_were_not_done_show_nothing():
    ruleset = building(1)
    assert told_by((), ruleset).told == 0


def test_a_report_that_is_missing_is_seen_by_the_whole_plan():
    ruleset = building(1)
    watched = independent.PlanWatched(ruleset, commissioning_plan(ruleset))
    missing = [one for one in independent.wrong_panels(ruleset) if one.mistake == "report missing"]
    assert missing and all(watched.tells(one) for one in missing)
