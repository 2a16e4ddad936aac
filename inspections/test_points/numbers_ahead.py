"""Numbers of test points that are not made yet: a phone that starts a visit without a network answers by them.

They say which check is asked where, or what a step of a plan says, and are below 0, so that none is ever the key of a
test point. All are exact in a browser.
"""

import json
from collections import Counter
from hashlib import sha256

CHECKS = 1_000_000  # more than a register has
STEPS = 2**52  # beyond it are steps; below, a position and a check
STEP_BITS = 51
NUMBERED = "step-"  # begin of codes that a plan makes of the place of a step in it


def number_ahead(position_pk, check_pk):
    return -(position_pk * CHECKS + check_pk)


def step_numbers_ahead(points, steps):
    """Of test points with a step of a plan, in the order of the plan: each of all that it says, wherever it stands.

    A step that was put in before it changes nothing of it. Steps that say the same at one place are told apart by which
    of how many they are: if one more came, or one fell away, an answer could be of either, and is of none.
    """
    said = [_said(point, step) for point, step in zip(points, steps, strict=True)]
    alike, before, numbers = Counter(said), Counter(), []
    for text in said:
        before[text] += 1
        digest = int.from_bytes(sha256(f"{text} {before[text]} of {alike[text]}".encode()).digest()[:8])
        numbers.append(-(STEPS + (digest >> (64 - STEP_BITS))))
    return numbers


def _said(point, step):
    code = "" if point.code.startswith(NUMBERED) else point.code
    said = [step.plan.panel_id, point.position_id, code, point.title, point.instruction, point.expected]
    said += [point.quantity, point.unit, step.must, step.must_not, step.moves]
    return json.dumps(said, sort_keys=True)


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
    points = visit.test_points.filter(planned_step__isnull=False).select_related("planned_step__plan")
    points = list(points.order_by("planned_step__plan__panel", "planned_step__number"))
    found = step_numbers_ahead(points, [point.planned_step for point in points])
    return {number: point.pk for number, point in zip(found, points, strict=True) if number in asked}
