"""Photographs kept: checked, written once, withdrawn but never lost."""

from uuid import UUID

from django.core.files.storage import default_storage
from django.db import transaction
from django.utils import timezone

from inspections.models import Photo, Visit
from inspections.photos.pictures import picture_of
from sites_registry.services.refusals import Refused


class PhotoRefused(Refused):
    """The photograph is not kept, or not withdrawn."""


@transaction.atomic
def keep_photo(*, visit, content, client_uuid, taken_by, sent_sha256, marks=(), forms=("jpeg", "png", "webp"), **told):
    """Keep a photograph of a visit; returns it. The same identifier a second time gives the one that was kept first.

    `told`: what of (test_point, position or defect), stage, caption, taken_at, device_at, clock_offset_s, latitude,
    longitude; without `taken_at` the camera's own time is taken. Raises PhotoRefused, PictureRefused, ValidationError.
    """
    # SQLite ignores row locks; there the immediate transaction makes a second tab wait.
    visit = Visit.objects.select_for_update(of=("self",)).get(pk=visit.pk)
    if kept := Photo.objects.filter(client_uuid=client_uuid).first():
        return kept
    check_what_of(visit, **{name: told.get(name) for name in ("test_point", "position", "defect")})
    picture = picture_of(content, forms=forms, marks=marks)
    photo = Photo(
        visit=visit,
        client_uuid=client_uuid,
        taken_by=taken_by,
        marks=list(marks),
        sha256=picture.sha256,
        sent_sha256=sent_sha256,
        width_px=picture.width_px,
        height_px=picture.height_px,
        **{"taken_at": picture.camera_at, **told},
    )
    # Written before the row: a row without its bytes would be worse than bytes without a row.
    for name in ("shown", "small") if marks else ("small",):
        getattr(photo, name).name = _stored(photo, f"-{name}", getattr(picture, name))
    photo.file.name = _stored(photo, "", picture.plain)
    photo.shown.name = photo.shown.name or photo.file.name
    photo.full_clean()
    photo.save()
    return photo


def check_what_of(visit, test_point=None, position=None, defect=None):
    """Raises PhotoRefused where it is of something that this visit has not."""
    if visit.state == Visit.State.PLANNED:
        raise PhotoRefused(f"{visit} has not been started: it takes no photographs yet. Start it first.")
    if test_point and test_point.visit_id != visit.pk:
        raise PhotoRefused(f"Test point {test_point.pk} is not on {str(visit).lower()}.")
    for one in (position, defect):
        if one and one.building_id != visit.building_id:
            raise PhotoRefused(f"{one} is not in the building of {str(visit).lower()}.")


@transaction.atomic
def withdraw_photo(*, photo, by, reason):
    """Take a photograph out of pages and papers; the firm can still see it. Called twice, it keeps who was first."""
    photo = Photo.objects.select_for_update(of=("self",)).get(pk=photo.pk)
    if photo.withdrawn_at is None:
        photo.withdrawn_at, photo.withdrawn_by, photo.withdrawn_reason = timezone.now(), by, reason.strip()
        photo.full_clean()
        photo.save(update_fields=["withdrawn_at", "withdrawn_by", "withdrawn_reason"])
    return photo


def _stored(photo, form, content):
    """Where bytes lie: by the identifier, so that no two photographs share a file and a second try writes none."""
    name = UUID(str(photo.client_uuid)).hex
    return default_storage.keep(f"photos/{name[:2]}/{name}{form}.jpg", content)
