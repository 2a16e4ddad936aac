"""Hand over to the manager: begin, put together, look at, download one by one or as a whole, confirm the receipt."""

from django.contrib import messages
from django.http import Http404
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_POST

from inspections.hand_overs.collect import HandOverRefused, begin_hand_over, confirm_receipt, put_together
from inspections.hand_overs.forms import HandOverForm
from inspections.hand_overs.sending import send_archive, send_file
from inspections.models import HandOver
from sites_registry.access import STAFF_ROLES, Role, for_roles
from sites_registry.models import Job
from sites_registry.views.base import FormPage
from zones.files.documents_needed import missing_papers


class HandOverCreate(FormPage):
    roles = STAFF_ROLES
    form_class = HandOverForm
    template_name = "inspections/hand_overs/hand_over_form.html"
    heading = "Hand over to the manager"
    verb = "Hand over"

    def get_record(self):
        jobs = Job.objects.visible_to(self.request.user).with_building()
        self.job = get_object_or_404(jobs, number=self.kwargs["number"])
        return None

    def form_arguments(self):
        return {"building": self.job.building}

    def get_trail(self, record):
        return [self.job.building, self.job]

    def get_lead_line(self, record):
        return f"{self.job} · {self.job.building}: all papers of the building, and the files of the job"

    def get_back_url(self, record):
        return self.job.get_absolute_url()

    def get_context(self, form):
        missing = missing_papers(self.job.building, label_language=self.job.label_language)
        return super().get_context(form) | {
            "job": self.job,
            "missing": missing,
            "has_manager": form.fields["to"].queryset.exists(),
            "open_visits": self.job.visits.filter(state__in=("planned", "under_way")).count(),
        }

    def perform(self, form):
        return begin_hand_over(job=self.job, by=self.request.user, **form.cleaned_data)


def _hand_over(request, pk):
    return get_object_or_404(HandOver.objects.visible_to(request.user).with_people(), pk=pk)


@require_GET
def hand_over_detail(request, pk):
    hand_over = _hand_over(request, pk)
    files = list(hand_over.files.all())
    folders = {}
    for one in files:
        folders.setdefault(one.get_folder_display(), []).append(one)
    context = {
        "hand_over": hand_over,
        "building": hand_over.building,
        "folders": folders.items(),
        "total": len(files),
        "done": sum(bool(one.sha256) for one in files),
        "size": sum(one.size_bytes or 0 for one in files),
        "may_confirm": request.user.role == Role.MANAGER and hand_over.received_at is None,
        "reading_links": hand_over.reading_links.with_openings(),
    }
    return render(request, "inspections/hand_overs/hand_over_detail.html", context)


@for_roles(*STAFF_ROLES)
@require_POST
def hand_over_put_together(request, pk):
    """The next files of it; the page asks again until all are there."""
    hand_over = put_together(hand_over=_hand_over(request, pk))
    if hand_over.handed_over_at:
        messages.success(request, f"Handed over to {hand_over.to}, who sees it from now on.")
    return redirect(hand_over)


def _whole(request, pk):
    hand_over = _hand_over(request, pk)
    if hand_over.handed_over_at is None:
        raise Http404
    return hand_over


@require_GET
def hand_over_file(request, pk, file_pk):
    return send_file(get_object_or_404(_whole(request, pk).files.put_together(), pk=file_pk))


@require_GET
def hand_over_archive(request, pk):
    return send_archive(_whole(request, pk))


@for_roles(Role.MANAGER)
@require_POST
def hand_over_receipt(request, pk):
    hand_over = _hand_over(request, pk)
    try:
        confirm_receipt(hand_over=hand_over, by=request.user)
    except HandOverRefused as refusal:
        messages.error(request, str(refusal))
    else:
        messages.success(request, "Your receipt is recorded, with your name and the day.")
    return redirect(hand_over)
