"""Photographs at a desk: seen, added, withdrawn."""

import uuid
from hashlib import sha256

from django.core.exceptions import PermissionDenied
from django.core.files.storage import default_storage
from django.shortcuts import get_object_or_404
from django.utils.cache import get_conditional_response
from django.utils.http import quote_etag
from django.views.decorators.http import require_GET

from inspections.models import Defect, Photo
from inspections.photos.forms import PhotoForm, PhotoOfDefectForm, WithdrawPhotoForm
from inspections.photos.keeping import keep_photo, withdraw_photo
from inspections.visits.views.field import visit_of
from sites_registry.access import STAFF_ROLES
from sites_registry.downloads import download
from sites_registry.views.base import FormPage
from zones.files.attachments import check_size


@require_GET
def photo_picture(request, pk, form):
    """Its JPEG: `file` as taken, `shown` with its marks, or `small`. A browser keeps it and asks each time whether
    this person may still see it."""
    photo = get_object_or_404(Photo.objects.visible_to(request.user), pk=pk)
    stored = getattr(photo, form)
    etag = quote_etag(f"{photo.sha256[:32]}-{form}")
    response = get_conditional_response(request, etag=etag) or _picture(photo, stored)
    response["ETag"] = etag
    response["Cache-Control"] = "private, no-cache"
    return response


def _picture(photo, stored):
    content = default_storage.read_whole(stored.name)
    return download(content, "image/jpeg", f"photograph-{photo.pk}.jpg", inline=True, is_uploaded=True)


class PhotoCreate(FormPage):
    """Add a photograph to the visit of this address."""

    roles = STAFF_ROLES
    form_class = PhotoForm
    heading = "Add a photograph"
    verb = "Add the photograph"
    saved_message = "Added: {record}."
    can_add_another = True

    def get_record(self):
        self.owner = self.visit = visit_of(self.request, self.kwargs["pk"])
        return None

    def get_trail(self, record):
        return [self.visit.building, self.owner]

    def get_lead_line(self, record):
        return f"Of {str(self.owner).lower()}, {self.visit.building}"

    def get_back_url(self, record):
        return self.owner.get_absolute_url()

    def what_of(self, cleaned):
        """The visit to which it belongs, and what it is of."""
        return {"visit": self.visit}

    def perform(self, form):
        cleaned = {name: value for name, value in form.cleaned_data.items() if value not in (None, "")}
        file = cleaned.pop("file")
        check_size(file.name, file.size)
        content = file.read()
        return keep_photo(
            content=content,
            client_uuid=uuid.uuid4(),
            taken_by=self.request.user,
            sent_sha256=sha256(content).hexdigest(),
            **self.what_of(cleaned),
            **cleaned,
        )

    def success_url(self, record):
        return f"{self.owner.get_absolute_url()}#photographs"


class DefectPhotoCreate(PhotoCreate):
    """Add a photograph to a defect; it belongs to the visit that closed it where it shows it put right there."""

    form_class = PhotoOfDefectForm

    def get_record(self):
        defects = Defect.objects.visible_to(self.request.user).select_related(
            "building", "found_on", "closed_by_result__test_point__visit", "closed_by_setting__visit"
        )
        self.owner = get_object_or_404(defects, pk=self.kwargs["pk"])
        self.visit = self.owner.found_on
        return None

    def what_of(self, cleaned):
        is_put_right = cleaned.get("stage") == Photo.Stage.AFTER and self.owner.closed_on
        return {"visit": self.owner.closed_on if is_put_right else self.visit, "defect": self.owner}


class PhotoWithdraw(FormPage):
    """The office withdraws any photograph, an engineer own ones."""

    roles = STAFF_ROLES
    form_class = WithdrawPhotoForm
    template_name = "inspections/photos/photo_withdraw.html"
    verb = "Withdraw the photograph"
    is_grave = True
    saved_message = "Withdrawn: {record}. It stays on record."

    def get_record(self):
        photos = Photo.objects.visible_to(self.request.user).for_list().select_related("visit__building")
        self.photo = get_object_or_404(photos, pk=self.kwargs["pk"])
        if self.photo.withdrawn_at is None and not self.photo.may_be_withdrawn_by(self.request.user):
            raise PermissionDenied
        return None

    def get_heading(self, record):
        return f"Withdraw {str(self.photo).lower()}"

    def get_context(self, form):
        return super().get_context(form) | {"photos": [self.photo]}

    def get_trail(self, record):
        return [self.photo.visit.building, self.photo.visit]

    def get_back_url(self, record):
        return f"{(self.photo.defect or self.photo.visit).get_absolute_url()}#photographs"

    def perform(self, form):
        return withdraw_photo(photo=self.photo, by=self.request.user, **form.cleaned_data)

    def success_url(self, record):
        return self.get_back_url(record)
