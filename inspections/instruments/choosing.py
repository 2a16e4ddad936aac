"""Choose the instruments of a visit; each is copied as its calibration stands."""

from django.db import transaction

from inspections.models import InstrumentUsed, Visit
from sites_registry.services.refusals import Refused


class NotChosen(Refused):
    """The instruments of this visit cannot be changed any more."""


@transaction.atomic
def choose_instruments(*, visit, instruments, chosen_by):
    """Make these the instruments of a visit. One that stays keeps its copy. Raises NotChosen."""
    visit = Visit.objects.select_for_update(of=("self",)).get(pk=visit.pk)
    if visit.state not in (Visit.State.PLANNED, Visit.State.UNDER_WAY):
        raise NotChosen(f"{visit} is {visit.get_state_display()}: what it was made with stays as it is.")
    wanted = {one.pk: one for one in instruments}
    visit.instruments_used.exclude(instrument__in=wanted).delete()
    present = set(visit.instruments_used.values_list("instrument", flat=True))
    for one in wanted.values():
        if one.pk not in present:
            used = InstrumentUsed(
                visit=visit,
                instrument=one,
                name=one.name,
                own_number=one.own_number,
                serial=one.serial,
                units=[unit for unit, _ in one.ranges],
                calibrated_on=one.calibrated_on,
                calibration_due_on=one.calibration_due_on,
                chosen_by=chosen_by,
            )
            used.full_clean()
            used.save()
    return visit
