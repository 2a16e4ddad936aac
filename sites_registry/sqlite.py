"""SQLite keeps a write-ahead log: readers do not wait for the writer. The mode is stored in the file."""

from django.db.models.signals import post_migrate
from django.dispatch import receiver


@receiver(post_migrate, dispatch_uid="sites_registry.write_ahead_log")
def set_write_ahead_log(sender, using, **kwargs):
    """Set once after migrating; at each connect it fails now and then when several processes start together."""
    from django.db import connections

    connection = connections[using]
    if connection.vendor == "sqlite" and not connection.is_in_memory_db() and not connection.in_atomic_block:
        with connection.cursor() as cursor:
            cursor.execute("PRAGMA journal_mode=WAL")
