"""Numbers of test points that are not made yet: a phone that starts a visit without a network answers by them.

They say which check is asked where, or what a step of a plan says, and are below 0, so that none is ever the key of a
test point. All are exact in a browser.
"""

import json
from hashlib import sha256

CHECKS = 1_000_000  # more than a register has
STEPS = 2**52  # beyond it are steps; below, a position and a check
STEP_BITS = 51


def number_ahead(position_pk, check_pk):
    return -(position_pk * CHECKS + check_pk)


def step_number_ahead(point, step):
    """Of a test point with a step of a plan: of all that it says, so that an answer never stands at another step."""
    said = [point.position_id, point.code, point.title, point.instruction, point.expected, point.quantity, point.unit]
    text = json.dumps([*said, step.must, step.must_not, step.moves], sort_keys=True)
    digest = int.from_bytes(sha256(text.encode()).digest()[:8])
    return -(STEPS + (digest >> (64 - STEP_BITS)))


def made_of(visit, numbers):
    """{number: key of the test point that was made of it} of those that this visit asks by now; at most two queries."""
    return _made_of_checks(visit, numbers) | _made_of_steps(visit, numbers)


def _made_of_checks(visit, numbers):
    asked = {divmod(-number, CHECKS) for number in numbers if -STEPS < number < 0}
    if not asked:
        return {}
    points = visit.test_points.filter(position__in={place for place, _ in asked}, check_of__isnull=False)
    points = points.filter(planned_step=None)
    found = points.values_list("pk", "position", "check_of")
    return {number_ahead(place, check): pk for pk, place, check in found if (place, check) in asked}


def _made_of_steps(visit, numbers):
    asked = {number for number in numbers if number <= -STEPS}
    if not asked:
        return {}
    points = visit.test_points.filter(planned_step__isnull=False).select_related("planned_step")
    found = {step_number_ahead(point, point.planned_step): point.pk for point in points}
    return {number: pk for number, pk in found.items() if number in asked}
