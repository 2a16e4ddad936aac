"""What every builder stands on."""

import itertools
from datetime import timedelta

from django.utils import timezone

count = itertools.count(1)


def small_number():
    """A number for a small-integer column: the count of a whole run of tests outgrows it."""
    return next(count) % 32_000 + 1


def save(record):
    """Save a valid record; its constraints are left to the database, which holds them: asking twice takes twice."""
    record.full_clean(validate_unique=False, validate_constraints=False)
    record.save()
    return record


def days_ago(days):
    """So many days ago at this hour by the clock of the register, over a change of summer time too."""
    return timezone.localtime() - timedelta(days=days)
