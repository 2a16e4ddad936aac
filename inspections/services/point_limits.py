"""Limits of a visit's test points: from the design check where it computes them, else those of the protocol.

A limit that is a share of the first value is reckoned from the first reading of the unit that is fitted now.
"""

from decimal import Decimal
from functools import cached_property

from django.utils import timezone

from inspections.models import ProtocolCheck, Result
from inspections.models.protocols import LINE_RESISTANCE_UNIT
from inspections.models.test_points import PASSING
from inspections.services.statements import number_text
from zones.design_check import checked_building
from zones.line_meters import meter_readings
from zones.models import Fitting

# The resistance range of an end-of-line check is written for this resistor and scaled to the line's own.
STANDARD_RESISTOR_OHM = Decimal(10_000)
LONGEST_SOURCE = 200


class LimitsHere:
    """The limits of one visit's test points; reads the design and the first readings only where a check asks."""

    def __init__(self, visit):
        self.visit = visit

    def put_into(self, point):
        """Set limits and their source of a test point that is not saved yet."""
        if point.within_percent_of_first:
            self._from_first_value(point)
        elif point.code == "opening-time" and point.unit == "s":
            self._from_design_basis(point)
        elif point.code == "voltage-at-last-actuator" and point.unit == "V":
            self._from_data_sheet(point)
        elif point.check_of.asked_of == ProtocolCheck.AskedOf.LAST_ON_LINE and point.unit == LINE_RESISTANCE_UNIT:
            self._from_line(point)

    def _from_line(self, point):
        line = point.position.detection_line
        if line is None:
            return
        if limits := self._lines.get(line.pk):
            point.lower_limit, point.upper_limit = limits
            point.limit_source = "design check: resistor, cable and devices of the line, all tolerances at worst"
        elif line.end_of_line_ohm:
            _scale(point, line)

    def _from_design_basis(self, point):
        basis = getattr(self.visit.building, "design_basis", None)
        if basis and basis.opening_limit_s:
            point.upper_limit, point.limit_source = Decimal(basis.opening_limit_s), "design basis of the building"

    def _from_data_sheet(self, point):
        least_v = self._least_volts.get(point.position.tag)
        if least_v:
            point.lower_limit = Decimal(f"{least_v:.3f}")
            point.limit_source = "least voltage of the actuator's data sheet, as in the design check"

    def _from_first_value(self, point):
        first = self._first_values.get((point.position_id, point.code))
        if first is None:
            return  # this reading will be the first value
        share = Decimal(point.within_percent_of_first) / 100
        ends = sorted(round(first.reading * factor, 3) for factor in (1 - share, 1 + share))
        point.lower_limit, point.upper_limit = ends
        point.first_reading, point.first_read_on = first.reading, timezone.localdate(first.seen_at)
        first_value = f"{number_text(first.reading)} {point.unit}".strip()
        source = (
            f"within {point.within_percent_of_first} % of the first value, {first_value} on "
            f"{point.first_read_on:%-d %b %Y}; {point.limit_source}"
        )
        point.limit_source = source[:LONGEST_SOURCE]

    @cached_property
    def _design(self):
        return checked_building(self.visit.building).panels

    @cached_property
    def _lines(self):
        """Limits in kΩ by line."""
        return {one.line_pk: one.limits_kohm for checked in self._design for one in meter_readings(checked)}

    @cached_property
    def _least_volts(self):
        """The least voltage at which the actuator at a tag runs."""
        circuits = [circuit for checked in self._design for circuit in checked.design.circuits]
        return {each.name: each.minimum_voltage_v for circuit in circuits for each in circuit.actuators}

    @cached_property
    def _first_values(self):
        """The first reading that passed, by position and check, since the unit that is there now was fitted.

        What a faulty drive read is no measure of a sound one.
        """
        building = self.visit.building_id
        fitted_on = dict(
            Fitting.objects.open().filter(position__building=building).values_list("position", "fitted_on")
        )
        readings = Result.objects.filter(
            test_point__visit__building=building, reading__isnull=False, latest_of__isnull=False, outcome__in=PASSING,
            test_point__code__in=self._relative_codes, seen_at__lt=self.visit.started_at,
        ).exclude(test_point__visit=self.visit).select_related("test_point").order_by("seen_at")  # fmt: skip
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


def _scale(point, line):
    factor = line.end_of_line_ohm / STANDARD_RESISTOR_OHM
    if factor == 1:
        return
    for name in ("lower_limit", "upper_limit"):
        limit = getattr(point, name)
        if limit is not None:
            setattr(point, name, round(limit * factor, 3))
    resistor = f"{line.end_of_line_ohm / 1000:.3f}".rstrip("0").rstrip(".")
    point.limit_source = f"{point.limit_source}; scaled to {resistor} kΩ of {line}"[:LONGEST_SOURCE]


def forget_first_value(point):
    """A swapped unit has its own first value: what its predecessor read limits nothing. Saves nothing."""
    if point.within_percent_of_first and point.first_reading is not None:
        point.lower_limit = point.upper_limit = point.first_reading = point.first_read_on = None
        point.limit_source = "first value of the unit that was fitted on this visit"
