"""Files kept with a record: taken in only when their content is what their name says, withdrawn but never lost."""

import hashlib
import io
import warnings
from pathlib import PurePath

from django.conf import settings
from django.core.files.storage import default_storage
from django.db import transaction
from django.utils import timezone
from PIL import Image

from sites_registry.access import STAFF_ROLES, Role
from sites_registry.models import Building, Instrument, Job, Qualification
from sites_registry.services.refusals import Refused
from zones.files.file_types import NAMES, type_of
from zones.models import Attachment, ControlPanel, ProductModel, Unit
from zones.models.attachments import stored_name

# Type by content → (extensions that may name it, media type it is served as).
ALLOWED = {
    "pdf": ((".pdf",), "application/pdf"),
    "png": ((".png",), "image/png"),
    "jpeg": ((".jpg", ".jpeg"), "image/jpeg"),
    "webp": ((".webp",), "image/webp"),
    "dxf": ((".dxf",), "image/vnd.dxf"),
    "dwg": ((".dwg",), "image/vnd.dwg"),
    "text": ((".txt", ".csv"), "text/plain; charset=utf-8"),
    "xlsx": ((".xlsx",), "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"),
    "docx": ((".docx",), "application/vnd.openxmlformats-officedocument.wordprocessingml.document"),
}
PICTURES = {"png": "PNG", "jpeg": "JPEG", "webp": "WEBP"}
# Shown by the browser in its own page; all others are saved.
SHOWN_INLINE = {"application/pdf", "image/png", "image/jpeg", "image/webp"}
IN_WORDS = "PDF, PNG, JPEG, WebP, DXF, DWG, plain text, .xlsx or .docx"

# Word for the kind of record in addresses → (model, field of Attachment).
OWNERS = {
    "building": (Building, "building"),
    "job": (Job, "job"),
    "panel": (ControlPanel, "panel"),
    "unit": (Unit, "unit"),
    "product-model": (ProductModel, "product_model"),
    "instrument": (Instrument, "instrument"),
    "qualification": (Qualification, "qualification"),
}


class AttachmentRefused(Refused):
    """The file is not kept."""


def check_size(name, size_bytes):
    """Asked before the content is read into memory. Raises AttachmentRefused."""
    shown = _shown(name)
    if not size_bytes:
        raise AttachmentRefused(
            f"{shown} is empty (0 bytes). Choose the file again; perhaps it was still being saved.", field="file"
        )
    if size_bytes > settings.UPLOAD_LIMIT_MB * 1024 * 1024:
        raise AttachmentRefused(
            f"{shown} has {size_bytes / 1024 / 1024:.0f} MB; the limit is {settings.UPLOAD_LIMIT_MB} MB. "
            "Save it smaller, or split it.",
            field="file",
        )


@transaction.atomic
def attach_file(*, owner_field, owner, name, content, kind, by, title="", language=""):
    """Keep a file with a record; `owner_field` is one of zones.models.attachments.OWNERS.

    The same content kept with the same record already is not kept twice: the standing attachment is returned.
    Raises AttachmentRefused.
    """
    check_size(name, len(content))
    media_type = _checked_media_type(name, content)
    digest = hashlib.sha256(content).hexdigest()
    standing = Attachment.objects.filter(**{owner_field: owner}, sha256=digest, withdrawn_at=None).first()
    if standing:
        return standing
    attachment = Attachment(
        **{owner_field: owner},
        kind=kind,
        title=title,
        language=language,
        file_name=kept_name(name),
        media_type=media_type,
        size_bytes=len(content),
        sha256=digest,
        added_by=by,
    )
    # Written before the row: a row without its bytes would be worse than bytes without a row.
    attachment.file.name = default_storage.keep(stored_name(attachment, name), content)
    attachment.full_clean()
    attachment.save()
    return attachment


@transaction.atomic
def withdraw_attachment(*, attachment, by):
    """Take a file out of the lists; the firm can still read it. Called twice, it keeps who was first."""
    attachment = Attachment.objects.select_for_update(of=("self",)).get(pk=attachment.pk)
    if attachment.withdrawn_at is None:
        attachment.withdrawn_at, attachment.withdrawn_by = timezone.now(), by
        attachment.save(update_fields=["withdrawn_at", "withdrawn_by"])
    return attachment


def owner_word(owner):
    """The word by which addresses call this kind of record."""
    return next(word for word, (model, _) in OWNERS.items() if isinstance(owner, model))


def files_url_of(owner):
    """Where the files of this record stand: on its own page, where it has none for them."""
    return f"{getattr(owner, 'get_files_url', owner.get_absolute_url)()}#files"


def may_withdraw(person, attachment):
    """The office withdraws any file, an engineer own ones."""
    return person.role == Role.OFFICE or (person.role in STAFF_ROLES and attachment.added_by_id == person.pk)


def _checked_media_type(name, content):
    shown, suffix, found = _shown(name), PurePath(name).suffix.lower(), type_of(content)
    if found in ("svg", "html"):
        raise AttachmentRefused(
            f"{shown} is {NAMES[found]} by its content, and that can carry scripts. Save it as PDF or PNG.",
            field="file",
        )
    if found not in ALLOWED:
        raise AttachmentRefused(f"{shown} is {NAMES[found]} by its content. Choose {IN_WORDS}.", field="file")
    extensions, media_type = ALLOWED[found]
    if suffix not in extensions:
        raise AttachmentRefused(
            f"{shown} is {NAMES[found]} by its content. Name it with {' or '.join(extensions)}.", field="file"
        )
    if found in PICTURES:
        _check_picture(shown, content, PICTURES[found])
    return media_type


def _check_picture(shown, content, form):
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            with Image.open(io.BytesIO(content), formats=[form]) as picture:
                picture.verify()
    except Exception as error:  # the library raises many kinds for a damaged picture
        raise AttachmentRefused(
            f"{shown} cannot be read as a picture: it is damaged or far too large. Save it again and choose it again.",
            field="file",
        ) from error


def kept_name(name):
    """The name as given, without folders and control characters, at most 200 characters, its extension kept."""
    plain = "".join(letter for letter in PurePath(name.replace("\\", "/")).name if letter.isprintable()).strip()
    path = PurePath(plain or "file")
    return f"{path.stem[:190]}{path.suffix[:10]}"


def _shown(name):
    return f"'{kept_name(name)[:80]}'"
