"""Files kept with a record: adding one, reading it, withdrawing it."""

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.core.files.storage import default_storage
from django.http import Http404
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_GET, require_POST

from sites_registry.access import STAFF_ROLES, for_roles
from sites_registry.downloads import download
from sites_registry.views.base import FormPage
from zones.files.attachments import (
    OWNERS,
    SHOWN_INLINE,
    attach_file,
    check_size,
    files_url_of,
    may_withdraw,
    withdraw_attachment,
)
from zones.files.forms import AttachmentForm
from zones.models import Attachment


class AttachmentCreate(FormPage):
    """Keep a file with the record that the address names."""

    roles = STAFF_ROLES
    form_class = AttachmentForm
    heading = "Attach a file"
    verb = "Attach the file"
    saved_message = "Attached: {record}."

    def get_record(self):
        model, self.owner_field = OWNERS.get(self.kwargs["owner"], (None, None))
        if model is None:
            raise Http404
        self.owner = get_object_or_404(model.objects.visible_to(self.request.user), pk=self.kwargs["pk"])
        return None

    def form_arguments(self):
        """Kind and title that the page which leads here has named already."""
        asked = self.request.GET
        kind = asked.get("kind", "")
        return {
            "initial": {"kind": kind if kind in Attachment.Kind.values else "", "title": asked.get("title", "")[:200]}
        }

    def get_trail(self, record):
        return [self.owner]

    def get_lead_line(self, record):
        return f"To the {self.kwargs['owner'].replace('-', ' ')} {self.owner}"

    def get_back_url(self, record):
        return self.owner.get_absolute_url()

    def perform(self, form):
        file = form.cleaned_data.pop("file")
        check_size(file.name, file.size)
        return attach_file(
            owner_field=self.owner_field,
            owner=self.owner,
            name=file.name,
            content=file.read(),
            by=self.request.user,
            **form.cleaned_data,
        )

    def success_url(self, record):
        return files_url_of(self.owner)


@require_GET
def attachment_download(request, pk):
    """The bytes, under the name they came with. PDFs and pictures are shown, others saved; none is guessed at."""
    attachment = get_object_or_404(Attachment.objects.visible_to(request.user), pk=pk)
    content = default_storage.read_whole(attachment.file.name)  # at most settings.UPLOAD_LIMIT_MB
    inline = attachment.media_type in SHOWN_INLINE
    return download(content, attachment.media_type, attachment.file_name, inline=inline, is_uploaded=True)


@for_roles(*STAFF_ROLES)
@require_POST
def attachment_withdraw(request, pk):
    """The office withdraws any file, an engineer own ones."""
    attachment = get_object_or_404(Attachment.objects.visible_to(request.user), pk=pk)
    if not may_withdraw(request.user, attachment):
        raise PermissionDenied
    withdraw_attachment(attachment=attachment, by=request.user)
    messages.success(request, f"Withdrawn: {attachment}. It stays on record.")
    return redirect(files_url_of(attachment.owner))
