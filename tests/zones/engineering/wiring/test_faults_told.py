"""What the check of a wiring says of each fault, whole; what a fault is and that it is found is for the other tests.

After a change on purpose: read what is new, then have it written (`APPROVE=1 pytest` with this file).
"""

from tests.zones.engineering.approval import compare, told
from tests.zones.engineering.wiring.planted_faults import PLANTED, UNSETTLED
from tests.zones.engineering.wiring.test_checks import RIGHT, WRONG
from zones.engineering.wiring.checks import check_wiring
from zones.engineering.wiring.progress import progress_of


def lines_of(named):
    for name, wired in named:
        progress = progress_of(wired)
        yield f"{name} ({progress.wired_count} of {progress.needed_count} wired)"
        for finding in check_wiring(wired):
            yield from (f"    {line}" for line in told(finding))


def test_the_faults_of_the_small_job_are_told_as_approved():
    cases = {**{name: case[0] for name, case in PLANTED.items()}, **{name: case[0] for name, case in UNSETTLED.items()}}
    compare("wiring_small_job", lines_of(cases.items()))


def test_the_faults_of_a_panel_of_lines_and_outputs_are_told_as_approved():
    compare("wiring_faults", lines_of([("right", RIGHT), *((code, case[0]) for code, case in WRONG.items())]))
