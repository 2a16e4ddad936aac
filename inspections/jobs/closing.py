"""Closing a job: only when its visits are done, and always with an as-installed revision."""

from django.db import transaction

from inspections.standing_matters.matters import what_stands
from sites_registry.models import Job
from sites_registry.services.jobs import NotClosable, close_job, reasons_not_to_close
from zones.as_installed.revisions import take_revision


def all_reasons_not_to_close(job, stands=None):
    """What is missing before this job can be closed, each with its remedy; what stands is counted, not listed.

    Args:     stands: `what_stands(job)`, where the caller has it.
    """
    refusal = (stands or what_stands(job)).refusal
    return [*filter(None, [refusal]), *reasons_not_to_close(job)]


@transaction.atomic
def close_job_with_revision(*, job, closed_on, closed_by, taken_at=None, record=None):
    """Close a job and freeze what is installed as the building's next revision; a closed one is left alone.

    `record` as for `what_stands`. Raises NotClosable.
    """
    job = Job.objects.select_for_update(of=("self",)).select_related("building").get(pk=job.pk)
    if job.closed_on:
        return job
    if reasons := all_reasons_not_to_close(job, what_stands(job, record=record)):
        raise NotClosable(*reasons)
    job = close_job(job=job, closed_on=closed_on)
    take_revision(
        building=job.building,
        job=job,
        taken_by=closed_by,
        taken_at=taken_at,
        reason=f"{job.get_kind_display()} {job.number} closed",
    )
    return job
