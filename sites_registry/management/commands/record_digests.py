from django.conf import settings
from django.core.management.base import BaseCommand
from django.db import transaction

from sites_registry.models import KeptFile
from sites_registry.whole_files import record_digests
from sites_registry.words import counted


class Command(BaseCommand):
    help = (
        "Record size and SHA-256 of each kept file that has none on record, as after files were put back by hand. "
        "What is recorded this way is marked as recorded later: the register cannot say what the file was before."
    )

    @transaction.atomic
    def handle(self, **options):
        count = record_digests(KeptFile.objects, settings.MEDIA_ROOT)
        self.stdout.write(f"{counted(count, 'files')} recorded." if count else "Every kept file has its digest.")
