import shutil

from django.conf import settings
from django.core.management.base import BaseCommand

from sites_registry.deployment_checks import what_is_wrong
from sites_registry.environment import not_set
from sites_registry.mail import mail_is_sent
from sites_registry.models import Person

A_MOMENTS_WORK_BYTES = 4 * 1024 * 1024  # what the write-ahead log and one photo may take
# What a person may want to set, and what happens without.
UNSET = {
    "REGISTER_PUBLIC_URL": "links and printed codes lead to the address above, which other machines may not reach",
    "REGISTER_BEHIND_TLS": "passwords travel unencrypted; right for this machine alone, or behind HTTPS set it to 1",
    "REGISTER_EMAIL_URL": "no mail is sent; the office is shown each link, to hand it over itself",
    "REGISTER_FROM_EMAIL": f"mails come from {settings.DEFAULT_FROM_EMAIL}, which most mail servers refuse",
    "DATABASE_URL": "SQLite is used, which is right for one machine",
}


class Command(BaseCommand):
    help = "Say at the start what the register stands on: address, mail, database, data folder, what is not set."

    def handle(self, **options):
        self.try_the_disk()
        for word, text in self.lines():
            self.stdout.write(f"  {word:<12} {text}")
        unset = not_set()
        for name, consequence in UNSET.items():
            if name in unset and not (name == "REGISTER_FROM_EMAIL" and not mail_is_sent()):
                self.stdout.write(f"  not set      {name}: {consequence}")
        for one in what_is_wrong("AT_START"):
            self.stdout.write(f"  {one.mark} {one.what} {one.remedy}")

    def try_the_disk(self):
        """Write and remove a file: a full or read-only disk is told now, not at somebody's first entry."""
        probe = settings.DATA_DIR / "mail" / "room_on_the_disk"
        try:
            probe.write_bytes(bytes(A_MOMENTS_WORK_BYTES))
        finally:
            probe.unlink(missing_ok=True)

    def lines(self):
        yield "address", f"{settings.PUBLIC_URL} (in mails, on labels and certificates)"
        yield "answers to", ", ".join(settings.ALLOWED_HOSTS)
        yield "mail", self.mail()
        yield "database", self.database()
        free_gb = shutil.disk_usage(settings.DATA_DIR).free / 1e9
        yield "data folder", f"{settings.DATA_DIR} ({free_gb:.1f} GB free; this account and its group read it)"
        people = Person.objects.filter(is_active=True).count()
        yield "log-ins", str(people) if people else "none yet: make the first one with `make first-log-in`"

    def mail(self):
        if mail_is_sent():
            return f"through {settings.EMAIL_HOST}:{settings.EMAIL_PORT}, from {settings.DEFAULT_FROM_EMAIL}"
        return "not sent"

    def database(self):
        database = settings.DATABASES["default"]
        if database["ENGINE"].endswith("sqlite3"):
            return f"SQLite, {database['NAME']}"
        port = f":{database['PORT']}" if database["PORT"] else ""
        return f"PostgreSQL, {database['NAME']} at {database['HOST'] or 'this machine'}{port}"
