"""What `test_killed.py` kills: one act of the register again and again, each told on a line once it is done.

    python -m tests.trials.acts issue|compose|upload|back_up

The register is that of REGISTER_DATA_DIR.
"""

import hashlib
import os
import sys

import django

NEWEST = 12


def issue():
    from django.utils import timezone

    from inspections.certificates.issue import issue_certificate
    from inspections.models import Visit
    from inspections.standing_matters.matters import RecordRead

    visit = Visit.objects.get()
    given = {"issued_on": timezone.localdate(), "scope": "All of it.", "capacity": "authorised person"}
    while True:
        certificate = issue_certificate(
            visit=visit, issued_by=visit.engineer, again=True, record=RecordRead((), ()), **given
        )
        yield certificate.number


def compose():
    """Those without a PDF are made; then the files of the newest are taken away, as after a loss, and are made again.

    Not of all: by the end of the trial there are hundreds, and it would spend its hours on them.
    """
    from inspections.certificates import papers
    from inspections.models import Certificate

    papers.FEWEST = 1
    while True:
        before = set(Certificate.objects.filter(pdf="").values_list("number", flat=True))
        papers.compose_what_lacks()
        yield from before
        newest = Certificate.objects.order_by("-pk").values_list("pk", flat=True)[:NEWEST]
        Certificate.objects.filter(pk__in=list(newest)).update(pdf="")


def upload():
    from django.test import Client

    from inspections.models import Visit
    from tests.zones.files.test_attachment_pages import send

    visit, client = Visit.objects.get(), Client(headers={"host": "localhost"})
    client.force_login(visit.engineer)
    while True:
        content = os.urandom(300_000).hex().encode()
        response = send(client, "building", visit.building, name="readings.txt", content=content)
        assert response.status_code == 302, response.status_code
        yield hashlib.sha256(content).hexdigest()


def back_up():
    from django.conf import settings

    from sites_registry.backups.databases import database_of
    from sites_registry.backups.making import make_backup

    database = database_of(settings.DATABASES["default"])
    while True:
        yield make_backup(
            database=database, media=settings.MEDIA_ROOT, folder=settings.DATA_DIR / "backups", whole=False
        ).path


ACTS = {act.__name__: act for act in (issue, compose, upload, back_up)}

if __name__ == "__main__":
    django.setup()
    for line in ACTS[sys.argv[1]]():
        print(line, flush=True)
