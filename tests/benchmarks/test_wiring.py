"""Of all single faults of the small job: how many are one finding, how many several, how many none.

Run with ``make bench``. None is right where nothing is wrong: cores exchanged at a contact without poles, a second
joint of what is joined already, a core on the other terminal of one conductor.
"""

from collections import Counter

from tests.zones.engineering.wiring.planted_faults import RIGHT
from tests.zones.engineering.wiring.single_faults import single_faults
from zones.engineering.wiring.checks import check_wiring

ONE_OF_THOSE_TOLD = 0.99


def test_a_single_fault_is_one_finding():
    every = Counter()
    for of, faults in single_faults(RIGHT).items():
        told = Counter(len(check_wiring(wired)) for _, wired in faults)
        every += told
        print(f"\n{of}: {_words(told)}", end="")
    told = every.total() - every[0]
    print(f"\nall {every.total()} single faults: {_words(every)} (goal: {ONE_OF_THOSE_TOLD:.0%} of those told are one)")
    assert every[1] > ONE_OF_THOSE_TOLD * told


def _words(told):
    return ", ".join(f"{number} with {findings} finding(s)" for findings, number in sorted(told.items()))
