import sys

from django.conf import settings
from django.core.files.storage import default_storage
from django.core.management.base import BaseCommand, CommandError

from sites_registry.backups.archives import Archive, ArchiveRefused
from sites_registry.backups.databases import DatabaseRefused, database_of
from sites_registry.backups.restoring import RestoreRefused, put_back, restore, what_hinders
from sites_registry.words import counted

REFUSALS = (ArchiveRefused, DatabaseRefused, RestoreRefused)


class Command(BaseCommand):
    help = "Restore a backup into an empty place, compared row by row and file by file, or one damaged file of it."

    def add_arguments(self, parser):
        parser.add_argument("archive")
        parser.add_argument("--yes", action="store_true", help="do not ask")
        parser.add_argument("--file", metavar="NAME", help="put back this file alone, into a register that runs")

    def handle(self, *, archive, yes, file, **options):
        try:
            if file:
                size_bytes = put_back(archive, file, default_storage)
                self.stdout.write(f"{file} is whole again ({size_bytes} bytes).")
            else:
                self.restore(archive, yes)
        except REFUSALS as refusal:
            raise CommandError(str(refusal)) from refusal

    def restore(self, path, yes):
        database, media = database_of(settings.DATABASES["default"]), settings.MEDIA_ROOT
        with Archive(path) as archive:
            manifest = archive.manifest
            if hindrance := what_hinders(archive, database, media):
                raise CommandError(hindrance)
        self.stdout.write(
            f"{path}, made {manifest.made_at}: {counted(manifest.rows, 'rows')} go into {database}, "
            f"{counted(len(manifest.files), 'files')} ({manifest.bytes_of_files / 1_000_000:.1f} MB) into {media}. "
            "Both are empty. Every row and file is compared afterwards."
        )
        if not yes and not self.is_wanted():
            raise CommandError("Nothing was restored.")
        restore(path, database=database, media=media)
        self.stdout.write(
            f"Restored: {counted(manifest.rows, 'rows')} in {counted(len(manifest.tables), 'tables')} and "
            f"{counted(len(manifest.files), 'files')}, all the same. Put the keys back before you start the "
            "register (make serve), which brings the database up to this version."
        )

    def is_wanted(self):
        if not sys.stdin.isatty():
            raise CommandError("Nobody is there to ask. Start it with --yes.")
        return input("Restore? [yes/no] ").strip().lower() == "yes"
