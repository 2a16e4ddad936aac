from pathlib import Path

from django.core.management.base import BaseCommand, CommandError

from inspections.certificates.examining import Busy, examine
from inspections.certificates.issue import is_intact
from inspections.certificates.standing import standing_of, with_standing
from inspections.models import Certificate


class Command(BaseCommand):
    help = "Say of a PDF whether it is a certificate of this register, unaltered, and how that stands today."

    def add_arguments(self, parser):
        parser.add_argument("file", type=Path)

    def handle(self, *, file, **options):
        try:
            content = file.read_bytes()
        except OSError as error:
            raise CommandError(f"{file} cannot be read: {error.strerror}.") from error
        try:
            examined = examine(content)
        except Busy as error:
            raise CommandError(f"{error} Start the command again.") from error
        if not examined.is_ours:
            of = f"It says that it is certificate {examined.certificate}. " if examined.certificate else ""
            raise CommandError(f"Altered, or not ours. {of}" + " ".join(examined.differences))
        certificate = with_standing(Certificate.objects.select_related("visit")).get(pk=examined.certificate.pk)
        if not is_intact(certificate):
            raise CommandError(f"The file was given out as {certificate}; its row was altered since: verify_register.")
        self.stdout.write(f"Certificate {certificate}: ours and unaltered; {standing_of(certificate).words}.")
