"""What the search for a fault says after each reading, whole: causes with their shares, what confirms them, what next.

The faults are planted and read by a solver of its own; that they are found is for `test_fault_location.py`. After a
change on purpose: read what is new in `approved/`, then have it written (`APPROVE=1 pytest` with this file).
"""

import random

from tests.zones.engineering.approval import compare
from tests.zones.engineering.planted_line_faults import KINDS, measured, plant, still_reporting
from zones.engineering import locate_fault
from zones.engineering.fault_location.measurements import TERMINALS, Reading, how, title

STEPS, NAMED = 2, 4


def search_lines():
    for kind in KINDS:
        draw = random.Random(f"told {kind}")
        fault = plant(draw, kind, most=4)
        readings, probe = [], TERMINALS
        yield f"{kind} at {fault.at} of {[device.name for device in fault.line.devices]}"
        for number in range(STEPS):
            readings.append(Reading(probe, measured(fault, probe, draw)))
            reporting = still_reporting(fault) if number else None
            found = locate_fault(fault.line, readings, reporting=reporting)
            yield f"  {title(fault.line, probe)}: {readings[-1].value:g} {probe.unit}"
            for one in found.explanations[:NAMED]:
                low, _, high = one.predicted
                yield f"    {100 * one.share:.0f} % {one.sentence} [{low:.4g} to {high:.4g}] {one.confirm}"
                yield f"        against {[each.probe.code for each in one.against]} {list(one.contradicting)}"
            if found.proposal is None:
                break
            probe = found.proposal.probe
            yield f"    next {how(fault.line, probe)}"
            for one in found.proposal.outcomes:
                yield f"        {one.sentence} {one.span.low_ohm:.4g} to {one.span.high_ohm:.4g}"


def test_what_the_search_says_is_told_as_approved():
    compare("fault_search", search_lines())
