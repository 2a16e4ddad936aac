"""Heads of the ledger that were told before: on each paper, and by each verification. The chain still has them all.

Whoever owns database and key can make the whole chain anew; it then ends otherwise than papers and former runs say.
"""

import io
import json
from collections import Counter as Tally

import pikepdf
from django.core.files.storage import default_storage

from inspections.models import Certificate, LedgerEntry, Verification
from inspections.verification.checks import Fault, Known
from sites_registry.whole_files import NotWhole

OTHER = "the chain was made anew, or cut"


def check_heads(looked_at: Tally, known: Known):
    """Each head that was told stands in the chain, at its number."""
    digests = dict(LedgerEntry.objects.values_list("number", "digest"))
    for run in Verification.objects.exclude(ledger_head="").order_by("pk").iterator(chunk_size=500):
        looked_at["heads told"] += 1
        number, _, begin = run.ledger_head.partition("-")
        if not digests.get(int(number), "").startswith(begin):
            yield Fault(f"Head of the ledger {run.ledger_head}", f"verified on {run.ran_at:%Y-%m-%d}, but {OTHER}")
    for certificate in Certificate.objects.exclude(pdf="").defer("statement").order_by("pk").iterator(chunk_size=500):
        told = _told_on(certificate)
        if told is None:
            continue
        looked_at["heads told"] += 1
        if digests.get(told["entry"]) != told["digest_sha256"]:
            yield Fault(
                f"Paper of certificate {certificate}", f"it bears entry {told['entry']} of the ledger, but {OTHER}"
            )


def _told_on(certificate):
    """The entry told in the record attached to a paper; None without one, or of a file that check_files tells."""
    try:
        content = default_storage.read_whole(certificate.pdf.name)
        with pikepdf.open(io.BytesIO(content)) as pdf:
            record = json.loads(pdf.attachments[f"{certificate.number}.json"].get_file().read_bytes())
    except (NotWhole, OSError, KeyError, ValueError, pikepdf.PdfError):
        return None
    return record.get("ledger")
