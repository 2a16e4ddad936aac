"""Record what arrived for a job."""

from django.core.exceptions import ValidationError
from django.db import transaction

from zones.models import MaterialArrival


@transaction.atomic
def record_arrivals(*, job, arrivals, arrived_on, recorded_by, note=""):
    """Record quantities that came in: all of them or none. Raises ValidationError.

    Args:     arrivals: list of (MaterialLine, quantity), quantity with a minus for a correction.
    """
    if not arrivals:
        raise ValidationError("Nothing is entered. Write what came beside its line.")
    made = []
    for line, quantity in arrivals:
        if line.arrived + quantity < 0:
            raise ValidationError(
                f"{line.what}: {line.arrived} came so far, so {-quantity} cannot be taken back. Correct the number."
            )
        arrival = MaterialArrival(
            job=job,
            line=line.key,
            what=line.what[:200],
            quantity=quantity,
            arrived_on=arrived_on,
            note=note,
            recorded_by=recorded_by,
        )
        arrival.full_clean()
        arrival.save()
        made.append(arrival)
    return made
