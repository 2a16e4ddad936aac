"""One cause, one finding: what follows from a fault is folded under it, and two faults stay two.

Faults are planted at random into the small job; all of them are counted by `make bench`.
"""

from random import Random

from tests.zones.engineering.wiring.examples import swapped, with_core
from tests.zones.engineering.wiring.planted_faults import RIGHT
from tests.zones.engineering.wiring.single_faults import single_faults
from zones.engineering.wiring.checks import check_wiring

OF_EACH_CLASS = 8


def test_a_single_fault_planted_at_random_is_one_finding_at_most():
    """Some are no fault: cores exchanged at a contact without poles, a second joint of what is joined already."""
    chance = Random(15)
    told = {
        f"{of}: {what}": len(check_wiring(wired))
        for of, faults in single_faults(RIGHT).items()
        for what, wired in chance.sample(faults, min(OF_EACH_CLASS, len(faults)))
    }
    assert {what: number for what, number in told.items() if number > 1} == {}
    assert sum(told.values()) > 0.9 * len(told)


def test_two_cores_off_on_two_runs_are_two_findings():
    both = with_core(with_core(RIGHT, "W9.2", far=None), "W1.1", far=None)
    assert [one.code for one in check_wiring(both)] == ["wiring.core_open"] * 2


def test_poles_crossed_on_two_runs_are_two_findings():
    both = swapped(swapped(RIGHT, "W9.1", "W9.2"), "W3.1", "W3.2")
    assert [one.code for one in check_wiring(both)] == ["wiring.polarity"] * 2


def test_what_follows_is_under_its_cause_with_its_own_sentence():
    (cause,) = check_wiring(with_core(RIGHT, "W1.1", near="P1 -XS1:3"))
    assert cause.code == "wiring.kind"
    (follow_on,) = cause.follow_ons
    assert "M1 not joined to P1 -XA1:1" in follow_on.sentence


def test_a_cause_is_shown_beside_what_follows_from_it():
    (cause,) = check_wiring(with_core(RIGHT, "W1.1", near="P1 -XS1:3"))
    assert "P1 -XA1:1" in {figure.value for figure in cause.inputs}
