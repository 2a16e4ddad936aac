import json

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError

from sites_registry.logs import lines_of


class Command(BaseCommand):
    help = "Print what the log has of a failure, by the number that its page showed."

    def add_arguments(self, parser):
        parser.add_argument("--failure", metavar="NUMBER", required=True, help="such as F7K2-9QXM")

    def handle(self, *, failure, **options):
        found = list(lines_of(failure.strip().upper()))
        if not found:
            raise CommandError(f"The log in {settings.LOG_DIR} has nothing under {failure}.")
        for line in found:
            trace = line.pop("trace", "")
            self.stdout.write(json.dumps(line, ensure_ascii=False, indent=1))
            self.stdout.write(trace)
