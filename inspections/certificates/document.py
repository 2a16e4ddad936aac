"""The certificate as PDF: composed from the frozen statement alone, with a code that leads to the public check."""

import io
import json
from datetime import date
from pathlib import Path

import segno
from django.conf import settings
from django.urls import reverse

from inspections.certificates.sheets import sheets_of, signature_of
from inspections.ledger.entering import issue_of
from sites_registry.documents.base import TitleBlock
from sites_registry.documents.blocks import code, runs
from sites_registry.documents.signatures import svg_of_paths
from sites_registry.documents.typeset import breakable, typeset_pdf
from sites_registry.models import Firm

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


def qr_svg(text):
    """A QR code (ISO/IEC 18004, error correction M) as SVG bytes."""
    picture = io.BytesIO()
    segno.make(text, error="m", micro=False).save(picture, kind="svg", border=2)
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
        firm=Firm(name=statement["firm"]["name"], logo=statement["firm"].get("logo", "")),
    )
    heading = f"{statement['kind'].capitalize()}{', limited' if statement['is_limited'] else ''}"
    data = {
        "heading": heading,
        "lead": runs(
            breakable(f"of natural smoke control in {statement['building']['name']}, number "),
            code(statement["number"]),
        ),
        "check_address": check_address(certificate),
        "blocks": sheets_of(statement, digest=certificate.digest_sha256, entry=issue_of(certificate)),
    }
    record = {
        "name": f"{certificate.number}.json",
        "text": json.dumps(record_of(certificate), indent=1, sort_keys=True, ensure_ascii=False),
        "description": "The certificate in machine-readable form",
    }
    pictures = {"check.svg": qr_svg(check_address(certificate))}
    if drawn := signature_of(statement):
        pictures["signature.svg"] = svg_of_paths(**drawn)
    return typeset_pdf(
        "inspections/certificates/certificate_paper.typ",
        data,
        title_block=title_block,
        created_at=certificate.issued_at,
        pictures=pictures,
        attachments=[record],
    )
