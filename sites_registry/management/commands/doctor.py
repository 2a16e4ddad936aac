import json

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError

from sites_registry.deployment_checks import Worth, what_is_wrong
from sites_registry.logs import lines_of
from sites_registry.words import counted


class Command(BaseCommand):
    help = "Say what is wrong with this deployment and what to do, or what the log has of a failure."

    def add_arguments(self, parser):
        parser.add_argument("--failure", metavar="NUMBER", help="as its page showed it, such as F7K2-9QXM")

    def handle(self, *, failure, **options):
        if failure:
            return self.tell_failure(failure.strip().upper())
        found = list(what_is_wrong())
        for one in found:
            self.stdout.write(f"{one.mark} {one.what}\n    {one.remedy}")
        wrong = [one for one in found if not isinstance(one, Worth)]
        if wrong:
            raise CommandError(f"{counted(len(wrong), 'things')} to put right.")
        self.stdout.write("Nothing is wrong.")

    def tell_failure(self, number):
        found = list(lines_of(number))
        if not found:
            raise CommandError(f"The log in {settings.LOG_DIR} has nothing under {number}.")
        for line in found:
            trace = line.pop("trace", "")
            self.stdout.write(json.dumps(line, ensure_ascii=False, indent=1))
            self.stdout.write(trace)
