from django.core.management.base import BaseCommand

from inspections.ledger.entering import enter_what_lacks, head


class Command(BaseCommand):
    help = "Enter in the ledger what happened before there was one, as entered later. Look at verify_register first."

    def add_arguments(self, parser):
        parser.add_argument("--if-empty", action="store_true", help="only where nothing is entered yet: at an upgrade")

    def handle(self, *, if_empty, **options):
        if if_empty and head():
            return
        if entered := enter_what_lacks():
            self.stdout.write(f"{entered} entered in the ledger, as entered later. Its head is {head().short}.")
