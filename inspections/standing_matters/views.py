"""What still stands of a job or of a visit of it: the list, accepting with a reason, taking that back."""

from urllib.parse import urlencode

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.views.decorators.http import require_POST

from inspections.models import AcceptedMatter, Visit
from inspections.standing_matters.acceptances import accept_matters, take_back_acceptance
from inspections.standing_matters.forms import AcceptForm
from inspections.standing_matters.matters import what_stands
from sites_registry.access import STAFF_ROLES, for_roles
from sites_registry.models import Job
from sites_registry.views.base import FormPage, local_next


def standing_context(request, job, visit=None):
    """What `inspections/standing_matters/_what_stands.html` shows on any page; the ways in lead back to it."""
    stands = what_stands(job, visit=visit, user=request.user, back=request.path)
    return {"stands": stands, "accept_url": _address(job, visit, request.get_full_path()), "back": request.path}


def _address(job, visit, back):
    query = {**({"visit": visit.pk} if visit else {}), "next": back}
    return f"{reverse('job-standing', args=[job.number])}?{urlencode(query)}"


class WhatStandsPage(FormPage):
    roles = STAFF_ROLES
    form_class = AcceptForm
    template_name = "inspections/standing_matters/what_stands.html"
    heading = "What still stands"
    verb = "Accept what is ticked"

    def get_record(self):
        jobs = Job.objects.visible_to(self.request.user).with_building()
        self.job = get_object_or_404(jobs, number=self.kwargs["number"])
        key = self.request.GET.get("visit", "")
        self.visit = None
        if key:
            visits = Visit.objects.visible_to(self.request.user).filter(job=self.job)
            self.visit = get_object_or_404(visits, pk=key if key.isascii() and key.isdigit() and len(key) < 19 else 0)
        return None

    def get_trail(self, record):
        return [self.job.building, self.visit or self.job]

    def get_lead_line(self, record):
        return f"{self.job.building} · {self.visit or self.job}"

    def get_back_url(self, record):
        return (self.visit or self.job).get_absolute_url()

    def get_context(self, form):
        back = local_next(self.request) or self.request.get_full_path()
        return (
            super().get_context(form)
            | standing_context(self.request, self.job, self.visit)
            | {
                "job": self.job,
                "accept_url": _address(self.job, self.visit, back),
                "chosen": form.data.getlist("matters") if form.is_bound else [],
            }
        )

    def perform(self, form):
        self.accepted = accept_matters(
            job=self.job,
            visit=self.visit,
            digests=form.cleaned_data["matters"],
            reason=form.cleaned_data["reason"],
            by=self.request.user,
        )
        return self.visit or self.job

    def announce(self, record):
        count = len(self.accepted)
        messages.success(
            self.request, f"{count} accepted with your name and the reason." if count else "Accepted before."
        )


@for_roles(*STAFF_ROLES)
@require_POST
def acceptance_take_back(request, pk):
    acceptance = get_object_or_404(AcceptedMatter.objects.visible_to(request.user).select_related("job"), pk=pk)
    take_back_acceptance(acceptance=acceptance, by=request.user)
    messages.success(request, "The acceptance is taken back: the matter is asked again.")
    return redirect(local_next(request) or acceptance.job)
