from pathlib import Path

from django.conf import settings
from django.core.management.base import BaseCommand

from inspections.certificates.signing_keys import chain_pem, new_pkcs12
from inspections.ledger.seals import new_key
from sites_registry.keys import write_key


class Command(BaseCommand):
    help = "Make the keys of ledger and papers where their settings say, unless they are there; print the root as PEM."

    def handle(self, **options):
        self.made("ledger", settings.LEDGER_KEY, new_key)
        self.made("papers", settings.SIGNING_PKCS12, new_pkcs12)
        self.stdout.write(chain_pem().decode())

    def made(self, word, path, make):
        if Path(path).exists():
            self.stderr.write(f"The key of the {word} is there: {path}")
        else:
            write_key(path, make())
            self.stderr.write(f"The key of the {word} is made: {path}. Keep a copy of it, apart from the data.")
