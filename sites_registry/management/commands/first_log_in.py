import sys
from getpass import getpass

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError
from django.core.validators import validate_email
from django.db import transaction

from sites_registry.models import Person


class Command(BaseCommand):
    help = (
        "Ask for name, e-mail and password, and make an office log-in with support access. Everybody else is invited."
    )

    def handle(self, **options):
        if not sys.stdin.isatty():
            raise CommandError("This command asks for a name and a password, so it needs a terminal.")
        self.stdout.write("The first log-in: office staff, with support access. Ctrl-C leaves without making one.")
        full_name = self.ask(input, "Name: ", self.checked_name)
        email = self.ask(input, "E-mail: ", self.checked_email)
        likely = Person(email=email, full_name=full_name)
        password = self.ask(
            getpass, "Password (12 characters or more): ", lambda typed: self.checked_password(typed, likely)
        )
        with transaction.atomic():
            Person.objects.create_superuser(email, password, full_name=full_name)
        self.stdout.write(f"{email} can log in now. Start the register with `make serve`, if it does not run yet.")

    def ask(self, read, question, check):
        """Ask until the answer passes; there is no way round a check."""
        while True:
            try:
                return check(read(question))
            except ValidationError as error:
                self.stderr.write(" ".join(error.messages))
            except EOFError as error:
                raise CommandError("Nothing was answered; no log-in was made.") from error

    def checked_name(self, typed):
        name = typed.strip()
        Person._meta.get_field("full_name").clean(name, None)
        return name

    def checked_email(self, typed):
        email = typed.strip().lower()
        validate_email(email)
        if Person.objects.filter(email=email).exists():
            raise ValidationError(f"{email} has a log-in already.")
        return email

    def checked_password(self, typed, likely):
        validate_password(typed, likely)
        if getpass("The same password again: ") != typed:
            raise ValidationError("The two passwords are not the same.")
        return typed
