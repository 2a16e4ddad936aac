"""Many certificates as one ZIP, with a list of contents that says what each file was when it was packed."""

import hashlib
import io
import logging
from functools import partial

from django.utils import timezone

from inspections.certificates.papers import pdf_of
from inspections.models import Certificate
from sites_registry.archives import send_zip
from sites_registry.downloads import file_name
from sites_registry.spreadsheets import csv_of

logger = logging.getLogger(__name__)

MOST = 2_000  # of one archive
AT_ONCE = 100  # read from the database
CONTENTS = "contents.csv"
HEADINGS = ("Number", "Kind", "Building", "Client", "Issued", "State", "Next due", "File", "SHA-256", "Note")
NOT_MADE = "Its PDF could not be made, so it is not in this archive. The log of the register says why."


def send_bundle(certificates):
    """The PDFs of these certificates and their list, sent while it is packed."""
    keys = list(certificates.order_by("building__name", "number").values_list("pk", flat=True))
    return send_zip(_entries(keys), f"certificates_{timezone.localdate()}.zip")


def _entries(keys):
    moment, contents = timezone.localtime(), []
    for certificate in _by_their_keys(keys):
        try:
            content = pdf_of(certificate)
        except Exception:  # the others are packed, and the list says what lacks
            logger.exception("Certificate %s is not in the archive that was asked for.", certificate.number)
            contents.append(_line(certificate, "", "", NOT_MADE))
            continue
        path = file_name(certificate.building, certificate.get_kind_display(), certificate.number, "pdf")
        contents.append(_line(certificate, path, hashlib.sha256(content).hexdigest(), ""))
        yield path, timezone.localtime(certificate.issued_at), partial(io.BytesIO, content)
    yield CONTENTS, moment, partial(io.BytesIO, csv_of(HEADINGS, contents))


def _by_their_keys(keys):
    """The certificates in this order, some at a time; a statement is read only where its PDF has to be made."""
    for first in range(0, len(keys), AT_ONCE):
        some = keys[first : first + AT_ONCE]
        found = Certificate.objects.with_building().defer("statement").in_bulk(some)
        yield from map(found.get, some)


def _line(certificate, *found):
    building = certificate.building
    return (
        certificate.number,
        certificate.get_kind_display(),
        building.name,
        building.client.name,
        certificate.issued_on,
        certificate.get_state_display(),
        certificate.next_due_on,
        *found,
    )
