from django.core.management.base import BaseCommand, CommandError

from inspections.verification.running import verify_register


class Command(BaseCommand):
    help = "Prove ledger, rows and papers whole, or name the first broken link. Nightly, by cron; changes nothing."

    def handle(self, **options):
        run = verify_register()
        for word, number in run.looked_at.items():
            self.stdout.write(f"  {number:>8,} {word}")
        self.stdout.write(f"Looked at in {run.took_s:.1f} s. Head of the ledger: {run.ledger_head or 'no entry yet'}.")
        if not run.faults_count:
            self.stdout.write("Whole: nothing differs.")
            return
        more = run.faults_count - len(run.faults)
        told = [f"First broken link: {run.faults[0]}", *run.faults[1:], *([f"… and {more} more"] if more else [])]
        raise CommandError(f"{run.faults_count} not whole.\n" + "\n".join(told))
