from django.core.management.base import BaseCommand

from inspections.protocols.edits import install_standard_protocols


class Command(BaseCommand):
    help = (
        "Publish the standard protocol of each kind of visit that has none, or an earlier edition of it. What "
        "the office made its own stays. Run again, it changes nothing."
    )

    def handle(self, **options):
        made = install_standard_protocols()
        for protocol in made:
            self.stdout.write(f"{protocol}: {protocol.checks.count()} checks")
        if not made:
            self.stdout.write("Every kind of visit has a protocol already. Nothing was changed.")
