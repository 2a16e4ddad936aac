"""Test points: what a protocol asks of positions, frozen for one visit with the limits as they stand."""

from collections import defaultdict

from inspections.models import ProtocolCheck, TestPoint
from inspections.models.protocols import DoneBy
from inspections.test_points.due_points import due_pairs
from inspections.test_points.limits import LimitsHere
from zones.models.kinds import Drive, EndPlace
from zones.panels.line_places import has_element

FROZEN_FIELDS = (
    "code",
    "order",
    "title",
    "instruction",
    "expected",
    "caution",
    "hazards",
    "quantity",
    "unit",
    "lower_limit",
    "upper_limit",
    "within_percent_of_first",
    "limit_source",
    "is_reading_required",
)

# The fault of a circuit that its drive has; the check names both.
CIRCUIT_FAULTS = {
    Drive.ADDRESSED: ("Unplug the actuator.", "Fault shown; the panel finds one actuator less than it expects"),
    Drive.POLARITY: ("Open the end-of-line module.", "Fault shown"),
}


def ask_of_positions(visit, positions, *, only_due=False):
    """Make the test points of these positions on a visit; those that are there already stay. Returns the new ones.

    Call it in the transaction of the service that changes the visit. `only_due`: only what `visit.due_before` asks.
    """
    limits, points = LimitsHere(visit), points_of(visit, positions, only_due=only_due)
    for point in points:
        limits.put_into(point)
    return TestPoint.objects.bulk_create(points, batch_size=500)


def points_of(visit, positions, *, only_due=False):
    """The test points that a visit still has to ask of these positions, with the limits of its protocol; unsaved."""
    present = set(visit.test_points.values_list("position", "code"))
    pairs = pairs_asked(visit.building, visit.protocol, positions, present)
    if only_due:
        pairs = due_pairs(visit.building, pairs, visit.due_before)
    return [_frozen(visit, position, check) for position, check in pairs]


def pairs_asked(building, protocol, positions, present=frozenset()):
    """[(position, check), …] that a protocol asks of these positions of a building, in the order of the walk.

    Args:     present: {(position, code), …} that the visit has already.
    """
    checks = defaultdict(list)
    for check in protocol.checks.filter(done_by=DoneBy.ENGINEER):
        checks[check.device_kind].append(check)
    first, last = _first_of_kind(building), _last_on_line(building)
    asked_once = {code for _, code in present}
    positions = positions.select_related(
        "detection_line__panel__position", "detection_line__starts_at", "actuator_circuit__panel__position"
    )
    return [
        (position, check)
        for position in positions.in_walking_order()
        for check in checks[position.kind]
        if (position.pk, check.code) not in present
        and _is_asked(check, position, first, last, asked_once)
        and _is_there(check, position)
    ]


def _is_asked(check, position, first, last, asked_once):
    match check.asked_of:
        case ProtocolCheck.AskedOf.FIRST:
            return first.get(position.kind) == position.pk and check.code not in asked_once
        case ProtocolCheck.AskedOf.LAST_ON_LINE:
            return position.pk in last
        case ProtocolCheck.AskedOf.LAST_ADDRESSED:
            circuit = position.actuator_circuit
            return position.pk in last and circuit is not None and circuit.drive == Drive.ADDRESSED
    return True


def _is_there(check, position):
    """Whether what the check asks about is there: an end-of-line resistor or module, where it names one."""
    line, circuit = position.detection_line, position.actuator_circuit
    if check.code == "end-of-line-resistance" and line:
        return has_element(line)
    if check.code == "circuit-fault" and circuit:
        return circuit.drive == Drive.ADDRESSED or circuit.end_place != EndPlace.NONE_NEEDED
    return True


def _first_of_kind(building):
    first = {}
    for pk, kind in building.positions.in_use().in_walking_order().values_list("pk", "kind"):
        first.setdefault(kind, pk)
    return first


def _last_on_line(building):
    """Primary keys of the positions that are last on their detection line or actuator circuit."""
    last = {}
    positions = building.positions.in_use().order_by("order_on_line", "walking_order", "tag_key")
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
    drive = position.actuator_circuit.drive if position.actuator_circuit else ""
    if check.code == "circuit-fault" and drive in CIRCUIT_FAULTS:
        point.instruction, point.expected = CIRCUIT_FAULTS[drive]
    return point
