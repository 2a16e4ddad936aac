"""What the fire strategy asks, held against the rules: times worked by hand from delay and stroke."""

import pytest

from tests.zones.engineering.cause_and_effect.logics import change_rules, make_ruleset, with_rules
from zones.engineering.cause_and_effect import (
    Asked,
    Cause,
    Effect,
    ProofVerdict,
    Property,
    Rule,
    Target,
    encode_events,
    prove,
)

OWN = Target.whole_zone("z1")


def result(ruleset, wanted=Property.OPENS_IN_TIME, **asked):
    return prove(ruleset, asked=Asked(**asked)).zones[0].result(wanted)


def timed(ruleset, within_s=60, stroke_s=40):
    return result(ruleset, open_within_s={"z1": within_s}, stroke_s={one.key: stroke_s for one in ruleset.groups})


def delayed(delay_s, *keys):
    """One zone in which these devices, or all that raise an alarm, open after a delay."""
    opens = {f"{key}-on-open-zone-z1" for key in keys or ("sd11", "cp11")}
    return change_rules(make_ruleset(1), lambda one: one.key in opens, delay_s=delay_s)


def test_all_smoke_openings_an_hour_late_are_found_where_a_time_is_asked():
    found = timed(delayed(3600))
    assert found.verdict is ProofVerdict.FAILS
    assert encode_events(found.sequence) == "sd11.on"


@pytest.mark.parametrize(
    ("delay_s", "verdict"), [(0, ProofVerdict.PROVEN), (20, ProofVerdict.PROVEN), (21, ProofVerdict.FAILS)]
)
def test_delay_and_stroke_together_must_keep_the_time(delay_s, verdict):
    assert timed(delayed(delay_s, "sd11")).verdict is verdict


def test_a_stroke_that_takes_longer_than_all_is_told_as_such():
    found = timed(make_ruleset(1), within_s=30)
    assert found.verdict is ProofVerdict.FAILS
    assert found.sentence == "The stroke of Group 1.1 alone takes 40 s; Zone 1 must stand open within 30 s."
    slow = Asked({"z1": 30}, {"g11": 40})
    failures = prove(make_ruleset(1), asked=slow).failures
    assert [one.property for _, one in failures] == [Property.OPENS_IN_TIME]


def test_what_holds_a_vent_while_another_delay_runs_does_not_gain_time():
    """Smoke opens after 20 s, but a fault holds the vent shut, and an hour's delay of something else runs meanwhile."""
    held = with_rules(
        delayed(20),
        Rule("h", Cause.of("battery"), OWN, Effect.HOLD, priority=2),
        Rule("c", Cause.of("battery"), OWN, Effect.CLOSE, delay_s=3600, priority=1),
        Rule("w", Cause.of("battery"), OWN, Effect.HOLD, priority=1),
    )
    assert timed(held).verdict is ProofVerdict.FAILS


@pytest.mark.parametrize("given", [{}, {"open_within_s": {"z1": 60}}], ids=["no time", "no stroke"])
def test_without_a_fact_a_time_is_not_asked_and_not_called_proven(given):
    found = result(delayed(3600), **given)
    assert found.verdict is ProofVerdict.NOT_ASKED
    assert ("No time is given" in found.sentence) == (not given)


def test_what_a_person_does_not_ask_or_accepts_is_told_with_the_reason():
    key = "z1", Property.CALL_POINT_AT_ONCE
    late = delayed(600, "cp11")
    accepted = result(late, key[1], accepted={key: "Agreed with the fire brigade."})
    assert accepted.verdict is ProofVerdict.ACCEPTED
    assert accepted.sentence.endswith("Accepted: Agreed with the fire brigade.")
    assert accepted.sequence
    assert result(make_ruleset(1), key[1], accepted={key: "Agreed."}).verdict is ProofVerdict.PROVEN
    assert result(late, key[1], not_asked={key: "No manual release."}).verdict is ProofVerdict.NOT_ASKED
