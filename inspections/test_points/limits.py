"""Rules and limits of a visit's test points: from the record of this very thing where it says them, else the protocol.

A limit that is a share of the first value is reckoned from the first reading of the unit that is fitted now.
"""

from dataclasses import replace
from decimal import Decimal
from functools import cached_property

from django.utils import timezone

from inspections.models import ProtocolCheck, Result
from inspections.models.protocols import number_text
from inspections.models.test_points import PASSING
from inspections.protocols.standards import citations_in
from zones.design_check.reading_rules import RulesOfBuilding, kind_of_reading
from zones.engineering.readings.rule import ReadingRule, Term, rule_of
from zones.models import Fitting

LONGEST_SOURCE = 600


class LimitsHere:
    """The rules of one visit's test points; reads the design and the first readings only where a check asks."""

    def __init__(self, visit):
        self.visit = visit

    def put_into(self, point, *, is_new_unit=False):
        """Set rule, limits and their source of a test point; a unit new here has no first value. Saves nothing."""
        if not point.quantity:
            return
        has_first = point.within_percent_of_first and not is_new_unit
        first = self._first_value_terms(point) if has_first else ((), ())
        asked_of = point.check_of.asked_of if point.check_of_id else None
        kind = kind_of_reading(
            point.code, point.quantity, point.unit, is_line=asked_of == ProtocolCheck.AskedOf.LAST_ON_LINE
        )
        of_protocol = _terms_of_protocol(point)
        made = kind and self._rules.rule(kind, point.position_id, unit=point.unit, protocol=of_protocol, first=first)
        rule, model_pk = made or (_joined(ReadingRule(), of_protocol, first), None)
        store_rule(point, rule, model_pk)

    def renew(self, point):
        """Set them anew for a unit that was fitted on this visit; saves nothing."""
        check = point.check_of
        point.lower_limit, point.upper_limit = (check.lower_limit, check.upper_limit) if check else (None, None)
        point.limit_source = check.limit_source if check else ""
        point.first_reading = point.first_read_on = None
        self.put_into(point, is_new_unit=True)

    @cached_property
    def _rules(self):
        started_at = self.visit.started_at
        return RulesOfBuilding(self.visit.building, started_at and timezone.localdate(started_at))

    def _first_value_terms(self, point):
        first = self._first_values.get((point.position_id, point.code))
        if first is None:
            return (), ()  # this reading will be the first value
        share = Decimal(point.within_percent_of_first) / 100
        low, high = sorted(round(first.reading * factor, 3) for factor in (1 - share, 1 + share))
        point.first_reading, point.first_read_on = first.reading, timezone.localdate(first.seen_at)
        first_value = f"{number_text(first.reading)} {point.unit}".strip()
        source = (
            f"within {point.within_percent_of_first} % of the first value, {first_value} on "
            f"{point.first_read_on:%-d %b %Y}; {point.limit_source}"
        )
        return (Term(source, float(low)),), (Term(source, float(high)),)

    @cached_property
    def _first_values(self):
        """The first reading that passed, by position and check, since the unit that is there now was fitted.

        What a faulty drive read is no measure of a sound one.
        """
        building = self.visit.building_id
        fitted_on = dict(
            Fitting.objects.open().filter(position__building=building).values_list("position", "fitted_on")
        )
        readings = (
            Result.objects.filter(
                test_point__visit__building=building,
                reading__isnull=False,
                latest_of__isnull=False,
                outcome__in=PASSING,
                test_point__code__in=self._relative_codes,
                seen_at__lt=self.visit.started_at,
            )
            .exclude(test_point__visit=self.visit)
            .select_related("test_point")
            .order_by("seen_at")
        )
        found = {}
        for result in readings:
            point, since = result.test_point, fitted_on.get(result.test_point.position_id)
            if since is None or timezone.localdate(result.seen_at) >= since:
                found.setdefault((point.position_id, point.code), result)
        return found

    @cached_property
    def _relative_codes(self):
        checks = self.visit.protocol.checks.exclude(within_percent_of_first=None)
        return list(checks.values_list("code", flat=True))


def _terms_of_protocol(point):
    """Limits of the protocol's check as they stand at the point."""
    ends = (point.lower_limit, point.upper_limit)
    return tuple(() if end is None else (Term(point.limit_source, float(end)),) for end in ends)


def _joined(rule, *more):
    """A rule with further lower and upper terms."""
    for lower, upper in more:
        rule = replace(rule, lower=(*rule.lower, *lower), upper=(*rule.upper, *upper))
    return rule


def store_rule(point, rule, model_pk):
    """Put a rule and what follows from it into a test point; saves nothing.

    A standard that the check cites stays named beside the source of the limits: the certificate lists what checks cite.
    """
    limits = rule.limits()
    point.reading_rule = rule.as_data() | {"model": model_pk}
    point.lower_limit, point.upper_limit = (
        None if end is None else Decimal(str(end)) for end in (limits.lower, limits.upper)
    )
    own, source = point.check_of.limit_source if point.check_of_id else point.limit_source, limits.source
    if not source:
        source = own
    elif {one.designation for one in citations_in(own)} - {one.designation for one in citations_in(source)}:
        source = f"{source}; the check: {own}"
    point.limit_source = source[:LONGEST_SOURCE]


def with_figures(point, figures):
    """Judge a point with figures that its record lacked; saves nothing."""
    store_rule(point, rule_of(point.reading_rule).with_figures(figures), point.reading_rule.get("model"))
