"""Jobs: open one with the next number, close it when it is handed over, open it again."""

from datetime import date, timedelta

from django.db import transaction
from django.utils import timezone

from sites_registry.models import Job
from sites_registry.services.numbers import next_number
from sites_registry.services.refusals import Refused

EARLIEST_JOB = date(1990, 1, 1)
HANDED_OVER_KINDS = (Job.Kind.NEW, Job.Kind.EXTENSION)  # work that ends with a hand-over to the client


class JobRefused(Refused):
    """The job cannot be opened like this, or not be changed any more."""


class NotClosable(Refused):
    """The job is not at its end yet."""


@transaction.atomic
def open_job(*, building, kind, scope, opened_on, standard="", lead=None, label_language=""):
    """Open a job under the next number of its year, J-2026-001 and on, without gaps. Raises JobRefused."""
    latest = timezone.localdate() + timedelta(days=366)
    if not EARLIEST_JOB <= opened_on <= latest:
        raise JobRefused(
            f"Opened on {opened_on:%-d %b %Y}: give a day between {EARLIEST_JOB:%-d %b %Y} and {latest:%-d %b %Y}.",
            field="opened_on",
        )
    number = f"J-{opened_on.year}-{next_number(series=f'job-{opened_on.year}'):03}"
    job = Job(
        number=number,
        building=building,
        kind=kind,
        scope=scope,
        opened_on=opened_on,
        standard=standard,
        lead=lead,
        label_language=label_language,
    )
    job.full_clean()
    job.save()
    return job


def reasons_not_to_close(job):
    """What is missing before this job can be closed, each with its remedy; an empty list when nothing is."""
    reasons = []
    if job.kind in HANDED_OVER_KINDS:
        if not job.handed_over.exists():
            reasons.append(f"No document is noted as handed over for this {job.get_kind_display()}. Add them first.")
        if not job.label_language:
            reasons.append("The language of the labels is not noted. Add it to the job.")
        if not (job.receipt_signed_by and job.receipt_signed_on):
            reasons.append(
                f"A {job.get_kind_display()} is closed once its hand-over is receipted, and there is no receipt. "
                "Record who received the papers and when."
            )
    return reasons


@transaction.atomic
def close_job(*, job, closed_on):
    """Close a job; closing a closed one changes nothing. Raises NotClosable."""
    job = Job.objects.select_for_update().get(pk=job.pk)
    if job.closed_on:
        return job
    if closed_on < job.opened_on:
        raise NotClosable(
            f"Closed on {closed_on:%-d %b %Y}: the job was opened on {job.opened_on:%-d %b %Y}. Give that day or "
            "later.",
            field="closed_on",
        )
    if closed_on > timezone.localdate():
        raise NotClosable(f"Closed on {closed_on:%-d %b %Y}: that day is still to come.", field="closed_on")
    if reasons := reasons_not_to_close(job):
        raise NotClosable(*reasons)
    job.closed_on = closed_on
    return _store(job, "closed")


@transaction.atomic
def open_job_again(*, job):
    """Open a closed job again; an open one is left alone."""
    job = Job.objects.select_for_update().get(pk=job.pk)
    if not job.closed_on:
        return job
    job.closed_on = None
    return _store(job, "opened again")


def _store(job, reason):
    job._change_reason = reason
    job.full_clean()
    job.save()
    return job


def require_open(job):
    """Hold the job open until the transaction ends.

    Raises JobRefused when it is closed: what was handed over stays as it was receipted.
    """
    job = Job.objects.select_for_update().get(pk=job.pk)  # nobody closes it meanwhile
    if job.closed_on:
        raise JobRefused(f"{job.number} was closed on {job.closed_on:%-d %b %Y}. Open it again to change it.")
