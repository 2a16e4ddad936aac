"""Closing a job: only when its visits are done, and always with an as-installed revision."""

from django.db import transaction

from inspections.models import Visit
from sites_registry.models import Job
from sites_registry.services.jobs import NotClosable, close_job, reasons_not_to_close
from zones.services.as_installed import take_revision

OPEN_STATES = (Visit.State.PLANNED, Visit.State.UNDER_WAY)


def open_visits_of(job):
    """Visits of a job that are planned or under way."""
    return Visit.objects.filter(job=job, state__in=OPEN_STATES).order_by("planned_on", "pk")


def all_reasons_not_to_close(job):
    """What is missing before this job can be closed, its visits included; each with its remedy."""
    visits = [
        f"The {visit.get_kind_display()} planned for {visit.planned_on:%-d %b %Y} is {visit.get_state_display()}. "
        "Finish it, or call it off."
        for visit in open_visits_of(job)
    ]
    return [*visits, *reasons_not_to_close(job)]


@transaction.atomic
def close_job_with_revision(*, job, closed_on, closed_by, taken_at=None):
    """Close a job and freeze what is installed as the building's next revision; a closed one is left alone.

    Raises NotClosable.
    """
    job = Job.objects.select_for_update().get(pk=job.pk)
    if job.closed_on:
        return job
    if reasons := all_reasons_not_to_close(job):
        raise NotClosable(*reasons)
    job = close_job(job=job, closed_on=closed_on)
    take_revision(
        building=job.building, job=job, taken_by=closed_by, taken_at=taken_at,
        reason=f"{job.get_kind_display()} {job.number} closed",
    )  # fmt: skip
    return job
