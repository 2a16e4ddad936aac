"""The worker that makes papers and sends mails apart from what people wait for."""

import logging
import os
import time

from django.core.files.storage import default_storage
from django.core.management.base import BaseCommand, CommandError
from django.db import close_old_connections

from inspections.certificates.papers import compose_what_lacks, is_made
from inspections.hand_overs.whole_file import compose_whole_files
from inspections.models import Certificate
from inspections.notices.gathering import gather
from sites_registry.mail import mail_is_sent
from sites_registry.services.outbox import send_waiting
from zones.cause_and_effect.kept_proofs import make_a_proof_that_waits

logger = logging.getLogger(__name__)

LOOKS_EVERY_S = 2
AFTER_A_FAILURE_S = 60
GATHERS_EVERY_S = 60


class Command(BaseCommand):
    help = (
        "Make the PDF of each issued certificate that has none yet, go on with hand-overs that were begun, make the "
        "file of those that were given, and the proof of a panel's rules that somebody waits for. --watch goes on "
        "until its parent process ends."
    )

    def add_arguments(self, parser):
        parser.add_argument("--only", nargs="+", metavar="NUMBER", help="the PDFs of these certificates, nothing else")
        parser.add_argument("--watch", action="store_true", help="go on looking, beside the server that started it")

    def handle(self, *, watch, only, **options):
        if watch:
            return self.watch()
        made, failed = self.compose_only(only) if only else self.compose()
        if failed:
            raise CommandError(f"{made} made, {failed} not: the lines above say why. Start the command again.")
        self.stdout.write(f"{made} made." if only else f"{made} made; every certificate and hand-over has its PDF.")

    def compose(self):
        made = compose_what_lacks(), compose_whole_files(), make_a_proof_that_waits()
        return sum(one for one, _ in made), sum(failed for _, failed in made)

    def compose_only(self, numbers):
        known = set(Certificate.objects.filter(number__in=numbers).values_list("number", flat=True))
        if unknown := [number for number in numbers if number not in known]:
            raise CommandError(f"No certificate has the number {', '.join(unknown)}; none was made.")
        made = sum(map(is_made, numbers))
        return made, len(numbers) - made

    def mail(self):
        """Gather what is to be told once a minute, send what waits. A register that sends no mail gathers nothing."""
        if not mail_is_sent():
            return
        try:
            if time.monotonic() - self.gathered_at > GATHERS_EVERY_S:
                gather()
                self.gathered_at = time.monotonic()
            send_waiting()
        except Exception:  # a mail is never the reason that a paper is not made
            logger.exception("The mails could not be gathered or sent. It is tried again.")

    def watch(self):
        self.gathered_at = -GATHERS_EVERY_S
        default_storage.clear_away_what_was_killed()
        os.nice(10)  # people go first
        parent = os.getppid()
        try:
            while os.getppid() == parent:
                close_old_connections()
                _made, failed = self.compose()
                self.mail()
                time.sleep(AFTER_A_FAILURE_S if failed else LOOKS_EVERY_S)
        except KeyboardInterrupt:  # Ctrl-C in the window of the server is meant for both
            return
