"""The PDF of a certificate: made apart from the issue, kept, and made again where it is missing.

A certificate is issued once its row is stored. Whoever comes first makes its PDF: the worker (`compose_papers`) or the
first person who opens it. A disk that refuses it changes nothing of the certificate.
"""

import logging

from django.core.files.base import ContentFile

from inspections.certificates.document import certificate_pdf
from inspections.models import Certificate
from sites_registry.documents.papers import Made

logger = logging.getLogger(__name__)


def compose_what_lacks():
    """Make the PDF of each certificate that has none yet; returns (how many were made, how many failed)."""
    made = failed = 0
    for number in Certificate.objects.filter(pdf="").order_by("pk").values_list("number", flat=True):
        try:
            keep_pdf(Certificate.objects.get(number=number))
            made += 1
        except Exception:  # whatever one paper lacks, the others are made; it is tried again
            logger.exception("The PDF of certificate %s could not be made. It is tried again.", number)
            failed += 1
    return made, failed


def keep_pdf(certificate):
    """Compose the PDF from the frozen statement and keep it, unless the whole of it is kept already."""
    if not is_pdf_kept(certificate):
        before = certificate.pdf.name or ""
        certificate.pdf.save(f"{certificate.number}.pdf", ContentFile(certificate_pdf(certificate)), save=False)
        kept = certificate.pdf.name
        if not Certificate.objects.filter(pk=certificate.pk, pdf=before).update(pdf=kept):  # somebody was quicker
            certificate.refresh_from_db(fields=["pdf"])
            certificate.pdf.storage.delete(kept)
    return certificate


def certificate_asked_for(certificate, asked):
    """The PDF that was kept, under the number of the certificate."""
    with keep_pdf(certificate).pdf.open("rb") as file:
        return Made(file.read(), words=certificate.get_kind_display(), mark=certificate.number)


def is_pdf_kept(certificate):
    """Whether the whole file is there: a data folder may be restored without it, a full disk cuts it short."""
    try:
        with certificate.pdf.open("rb") as file:
            start, _ = file.read(5), file.seek(max(0, certificate.pdf.size - 32))
            return start == b"%PDF-" and b"%%EOF" in file.read()
    except (ValueError, FileNotFoundError):  # none was kept yet, or it is gone
        return False
