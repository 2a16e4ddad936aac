"""Test points: what a protocol asks of positions, frozen for one visit with the limits as they stand."""

from collections import defaultdict
from decimal import Decimal

from inspections.models import ProtocolCheck, TestPoint

# The window of an end-of-line check is written for this resistor and scaled to the line's own.
WINDOW_ELEMENT_OHM = Decimal(10_000)

FROZEN_FIELDS = (
    "code", "order", "title", "instruction", "expected", "caution", "hazards", "quantity", "unit",
    "lower_limit", "upper_limit", "limit_source", "is_reading_required",
)  # fmt: skip


def ask_of_positions(visit, positions):
    """Make the test points of these positions on a visit; those that are there already stay. Returns the new ones.

    Call it in the transaction of the service that changes the visit.
    """
    checks = defaultdict(list)
    for check in visit.protocol.checks.all():
        checks[check.device_kind].append(check)
    present = set(visit.test_points.values_list("position", "code"))
    first, last = _first_of_kind(visit), _last_on_line(visit)
    asked_once = {code for _, code in present}
    points = []
    for position in positions.select_related("detection_line__panel__position").in_walking_order():
        for check in checks[position.kind]:
            if (position.pk, check.code) in present or not _is_asked(check, position, first, last, asked_once):
                continue
            points.append(_frozen(visit, position, check))
    return TestPoint.objects.bulk_create(points, batch_size=500)


def _is_asked(check, position, first, last, asked_once):
    match check.asked_of:
        case ProtocolCheck.AskedOf.FIRST:
            return first.get(position.kind) == position.pk and check.code not in asked_once
        case ProtocolCheck.AskedOf.LAST_ON_LINE:
            return position.pk in last
    return True


def _first_of_kind(visit):
    first = {}
    for pk, kind in visit.building.positions.in_use().in_walking_order().values_list("pk", "kind"):
        first.setdefault(kind, pk)
    return first


def _last_on_line(visit):
    """Primary keys of the positions that are last on their detection line or actuator circuit."""
    last = {}
    positions = visit.building.positions.in_use().order_by("order_on_line", "walking_order", "tag_key")
    for pk, line, circuit, order in positions.values_list("pk", "detection_line", "actuator_circuit", "order_on_line"):
        if line or circuit:
            # Databases differ on where an unknown order sorts; a known order always beats it.
            key = ("line", line) if line else ("circuit", circuit)
            if order is not None or key not in last or last[key][1] is None:
                last[key] = (pk, order)
    return {pk for pk, _ in last.values()}


def _frozen(visit, position, check):
    point = TestPoint(
        visit=visit, position=position, check_of=check, **{name: getattr(check, name) for name in FROZEN_FIELDS}
    )
    line = position.detection_line
    if check.asked_of == ProtocolCheck.AskedOf.LAST_ON_LINE and check.unit == "kΩ" and line and line.end_of_line_ohm:
        _scale_window(point, line)
    return point


def _scale_window(point, line):
    factor = line.end_of_line_ohm / WINDOW_ELEMENT_OHM
    if factor == 1:
        return
    for name in ("lower_limit", "upper_limit"):
        limit = getattr(point, name)
        if limit is not None:
            setattr(point, name, round(limit * factor, 3))
    element = f"{line.end_of_line_ohm / 1000:.3f}".rstrip("0").rstrip(".")
    point.limit_source = f"{point.limit_source}; scaled to {element} kΩ of {line}"[:200]
