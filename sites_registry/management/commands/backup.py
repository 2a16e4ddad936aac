from pathlib import Path

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError

from sites_registry.backups.archives import ArchiveRefused, check_archive
from sites_registry.backups.databases import DatabaseRefused, database_of
from sites_registry.backups.making import BackupRefused, forget_older, make_backup
from sites_registry.words import counted

REFUSALS = (ArchiveRefused, BackupRefused, DatabaseRefused)
KEYS = "Keys are in no backup: keep the secret key and those of ledger and papers in another place."


class Command(BaseCommand):
    help = "Copy database and files of the running register into a folder, or check such a copy."

    def add_arguments(self, parser):
        parser.add_argument("folder", nargs="?", default=settings.BACKUP_DIR, help="default: REGISTER_BACKUP_DIR")
        parser.add_argument("--whole", action="store_true", help="one archive with all files inside, to carry away")
        parser.add_argument("--keep", type=int, metavar="N", help="then remove all but the newest N archives")
        parser.add_argument("--check", metavar="ARCHIVE", help="make none; read all of this archive and compare")

    def handle(self, *, folder, whole, keep, check, **options):
        if keep is not None and keep < 1:
            raise CommandError(f"--keep is {keep}; expected 1 or more.")
        try:
            self.read_through(check) if check else self.back_up(Path(folder), whole, keep)
        except REFUSALS as refusal:
            raise CommandError(str(refusal)) from refusal

    def read_through(self, path):
        manifest = check_archive(path, database_of(settings.DATABASES["default"]))
        self.stdout.write(
            f"{path} is whole: {counted(manifest.rows, 'rows')} in {counted(len(manifest.tables), 'tables')}, "
            f"{counted(len(manifest.files), 'files')}, made {manifest.made_at}."
        )

    def back_up(self, folder, whole, keep):
        database = database_of(settings.DATABASES["default"])
        made = make_backup(database=database, media=settings.MEDIA_ROOT, folder=folder, whole=whole)
        size_mb = made.path.stat().st_size / 1_000_000
        self.stdout.write(
            f"{made.path} ({size_mb:.1f} MB): {counted(made.rows, 'rows')}, {counted(made.files, 'files')}, "
            f"{made.new_files} of them copied now. {KEYS}"
        )
        if keep:
            archives, files = forget_older(folder, keep)
            self.stdout.write(
                f"Removed: {counted(archives, 'archives')}, {counted(files, 'files')} that only those had."
            )
        if made.not_whole:
            raise CommandError(
                f"The backup was made, with {counted(len(made.not_whole), 'files')} of the register not whole:\n"
                + "\n".join(made.not_whole[:20])
            )
