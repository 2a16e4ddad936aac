"""Hand the papers and files of a job over to the building's manager: begin, put together step by step, confirm receipt.

Composing all papers of a large building takes longer than one request should: each step does some of them. The manager
sees the hand-over when it is whole. Every file is kept as it was given, with its digest.
"""

import hashlib
import logging
import time
from pathlib import PurePath

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import transaction
from django.db.models import Q
from django.utils import timezone

from inspections.certificates.papers import keep_pdf
from inspections.hand_overs.document import compose_paper, papers_to_compose
from inspections.models import Certificate, HandOver, HandOverFile
from sites_registry.access import STAFF_ROLES
from sites_registry.downloads import file_name
from sites_registry.models import HandedOverDocument, Job
from sites_registry.services.refusals import Refused
from sites_registry.whole_files import NotWhole
from zones.files.documents_needed import missing_papers, models_in_use
from zones.models import Attachment
from zones.models.languages import name_of

logger = logging.getLogger(__name__)

STEP_SECONDS = 6
PDF = "application/pdf"
Folder = HandOverFile.Folder
FOLDER_OF = {
    Attachment.Kind.DECLARATION: Folder.DECLARATIONS,
    Attachment.Kind.CONFORMITY: Folder.DECLARATIONS,
    Attachment.Kind.MANUAL: Folder.MANUALS,
    Attachment.Kind.LABEL: Folder.LABELS,
    Attachment.Kind.DRAWING: Folder.DRAWINGS,
}
# What a closed job and a certificate list as handed over: one line for each folder.
NOTED_AS = {
    Folder.CERTIFICATES: HandedOverDocument.Kind.CERTIFICATE,
    Folder.DRAWINGS: HandedOverDocument.Kind.DRAWINGS,
    Folder.SCHEDULES: HandedOverDocument.Kind.SCHEDULES,
    Folder.SETTINGS: HandedOverDocument.Kind.SETTINGS,
    Folder.CAUSE_AND_EFFECT: HandedOverDocument.Kind.CAUSE_AND_EFFECT,
    Folder.MANUALS: HandedOverDocument.Kind.INSTRUCTIONS,
    Folder.DECLARATIONS: HandedOverDocument.Kind.DECLARATION,
}


class HandOverRefused(Refused):
    """Nothing is handed over or received so."""


@transaction.atomic
def begin_hand_over(*, job, to, by, note=""):
    """List everything that there is to hand over; one in the making is gone on with. Raises HandOverRefused."""
    job = Job.objects.select_for_update(of=("self",)).select_related("building").get(pk=job.pk)
    if by.role not in STAFF_ROLES:
        raise HandOverRefused("The office or an engineer hands over.")
    if not job.building.managers.filter(pk=to.pk).exists():
        raise HandOverRefused(f"{to} does not manage {job.building}. Choose one of its managers.", field="to")
    if begun := HandOver.objects.filter(job=job, handed_over_at=None).first():
        return begun
    hand_over = HandOver(building=job.building, job=job, to=to, handed_over_by=by, note=note)
    hand_over.missing = [row.words for row in missing_papers(job.building, label_language=job.label_language)]
    hand_over.full_clean()
    hand_over.save()
    rows, taken = [*_certificates(hand_over), *_papers(hand_over), *_attachments(hand_over)], set()
    order = list(Folder)
    for number, row in enumerate(sorted(rows, key=lambda one: order.index(one.folder)), start=1):
        row.hand_over, row.number, row.file_name = hand_over, number, _free_name(row, taken)
        row.full_clean(exclude=["hand_over", "certificate", "attachment"], validate_unique=False)
    HandOverFile.objects.bulk_create(rows)
    return hand_over


def _free_name(row, taken):
    """The name, or the name with a number where another file of the folder has it already."""
    path, number = PurePath(row.file_name[:200]), 1
    name = path.name
    while (row.folder, name.casefold()) in taken:
        number += 1
        name = f"{path.stem} ({number}){path.suffix}"
    taken.add((row.folder, name.casefold()))
    return name


def _day():
    return timezone.localdate().isoformat()


def _certificates(hand_over):
    for certificate in Certificate.objects.in_force().filter(building=hand_over.building).order_by("kind"):
        name = file_name(hand_over.building, certificate.get_kind_display(), certificate.number, "pdf")
        title = f"{certificate.get_kind_display().capitalize()} {certificate.number}"
        yield HandOverFile(
            folder=Folder.CERTIFICATES, title=title, certificate=certificate, file_name=name, media_type=PDF
        )


def _papers(hand_over):
    for paper, title, folder, document in papers_to_compose(hand_over):
        name = file_name(hand_over.building, document, _day(), "pdf")
        yield HandOverFile(folder=folder, title=title, paper=paper, file_name=name, media_type=PDF)


def _attachments(hand_over):
    """Files of the job, of the building and its panels, and of the models that are fitted or planned there."""
    building = hand_over.building
    files = Attachment.objects.filter(
        Q(job=hand_over.job)
        | Q(building=building)
        | Q(panel__building=building)
        | Q(product_model__in=models_in_use(building)),
        withdrawn_at=None,
    )
    seen = set()
    for one in files.select_related("product_model__maker", "panel__position", "building", "job").order_by(
        "kind", "pk"
    ):
        if (one.kind, one.sha256) in seen:
            continue
        seen.add((one.kind, one.sha256))
        yield HandOverFile(
            folder=FOLDER_OF.get(one.kind, Folder.OTHER),
            attachment=one,
            language=one.language,
            title=_title_of(one)[:240],
            file_name=_name_of(one),
            media_type=one.media_type,
        )


def _title_of(attachment):
    """By its own title, else by what it is and of which model; a file of no special kind by its name."""
    kind = attachment.get_kind_display().capitalize()
    if attachment.kind == Attachment.Kind.OTHER:
        return str(attachment)
    owner = attachment.product_model if attachment.product_model_id else attachment
    return f"{kind}: {attachment.title or owner}"


def _name_of(attachment):
    """Manuals and labels say their language: "Manual (German).pdf"."""
    path = PurePath(attachment.file_name)
    is_said = attachment.kind in (Attachment.Kind.MANUAL, Attachment.Kind.LABEL) and attachment.language
    return f"{path.stem[:150]} ({name_of(attachment.language)}){path.suffix}" if is_said else path.name


def put_together(*, hand_over, seconds=STEP_SECONDS, from_the_end=False):
    """Put files together for about so long; when all are, it is handed over. Returns the hand-over.

    Called again it goes on; called once more after the last, it changes nothing. The worker begins at the other end, so
    that it and a page that is open meet.
    """
    until = time.monotonic() + seconds
    order = "-number" if from_the_end else "number"
    for row in HandOverFile.objects.filter(hand_over=hand_over).still_to_do().order_by(order):
        _put_in(row.pk)
        if time.monotonic() > until:
            break
    return _give_when_whole(hand_over)


def _put_in(pk):
    """One file, composed outside of the transaction: nobody else who writes waits for it."""
    row = _still_to_do().filter(pk=pk).first()
    if row is None:  # somebody else's step was quicker
        return
    try:
        content = _content_of(row)
    except NotWhole as error:  # the data folder was restored without its files, or the file is torn
        logger.error("%s is left out of %s. %s", row.title, row.hand_over, error)
        content = None
    _enter(pk, content)


def _still_to_do():
    with_records = ("hand_over__building__client", "hand_over__handed_over_by", "certificate__building", "attachment")
    return HandOverFile.objects.still_to_do().select_related(*with_records)


@transaction.atomic
def _enter(pk, content):
    row = _still_to_do().select_for_update(of=("self",)).filter(pk=pk).first()
    if row is None:
        return
    if content is None:
        hand_over = HandOver.objects.select_for_update(of=("self",)).get(pk=row.hand_over_id)
        hand_over.missing = [*hand_over.missing, f"{row.title}: nothing to show."]
        hand_over.save(update_fields=["missing"])
        row.delete()
        return
    row.sha256, row.size_bytes = hashlib.sha256(content).hexdigest(), len(content)
    if row.attachment_id:
        row.file.name = row.attachment.file.name  # its bytes never change
    else:
        row.file.save(f"{row.hand_over_id}/{row.sha256}", ContentFile(content), save=False)
    row.save()


def _content_of(row):
    if row.certificate_id:
        return default_storage.read_whole(keep_pdf(row.certificate).pdf.name)
    if row.attachment_id:
        return default_storage.read_whole(row.attachment.file.name)
    return compose_paper(row.hand_over, row.paper)


@transaction.atomic
def _give_when_whole(hand_over):
    hand_over = HandOver.objects.select_for_update(of=("self",)).get(pk=hand_over.pk)
    if hand_over.handed_over_at or hand_over.files.still_to_do().exists():
        return hand_over
    hand_over.handed_over_at = timezone.now()
    hand_over.full_clean()
    hand_over.save()
    job = Job.objects.get(pk=hand_over.job_id)
    if job.closed_on is None:
        _note_documents(hand_over)
    return hand_over


def _note_documents(hand_over):
    """One line for each folder among the documents handed over of the job, as the certificate lists them."""
    counts = {}
    for folder in hand_over.files.values_list("folder", flat=True):
        counts[folder] = counts.get(folder, 0) + 1
    for folder in filter(counts.get, Folder):
        files = f"{counts[folder]} file{'s' if counts[folder] != 1 else ''}"
        document = HandedOverDocument(
            job_id=hand_over.job_id,
            kind=NOTED_AS.get(folder, HandedOverDocument.Kind.OTHER),
            title=f"{folder.label}: {files} of hand-over {hand_over.pk}",
            handed_over_on=timezone.localdate(hand_over.handed_over_at),
            handed_over_to=str(hand_over.to)[:120],
        )
        document.full_clean()
        document.save()


@transaction.atomic
def confirm_receipt(*, hand_over, by):
    """The manager has the papers: name and moment, and the receipt of the job where it has none. Asked twice, once.

    Raises HandOverRefused.
    """
    hand_over = HandOver.objects.select_for_update(of=("self",)).get(pk=hand_over.pk)
    if hand_over.received_at:
        return hand_over
    if hand_over.handed_over_at is None:
        raise HandOverRefused("This hand-over is not whole yet.")
    if not hand_over.building.managers.filter(pk=by.pk).exists():
        raise HandOverRefused(f"A manager of {hand_over.building} confirms that the papers came.")
    hand_over.received_by, hand_over.received_at = by, timezone.now()
    hand_over.full_clean()
    hand_over.save()
    job = Job.objects.select_for_update(of=("self",)).get(pk=hand_over.job_id)
    if job.closed_on is None and job.receipt_signed_on is None:
        job.receipt_signed_by, job.receipt_signed_on = by.full_name[:120], timezone.localdate()
        job._change_reason = f"{hand_over} confirmed"
        job.full_clean()
        job.save()
    return hand_over
