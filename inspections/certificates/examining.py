"""Is this file a certificate of ours, and unaltered? Told by its digest; else compared with the one that was kept."""

import fcntl
import hashlib
import json
import subprocess
import sys
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from django.conf import settings
from django.core.files.storage import default_storage

from inspections.certificates.papers import keep_pdf
from inspections.certificates.signing_keys import trust_roots
from inspections.models import Certificate, CertificatePaper
from sites_registry.models import KeptFile

PATIENCE_S = 40
MOST_MB = 20
UNREADABLE = "It took too long, or too much memory, to read. It is not as it was issued."


class Busy(Exception):
    """Another file is being read; ask again."""


@dataclass(frozen=True)
class Examined:
    """`certificate` is the one that the file is, or says it is; None where nothing says which.

    `differences` are sentences; a file without any is one that the register gave out, byte by byte.
    """

    certificate: Certificate | None
    differences: tuple[str, ...] = ()

    @property
    def is_ours(self):
        return self.certificate is not None and not self.differences


def examine(content, certificate=None):
    """What a file is. With `certificate` the one that its holder has in hand, it is compared with that one.

    Raises Busy.
    """
    digest = hashlib.sha256(content).hexdigest()
    if issued := _given_out_as(digest):
        return Examined(issued)
    certificate = certificate or _named_in(content)
    if certificate is None:
        return Examined(None, ("It names no certificate of this register.",))
    kept = default_storage.read_whole(keep_pdf(certificate).pdf.name)
    return Examined(certificate, tuple(_asked(content, kept) or [UNREADABLE]))


def _given_out_as(digest):
    """The certificate of which a paper with this digest was given out."""
    if paper := CertificatePaper.objects.filter(sha256=digest).select_related("certificate").first():
        return paper.certificate
    # From before papers were signed: the file is all that is known of it.
    kept = KeptFile.objects.filter(sha256=digest).values("name")
    return Certificate.objects.filter(pdf__in=kept).first()


def _named_in(content):
    """The certificate whose number the record attached to a file bears."""
    numbers = [name.removesuffix(".json") for name in _asked(content, b"") or []]
    return Certificate.objects.filter(number__in=numbers).first()


@contextmanager
def _alone():
    """One file at a time on this machine, so that strangers' files never hold more than one thread of the server."""
    with open(Path(settings.DATA_DIR) / ".examining", "w") as lock:
        try:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError as error:
            raise Busy("Another file is being compared just now.") from error
        yield


def _asked(given, kept):
    """What `comparing.py` says, in a process of its own; None where it came to no end. Raises Busy."""
    told = {"lengths": [len(given), len(kept)], "roots": [root.hex() for root in trust_roots()]}
    command = [sys.executable, "-m", "inspections.certificates.comparing"]
    try:
        with _alone():
            done = subprocess.run(  # noqa: S603
                command,
                input=json.dumps(told).encode() + b"\n" + given + kept,
                capture_output=True,
                timeout=PATIENCE_S,
                cwd=Path(settings.BASE_DIR),
            )
        return json.loads(done.stdout)
    except (subprocess.TimeoutExpired, ValueError):
        return None
