from pathlib import Path

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError

from inspections.certificates.signing_keys import chain_pem, new_pkcs12, signed_so_far
from inspections.ledger.seals import former_keys, new_key, sealed_so_far
from sites_registry.keys import write_key


class Command(BaseCommand):
    help = "Make the keys of ledger and papers where their settings say, unless they are there; print the root as PEM."

    def add_arguments(self, parser):
        parser.add_argument(
            "--anew", action="store_true", help="in the place of one that was used and is lost for good"
        )

    def handle(self, *, anew, **options):
        self.made("ledger", settings.LEDGER_KEY, new_key, "" if anew else sealed_so_far())
        if settings.SIGNING_PKCS11:
            self.stderr.write(f"Papers are signed by the token {settings.SIGNING_TOKEN!r}, which keeps its key.")
        else:
            self.made("papers", settings.SIGNING_PKCS12, new_pkcs12, "" if anew else signed_so_far())
        if anew and (former := former_keys()):
            self.stderr.write(f"What is sealed stays good with: REGISTER_LEDGER_FORMER_KEYS={','.join(former)}")
        self.stdout.write(chain_pem().decode())

    def made(self, word, path, make, rests):
        if Path(path).exists():
            self.stderr.write(f"The key of the {word} is there: {path}")
        elif rests:
            raise CommandError(
                f"The key of the {word} is missing: {path}; {rests}. Put it back from where its copy is kept. If it is "
                "lost for good, --anew makes another, which the papers and entries made before do not bear."
            )
        else:
            write_key(path, make())
            self.stderr.write(f"The key of the {word} is made: {path}. Keep a copy of it, apart from the data.")
