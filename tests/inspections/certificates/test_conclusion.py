"""The conclusion of a certificate: no good sentence over anything that is not known to work.

The three states and what weighs are the register's own (common practice in what they ask of a system; no standard).
"""

import itertools

import pytest

from inspections.certificates.conclusion import NO_MEASURE, conclusion_of

TESTED = {"kind": "actuator", "points": 3, "untested": 0}


def defect(severity, meanwhile="Fire watch."):
    return {"severity_key": severity, "meanwhile": meanwhile}


def out(kind, meanwhile="Fire watch."):
    return {"kind": kind, "meanwhile": meanwhile}


def plan(open_steps=0, not_covered=()):
    return {
        "panel": "P1",
        "open_steps": open_steps,
        "open_words": f"{open_steps} steps not passed",
        "not_covered": not_covered,
    }


def instrument(state):
    return {"name": "multimeter MM-1", "state": state, "words": "its calibration"}


SOUND = {
    "not_reached": [],
    "defects": [],
    "out_of_service": [],
    "unsettled": [],
    "readings": [{"verdict": "meets"}, {"verdict": "no limit"}],
    "tested": [TESTED],
    "not_tested_for_12_months": [],
    "plans": [],
    "accepted": [],
    "instruments": [],
    "instruments_lacking": [],
}
IMPAIRING = {
    "an impaired defect": {"defects": [defect("impaired")]},
    "a disablement": {"out_of_service": [out("disablement")]},
}
LIMITING = {
    "a degraded defect": {"defects": [defect("degraded")]},
    "a fault in the log book": {"out_of_service": [out("fault")]},
    "a failed check without a defect": {"unsettled": [{"tag": "V1", "check": "Opens"}]},
    "a position not reached": {"not_reached": ["1 position not accessible"]},
    "a check without an answer": {"tested": [{**TESTED, "untested": 1}]},
    "nothing tested": {"tested": []},
    "a position not tested for 12 months": {"not_tested_for_12_months": ["V1"]},
    "a reading that could not be judged": {"readings": [{"verdict": "not judged"}]},
    "an open step of the plan": {"plans": [plan(open_steps=1)]},
    "a plan that is not whole": {"plans": [plan(not_covered=("Rule 4.",))]},
    "an accepted wiring finding": {"accepted": [{"kind": "wiring"}]},
    "an accepted design finding": {"accepted": [{"kind": "design check"}]},
    "an expired instrument": {"instruments": [instrument("overdue")]},
    "an instrument without calibration": {"instruments": [instrument("not_known")]},
    "readings without an instrument": {"instruments_lacking": ["Readings in V: no instrument chosen takes them"]},
}
HARMLESS = {
    "a minor defect": {"defects": [defect("minor")]},
    "advice": {"defects": [defect("advice")]},
    "settings not compared": {"accepted": [{"kind": "settings not compared"}]},
    "documents missing": {"accepted": [{"kind": "documents missing"}]},
    "a calibrated instrument": {"instruments": [instrument("next_ahead")]},
    "a whole plan": {"plans": [plan()]},
}
WEIGHS = IMPAIRING | LIMITING | HARMLESS


def with_all(*names):
    """A sound statement to which each of the named things was added."""
    statement = dict(SOUND)
    for name in names:
        for key, rows in WEIGHS[name].items():
            statement[key] = rows if not rows or key in ("tested", "readings") else [*statement[key], *rows]
    return statement


def test_a_sound_system_may_be_relied_on():
    conclusion = conclusion_of(SOUND)
    assert conclusion["state"] == "reliable"
    assert conclusion["sentence"] == "The system may be relied on, as tested on the date of the visit."


@pytest.mark.parametrize("name", LIMITING)
def test_whatever_is_not_known_to_work_limits(name):
    conclusion = conclusion_of(with_all(name))
    assert (conclusion["state"], len(conclusion["limits"])) == ("limited", 1)
    assert conclusion["limits"][0] in conclusion["sentence"]


@pytest.mark.parametrize("name", IMPAIRING)
def test_what_impairs_is_said_with_its_measure(name):
    conclusion = conclusion_of(with_all(name))
    assert (conclusion["state"], conclusion["measures"]) == ("impaired", ["Fire watch."])
    assert conclusion["sentence"].startswith("The system is impaired: 1 ")


@pytest.mark.parametrize("rows", [{"defects": [defect("impaired", "")]}, {"out_of_service": [out("disablement", "")]}])
def test_an_impairment_without_a_measure_says_so(rows):
    assert conclusion_of(SOUND | rows)["measures"] == [NO_MEASURE]


@pytest.mark.parametrize("name", HARMLESS)
def test_what_is_said_beside_it_takes_nothing_away(name):
    assert conclusion_of(with_all(name))["state"] == "reliable"


def test_no_two_or_three_things_together_read_better_than_the_worst_of_them():
    """Every combination of up to three: 2,047 of them for 23 things."""
    for number in (1, 2, 3):
        for names in itertools.combinations(WEIGHS, number):
            conclusion = conclusion_of(with_all(*names))
            expected = "impaired" if IMPAIRING.keys() & set(names) else "limited"
            if not (IMPAIRING | LIMITING).keys() & set(names):
                expected = "reliable"
            assert conclusion["state"] == expected, names
            assert ("may be relied on" in conclusion["sentence"]) == (expected != "impaired"), names


def test_an_impaired_system_says_what_limits_it_besides():
    sentence = conclusion_of(with_all("a disablement", "a position not reached"))["sentence"]
    assert sentence == "The system is impaired: 1 part out of service. Besides: 1 position not accessible."
