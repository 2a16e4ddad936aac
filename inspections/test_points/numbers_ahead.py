"""Numbers of test points that are not made yet: a phone that starts a visit without a network answers by them.

They say which check is asked where, and are below 0, so that none is ever the key of a test point.
"""

CHECKS = 1_000_000  # more than a register has; what is made of it and of a position is exact in a browser


def number_ahead(position_pk, check_pk):
    return -(position_pk * CHECKS + check_pk)


def made_of(visit, numbers):
    """{number: key of the test point that was made of it} of those that this visit asks by now; one query."""
    asked = {divmod(-number, CHECKS) for number in numbers if number < 0}
    if not asked:
        return {}
    points = visit.test_points.filter(position__in={place for place, _ in asked}, check_of__isnull=False)
    found = points.values_list("pk", "position", "check_of")
    return {number_ahead(place, check): pk for pk, place, check in found if (place, check) in asked}
