"""What of the work apart from pages stands still."""

from datetime import timedelta
from pathlib import Path

from django.conf import settings
from django.core.exceptions import ImproperlyConfigured
from django.db import DatabaseError
from django.utils import timezone

from inspections.certificates.signing_keys import signer
from inspections.ledger.entering import head
from inspections.ledger.seals import keys_of_the_register
from inspections.models import Certificate, CertificatePaper, HandOver, LedgerEntry, Verification
from sites_registry.deployment_checks import Worth, Wrong
from sites_registry.words import counted
from zones.models import ProofToMake

LONGEST_WAIT = timedelta(minutes=10)
LONGEST_UNPROVED = timedelta(days=2)


def papers():
    """What waits for its PDF, or for its proof, longer than the worker would let it."""
    since = timezone.now() - LONGEST_WAIT
    waiting = {
        ("certificates", "a PDF"): Certificate.objects.filter(pdf="", issued_at__lt=since),
        ("hand-overs", "a PDF"): HandOver.objects.without_whole_file().filter(handed_over_at__lt=since),
        ("panels", "a proof of their rules"): ProofToMake.objects.filter(asked_at__lt=since),
    }
    try:
        counts = {words: found.count() for words, found in waiting.items()}
    except DatabaseError:
        return
    for (word, what), count in counts.items():
        if count:
            yield Wrong(
                f"{counted(count, word)} still without {what} after ten minutes: the worker does not run.",
                "make serve starts it; manage.py compose_papers makes them now.",
            )


def evidence():
    """Whether the register proved its evidence of late, and found it whole."""
    try:
        last, has_entries = Verification.objects.first(), LedgerEntry.objects.exists()
    except DatabaseError:
        return
    if last and last.faults_count:
        yield Wrong(
            f"The last verification found {counted(last.faults_count, 'broken links')}: {last.faults[0]}",
            "Keep the database as it is and compare it with the last backup; Office → Evidence lists them.",
        )
    elif has_entries and (last is None or last.ran_at < timezone.now() - LONGEST_UNPROVED):
        yield Worth(
            "The evidence was not verified in the last two days.",
            "Let cron run manage.py verify_register each night (DEVELOPERS.md).",
        )


def keys_of_evidence():
    """Whether the keys are there with which the ledger was sealed and papers were signed. It makes none."""
    for ask in (_ledger_key, _signing_key):
        try:
            yield from ask()
        except ImproperlyConfigured as error:
            yield Wrong("A key of the register is missing or cannot be used.", str(error))
        except DatabaseError:
            return


def _ledger_key():
    last = head()
    if last and last.public_key not in keys_of_the_register():
        yield Wrong(
            "The key of the ledger is not the one that sealed its last entry.",
            "Put that one back from where its copy is kept. If it was changed on purpose, name the public key of the "
            f"former one: REGISTER_LEDGER_FORMER_KEYS={last.public_key}",
        )


def _signing_key():
    if CertificatePaper.objects.exists():
        signer()
    return ()


def keys_beside_the_data():
    """Whether whoever takes the data away has the keys as well, with which altered evidence could be sealed anew."""
    data = Path(settings.DATA_DIR).resolve()
    named = {"REGISTER_LEDGER_KEY": settings.LEDGER_KEY, "REGISTER_SIGNING_PKCS12": settings.SIGNING_PKCS12}
    beside = [name for name, path in named.items() if Path(path).is_file() and data in Path(path).resolve().parents]
    if beside:
        yield Worth(
            f"The keys of {' and '.join(beside)} lie in the data folder: who has it can seal other data.",
            "Move them to a folder of this account alone on another disk, and name them by those settings.",
        )


AT_START = (keys_of_evidence,)
CHECKS = (papers, evidence, keys_of_evidence, keys_beside_the_data)
