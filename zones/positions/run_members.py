"""Many devices put on an output, a detection line or a data link at once: all or none, numbered on in walking order."""

from dataclasses import dataclass

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Max, Q

from zones.models import ActuatorCircuit, DataLink, DetectionLine, DeviceKind, Position
from zones.models.kinds import DRIVES
from zones.models.position_rules import NOT_ON_A_LINE, NOT_ON_A_LINK

FIELD_OF = {ActuatorCircuit: "actuator_circuit", DetectionLine: "detection_line", DataLink: "data_link"}
_FITTING = {
    ActuatorCircuit: Q(kind__in=DRIVES),
    DetectionLine: ~Q(kind__in=NOT_ON_A_LINE),
    DataLink: ~Q(kind__in=NOT_ON_A_LINK),
}
_RUNS = tuple(f"{name}__panel__position" for name in FIELD_OF.values())
MOST_ON_A_RUN = 500


@dataclass(frozen=True)
class Move:
    """A device with the run and the place on it before and after; `before` is None where it was on none."""

    position: Position
    before: object
    order_before: int | None
    order: int


def may_be_put_on(run):
    """Devices in use of the panel, or of no panel yet, that such a run may have and that are not on it; in walking
    order."""
    found = Position.objects.in_use().filter(_FITTING[type(run)], building=run.panel.building_id)
    found = found.filter(Q(panel=run.panel_id) | Q(panel=None)).exclude(**{FIELD_OF[type(run)]: run})
    found = found.exclude(kind=DeviceKind.CONTROL_PANEL).select_related("building", "panel", "smoke_zone", *_RUNS)
    return found.order_by("walking_order", "tag_key")


def run_of(position):
    """The output, line or data link that a device is on, or None."""
    return position.actuator_circuit or position.detection_line or position.data_link


@transaction.atomic
def put_on_run(*, run, devices):
    """Put devices on a run behind those on it, in walking order; they leave the run they were on. → list of Move

    Raises ValidationError with a sentence for each device that cannot be on it; nothing is changed then.
    """
    run = type(run).objects.select_for_update(of=("self",)).select_related("panel").get(pk=run.pk)
    last = run.positions.in_use().aggregate(last=Max("order_on_line"))["last"] or 0
    chosen = may_be_put_on(run).select_for_update(of=("self",)).filter(pk__in=[one.pk for one in devices])
    moves, refusals = [], []
    for order, position in enumerate(chosen, start=last + 1):
        moves.append(Move(position, run_of(position), position.order_on_line, order))
        for name in FIELD_OF.values():
            setattr(position, name, None)
        setattr(position, FIELD_OF[type(run)], run)
        position.panel, position.order_on_line = run.panel, order
        position._change_reason = f"put on {run} with {len(devices)} devices"[:100]
        try:
            position.full_clean()
        except ValidationError as error:
            refusals.append(f"{position}: {' '.join(error.messages)}")
        else:
            position.save()
    if refusals:
        raise ValidationError(refusals)
    return moves
