"""The certificate as PDF: composed from the frozen statement alone, with a code that leads to the public check."""

import io
import json
from datetime import date
from pathlib import Path

import segno
from django.conf import settings
from django.urls import reverse
from weasyprint import Attachment

from inspections.certificates.front_sheet import front_sheet
from inspections.ledger.entering import issue_of
from sites_registry.documents.base import TitleBlock, render_pdf

RECORD_VERSION = 1
SCHEMA = Path(__file__).with_name("certificate_record_1.json")


def check_address(certificate):
    """Where anybody handed the certificate can see whether it is genuine, and whether it was withdrawn."""
    return settings.PUBLIC_URL + reverse("certificate-check", args=[certificate.token])


def record_of(certificate):
    """The certificate for machines, by the published schema `certificate_record_1.json` beside this file."""
    entry = issue_of(certificate)
    return {
        "schema": settings.PUBLIC_URL + reverse("certificate-schema"),
        "record_version": RECORD_VERSION,
        "number": certificate.number,
        "statement": certificate.statement,
        "statement_sha256": certificate.digest_sha256,
        "check_address": check_address(certificate),
        "ledger": entry
        and {
            "entry": entry.number,
            "digest_sha256": entry.digest,
            "seal_ed25519": entry.seal,
            "public_key_ed25519": entry.public_key,
            "is_entered_later": entry.is_later,
        },
    }


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
        "ledger": issue_of(certificate),
    }
    record = Attachment(
        string=json.dumps(record_of(certificate), indent=1, sort_keys=True, ensure_ascii=False).encode(),
        name=f"{certificate.number}.json",
        description="The certificate in machine-readable form",
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
