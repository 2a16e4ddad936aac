"""Numbers without gaps: taken in the transaction that uses them, given back when it fails."""

from django.db import transaction

from sites_registry.models import Counter


def next_number(*, series):
    """Take the next number of a series. Call it inside the transaction that stores the number."""
    if not transaction.get_connection().in_atomic_block:
        raise RuntimeError("next_number() needs a transaction, else a failure would leave a gap.")
    Counter.objects.get_or_create(series=series)
    # The row lock (PostgreSQL) or the immediate transaction (SQLite) makes a second taker wait.
    counter = Counter.objects.select_for_update().get(series=series)
    counter.last_number += 1
    counter.save(update_fields=["last_number"])
    return counter.last_number


def count_on_from(*, series, number):
    """Let a series go on behind a number that was given elsewhere. Call it inside the transaction that stores it."""
    Counter.objects.get_or_create(series=series)
    Counter.objects.filter(series=series, last_number__lt=number).update(last_number=number)
