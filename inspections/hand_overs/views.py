"""Hand over to the manager: begin, put together, look at, download one by one or as a whole, confirm the receipt."""

import io
import logging
from functools import partial

from django.contrib import messages
from django.core.files.storage import default_storage
from django.http import Http404, StreamingHttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.http import content_disposition_header
from django.views.decorators.http import require_GET, require_POST

from inspections.hand_overs.archives import zip_stream
from inspections.hand_overs.collect import HandOverRefused, begin_hand_over, confirm_receipt, put_together
from inspections.hand_overs.document import hand_over_list_pdf
from inspections.hand_overs.forms import HandOverForm
from inspections.models import HandOver
from sites_registry.access import STAFF_ROLES, Role, for_roles
from sites_registry.downloads import download, file_name
from sites_registry.models import Job
from sites_registry.views.base import FormPage
from sites_registry.whole_files import NotWhole
from zones.files.attachments import SHOWN_INLINE
from zones.files.documents_needed import missing_papers
from zones.files.views import POLICY

logger = logging.getLogger(__name__)
NOT_WHOLE = (
    "'{}' was handed over, and the register's copy of it is damaged or missing, so it is not in this archive. "
    "Ask the firm to restore it from a backup."
)


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
    one = get_object_or_404(_whole(request, pk).files.put_together(), pk=file_pk)
    content = default_storage.read_whole(one.file.name)
    response = download(content, one.media_type, one.file_name, inline=one.media_type in SHOWN_INLINE)
    response["Content-Security-Policy"] = POLICY
    return response


def _list_name(hand_over, word, extension):
    day = f"{timezone.localtime(hand_over.handed_over_at):%Y-%m-%d}"
    return file_name(hand_over.building, f"{word} {hand_over.job.number}", day, extension)


@require_GET
def hand_over_archive(request, pk):
    """Everything in one archive, with the list, sent while it is made."""
    hand_over = _whole(request, pk)
    response = StreamingHttpResponse(zip_stream(_entries(hand_over)), content_type="application/zip")
    response["Content-Disposition"] = content_disposition_header(True, _list_name(hand_over, "hand-over", "zip"))
    response["Cache-Control"] = "private, no-store"
    return response


def _entries(hand_over):
    """What the archive holds; a file that is not whole any more is replaced by a note that says so."""
    moment = timezone.localtime(hand_over.handed_over_at)
    yield _list_name(hand_over, "hand-over list", "pdf"), moment, partial(_listed, hand_over)
    for one in hand_over.files.put_together():
        path = one.path
        try:
            content = default_storage.read_whole(one.file.name)
        except NotWhole as error:
            logger.error("Not in the archive of %s: %s", hand_over, error)
            path, content = f"{path}.NOT-WHOLE.txt", NOT_WHOLE.format(one.path).encode()
        yield path, moment, partial(io.BytesIO, content)


def _listed(hand_over):
    return io.BytesIO(hand_over_list_pdf(hand_over))


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
