"""The PDF of a certificate: made apart from the issue, kept, and made again where it is missing.

A certificate is issued once its row is stored. Whoever comes first makes its PDF: the worker (`compose_papers`) or the
first person who opens it. A disk that refuses it changes nothing of the certificate.
"""

import hashlib
import logging
import os
import subprocess
import sys

from django.conf import settings
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import transaction

from inspections.certificates.document import certificate_pdf
from inspections.certificates.signing import signed
from inspections.ledger.entering import enter
from inspections.models import Certificate, LedgerEntry
from sites_registry.documents.papers import Made
from sites_registry.keys import KeyMissing
from sites_registry.whole_files import NotWhole

logger = logging.getLogger(__name__)

PROCESSES = len(os.sched_getaffinity(0))
FEWEST = 10  # of one process: fewer are made sooner than it is started
SHARE = 200  # of one process


def compose_what_lacks():
    """Make the PDF of each certificate that has none yet; returns (how many were made, how many failed).

    Many are made side by side by processes, one for each processor, that end after some hundred papers: so the worker
    stays as small as it was. Whatever is killed of them, the papers that lack are made by whoever comes next.
    """
    made, tried = 0, set()
    while numbers := [number for number in _without_pdf() if number not in tried][: SHARE * PROCESSES]:
        tried.update(numbers)
        shares = shared(numbers)
        made += _made_side_by_side(numbers, shares) if len(shares) > 1 else sum(map(is_made, numbers))
    return made, len(tried) - made


def _without_pdf():
    return Certificate.objects.filter(pdf="").order_by("pk").values_list("number", flat=True)


def shared(numbers):
    """The numbers by process that makes them, not more processes than are worth their start."""
    processes = max(1, min(PROCESSES, len(numbers) // FEWEST))
    return [numbers[first::processes] for first in range(processes)]


def _made_side_by_side(numbers, shares):
    for started in [start(share) for share in shares]:
        started.wait()
    return Certificate.objects.filter(number__in=numbers).exclude(pdf="").count()


def start(numbers):
    """A process that makes the PDFs of these certificates; what it could not make stands in the log."""
    command = [sys.executable, str(settings.BASE_DIR / "manage.py"), "compose_papers", "--only", *numbers]
    return subprocess.Popen(command, stdout=subprocess.DEVNULL)  # noqa: S603  our own program


def is_made(number):
    """Whether the PDF of this certificate could be made; else the log says why, and it is tried again."""
    try:
        keep_pdf(Certificate.objects.get(number=number))
    except Exception:  # whatever one paper lacks, the others are made
        logger.exception("The PDF of certificate %s could not be made. It is tried again.", number)
        return False
    return True


def keep_pdf(certificate):
    """Compose the PDF from the frozen statement, sign and keep it, unless the whole of it is kept already.

    One that is torn or gone is composed again, with the signature that it had, and compared: the bytes that were issued
    take their place again, others, as of a later version of the register, are signed, kept beside them and told.
    """
    before = certificate.pdf.name or ""
    if default_storage.is_whole(before):
        return certificate
    composed = certificate_pdf(certificate)
    if before and _put_back(certificate, composed + _signature_of(certificate)):
        return certificate
    content = signed(composed, reason=f"Certificate {certificate.number}")
    certificate.pdf.save(f"{certificate.number}.pdf", ContentFile(content), save=False)
    kept = certificate.pdf.name
    try:
        is_recorded = _is_recorded(certificate, before, content, signature=content[len(composed) :])
    except KeyMissing:  # nothing was recorded, and it is tried every minute
        default_storage.delete(kept)
        raise
    if not is_recorded:  # somebody was quicker
        certificate.refresh_from_db(fields=["pdf"])
        default_storage.delete(kept)
    return certificate


def _signature_of(certificate):
    """The last bytes of the paper that was given out; none of one from before papers were signed."""
    paper = certificate.papers.last()
    return bytes(paper.signature) if paper else b""


@transaction.atomic
def _is_recorded(certificate, before, content, *, signature):
    kept = Certificate.objects.filter(pk=certificate.pk, pdf=before).update(pdf=certificate.pdf.name)
    if kept:
        paper = certificate.papers.create(sha256=hashlib.sha256(content).hexdigest(), signature=signature)
        enter(LedgerEntry.Kind.PAPER, paper)
    return bool(kept)


def _put_back(certificate, content):
    """Whether these are the bytes that were kept; then they lie under their name again."""
    try:
        default_storage.keep(certificate.pdf.name, content)
    except FileExistsError:
        logger.error(
            "The PDF of certificate %s is damaged or gone. Composed again from its statement it has other bytes than "
            "the one that was issued; a backup has that one (manage.py restore ARCHIVE --file %s).",
            certificate.number,
            certificate.pdf.name,
        )
        return False
    return True


def pdf_of(certificate):
    """The bytes of the PDF that was kept; of one that is missing or not whole they are made first."""
    try:
        return default_storage.read_whole(certificate.pdf.name) if certificate.pdf else _made(certificate)
    except NotWhole:
        return _made(certificate)


def _made(certificate):
    return default_storage.read_whole(keep_pdf(certificate).pdf.name)


def certificate_asked_for(certificate, asked):
    """The PDF that was kept, under the number of the certificate."""
    return Made(pdf_of(certificate), words=certificate.get_kind_display(), mark=certificate.number)
