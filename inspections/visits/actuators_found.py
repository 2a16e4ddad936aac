"""The number of actuators that a panel has found on a circuit, as read on site, goes to the record of the circuit."""

from inspections.models import Result
from inspections.models.test_points import TESTED
from zones.models import ActuatorCircuit

ACTUATORS_FOUND = "actuators-found"
MOST_ACTUATORS = 999


def record_actuators_found(point):
    """Put what counts at a test point into its circuit, with who read it; returns the circuit if it changed.

    A reading that was seen before a later one of the same circuit changes nothing. Call it in the transaction of the
    answer, after it is known which result counts.
    """
    result = point.latest_result
    if point.code != ACTUATORS_FOUND or result is None or result.outcome not in TESTED:
        return None
    circuit_pk = point.position.actuator_circuit_id
    if circuit_pk is None or not _is_a_number_of_things(result.reading) or _is_older(result, point):
        return None
    circuit = ActuatorCircuit.objects.select_for_update(of=("self",)).get(pk=circuit_pk)
    if circuit.found_actuators == result.reading:
        return None
    circuit.found_actuators = int(result.reading)
    circuit._history_user = result.recorded_by
    circuit._change_reason = f"Found by the panel, {point.visit}"
    circuit.save()
    return circuit


def _is_a_number_of_things(reading):
    return reading is not None and reading == int(reading) and 0 <= reading <= MOST_ACTUATORS


def _is_older(result, point):
    later = Result.objects.filter(
        latest_of__code=ACTUATORS_FOUND, latest_of__position__actuator_circuit=point.position.actuator_circuit_id
    )
    return later.filter(seen_at__gt=result.seen_at).exists()
