"""The worker that makes papers apart from what people wait for."""

import os
import time

from django.core.management.base import BaseCommand, CommandError
from django.db import close_old_connections

from inspections.certificates.papers import compose_what_lacks

LOOKS_EVERY_S = 2
AFTER_A_FAILURE_S = 60


class Command(BaseCommand):
    help = "Make the PDF of each issued certificate that has none yet. --watch goes on until its parent process ends."

    def add_arguments(self, parser):
        parser.add_argument("--watch", action="store_true", help="go on looking, beside the server that started it")

    def handle(self, *, watch, **options):
        if watch:
            return self.watch()
        made, failed = compose_what_lacks()
        if failed:
            raise CommandError(f"{made} made, {failed} not: the lines above say why. Start the command again.")
        self.stdout.write(f"{made} made; every certificate has its PDF.")

    def watch(self):
        os.nice(10)  # people go first
        parent = os.getppid()
        try:
            while os.getppid() == parent:
                close_old_connections()
                _made, failed = compose_what_lacks()
                time.sleep(AFTER_A_FAILURE_S if failed else LOOKS_EVERY_S)
        except KeyboardInterrupt:  # Ctrl-C in the window of the server is meant for both
            return
