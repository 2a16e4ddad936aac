"""What of the work apart from pages stands still."""

from datetime import timedelta

from django.db import DatabaseError
from django.utils import timezone

from inspections.models import Certificate
from sites_registry.deployment_checks import Wrong
from sites_registry.words import counted

LONGEST_WAIT = timedelta(minutes=10)


def papers():
    """Certificates that wait for their PDF longer than the worker would let them."""
    waiting = Certificate.objects.filter(pdf="", issued_at__lt=timezone.now() - LONGEST_WAIT)
    try:
        count = waiting.count()
    except DatabaseError:
        return
    if count:
        yield Wrong(
            f"{counted(count, 'certificates')} still without a PDF after ten minutes: the worker does not run.",
            "make serve starts it; manage.py compose_papers makes them now.",
        )


CHECKS = (papers,)
