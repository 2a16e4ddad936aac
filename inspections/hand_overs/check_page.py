"""The page that goes with a hand-over: opened from a disk, years later, it compares files with those handed over.

It needs neither the register nor a network. What it holds is sealed with the key of the ledger, so that a page whose
list was rewritten tells so in a browser that knows Ed25519.
"""

import hashlib
import json
from pathlib import Path

from django.conf import settings
from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.formats import date_format

from inspections.ledger.seals import seal_of
from sites_registry.models import Firm

NAME = "check-these-files.html"
SCRIPT = Path(settings.BASE_DIR, "sites_registry", "static", "js", "stand_alone_check.js")
WHOLE = "Hand-over file, all documents in one"


def check_page(hand_over, *, beside):
    """The bytes of the page; `beside` names what lies in the archive and is none of the files handed over.

    Raises KeyMissing where the key of the ledger is gone.
    """
    given = json.dumps(_given(hand_over) | {"beside": [NAME, *beside]}, ensure_ascii=True, sort_keys=True).replace(
        "<", "\\u003c"
    )
    seal, public_key = seal_of(hashlib.sha256(given.encode()).hexdigest())
    context = {
        "hand_over": hand_over,
        "firm": Firm.current(),
        "given": given,
        "seal": seal,
        "public_key": public_key,
        "script": SCRIPT.read_text(encoding="utf-8"),
        "address": settings.PUBLIC_URL + hand_over.get_absolute_url(),
    }
    return render_to_string("inspections/hand_overs/check_page.html", context).encode()


def _given(hand_over):
    files = [
        {"path": one.path, "title": one.title, "sha256": one.sha256, "bytes": one.size_bytes}
        for one in hand_over.files.put_together()
    ]
    if hand_over.whole_sha256:
        whole = {"path": "", "sha256": hand_over.whole_sha256, "bytes": hand_over.whole_size_bytes}
        files.append(whole | {"title": WHOLE})
    given_at = timezone.localtime(hand_over.handed_over_at)
    return {
        "building": hand_over.building.name,
        "job": hand_over.job.number,
        "handed_over": date_format(given_at, "j M Y"),
        "files": files,
    }
