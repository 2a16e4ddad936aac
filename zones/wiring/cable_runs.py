"""The cable runs of a circuit or line entered in one go: one run to each device, looped through in their order."""

from dataclasses import dataclass
from decimal import Decimal

from django.core.exceptions import ValidationError
from django.db import transaction

from zones.models import ActuatorCircuit, Cable


@dataclass(frozen=True)
class RunRow:
    """What was typed for one device; `seen_version` is that of its cable as shown, None where there was none."""

    position: object
    tag: str
    length_m: Decimal | None
    hot_length_m: Decimal | None = None
    seen_version: int | None = None

    @property
    def is_empty(self):
        return self.length_m is None and self.hot_length_m is None and not self.tag


def runs_to_devices(owner):
    """Cables of a circuit or line by the device that each feeds."""
    return {cable.feeds_id: cable for cable in owner.cables.select_related("feeds") if cable.feeds_id}


@transaction.atomic
def record_runs(*, owner, rows, **common):
    """Make or change the run to each device, or change nothing; `owner` is an actuator circuit or a detection line.

    A new run goes on from that of the device before it. `common` (area_mm2, conductor_class, is_tinned, fire_rating)
    counts for every run; what is None or empty in it is left as it is.
    Raises ValidationError by field: "length_<position key>", "tag_…", "hot_…".
    """
    type(owner).objects.select_for_update().get(pk=owner.pk)
    name = "actuator_circuit" if isinstance(owner, ActuatorCircuit) else "detection_line"
    standing, before = runs_to_devices(owner), None
    common = {field: value for field, value in common.items() if value not in (None, "")}
    for row in rows:
        cable = standing.get(row.position.pk)
        if (cable and cable.row_version) != row.seen_version:
            who = f"Cable {cable}" if cable else "The cable to this device"
            raise ValidationError({f"length_{row.position.pk}": f"{who} was changed meanwhile. Open the page again."})
        if cable is None and row.is_empty:
            continue
        cable = cable or Cable(building=owner.panel.building, feeds=row.position, upstream=before, **{name: owner})
        _put(cable, row, common)
        before = cable


def _put(cable, row, common):
    """Put what was typed on a cable and save it if that changes anything."""
    wanted = {"tag": row.tag or cable.tag, "length_m": row.length_m, "hot_length_m": row.hot_length_m, **common}
    if cable.pk and all(getattr(cable, field) == value for field, value in wanted.items()):
        return
    for field, value in wanted.items():
        setattr(cable, field, value)
    try:
        cable.full_clean()
    except ValidationError as error:
        raise ValidationError(_at_row(error, row.position.pk)) from error
    cable.save()


def _at_row(error, key):
    """The messages of a cable at the fields of its row; what has none there goes to its length."""
    places = {"tag": "tag", "length_m": "length", "hot_length_m": "hot"}
    rules = {"cable_tag_unique_per_building": "tag", "cable_hot_length_within_its_length": "hot"}
    of_rule = {
        constraint.get_violation_error_message(): rules[constraint.name]
        for constraint in Cable._meta.constraints
        if constraint.name in rules
    }
    placed = {}
    for field, messages in error.message_dict.items():
        for message in messages:
            place = of_rule.get(message) or places.get(field, "length")
            placed.setdefault(f"{place}_{key}", []).append(message)
    return placed
