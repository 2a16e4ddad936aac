"""The count of changes by which an edit that began before somebody else's is found stale."""

from django.db import models

from sites_registry.models.checked_at_once import CheckedAtOnce


class Versioned(CheckedAtOnce):
    """A record that counts its changes: whoever saves it again raises `row_version`, nobody else does.

    `uncounted_fields` may be saved by name without counting: they are no edit of the record. A bulk update calls
    `count_change` on each record and stores `row_version` with the rest.
    """

    row_version = models.PositiveIntegerField(default=0, editable=False)

    uncounted_fields = frozenset()

    class Meta:
        abstract = True

    def save(self, *args, update_fields=None, **kwargs):
        if not self._state.adding and self._counts(update_fields):
            self.count_change()
            update_fields = update_fields and {*update_fields, "row_version"}
        super().save(*args, update_fields=update_fields, **kwargs)

    def count_change(self):
        self.row_version += 1

    def count_from(self, number):
        """Go on with the count of a record that was taken away and is made anew, so that the two are told apart."""
        self.row_version = number

    def _counts(self, update_fields):
        return update_fields is None or not self.uncounted_fields.issuperset(update_fields)
