"""The certificate as PDF: composed from the frozen statement alone, with a code that leads to the public check."""

import io
import json
from datetime import date

import segno
from django.conf import settings
from django.urls import reverse
from weasyprint import Attachment

from inspections.certificates.front_sheet import front_sheet
from sites_registry.documents.base import TitleBlock, render_pdf


def check_address(certificate):
    """Where anybody handed the certificate can see whether it is genuine, and whether it was withdrawn."""
    return settings.PUBLIC_URL + reverse("certificate-check", args=[certificate.token])


def qr_png(text):
    """A QR code (ISO/IEC 18004, error correction M) as PNG bytes."""
    picture = io.BytesIO()
    segno.make(text, error="m", micro=False).save(picture, kind="png", scale=8, border=2)
    return picture.getvalue()


def certificate_pdf(certificate):
    """The bytes of the PDF; the statement itself is attached as JSON, so that it can be read without us."""
    statement = certificate.statement
    title_block = TitleBlock(
        title=statement["kind"].capitalize(),
        number=statement["number"],
        building=statement["building"]["name"],
        client=statement["client"]["name"],
        issued_on=date.fromisoformat(statement["issued_on"]),
        revision="limited" if statement["is_limited"] else "",
        prepared_by=statement["signatures"][0]["name"],
        issued_by=statement["signatures"][-1]["name"],
        address=check_address(certificate),
        owner=statement["firm"]["name"],
    )
    context = {
        "statement": statement,
        "front": front_sheet(statement),
        "digest": certificate.digest_sha256,
        "check_address": check_address(certificate),
    }
    record = Attachment(
        string=json.dumps(statement, indent=1, sort_keys=True, ensure_ascii=False).encode(),
        name=f"{certificate.number}.json",
        description="The statement in machine-readable form",
        relationship="Source",
        created=certificate.issued_at,
        modified=certificate.issued_at,
    )
    return render_pdf(
        "inspections/certificates/certificate_paper.html",
        context,
        title_block=title_block,
        created_at=certificate.issued_at,
        pictures={"check.png": qr_png(check_address(certificate))},
        attachments=[record],
    )
