"""Wiring declared complete: until somebody says so, what is not yet recorded is not known rather than wrong."""

from django.db import models
from django.db.models import Q

from sites_registry.models import Person


class DeclaredComplete(models.Model):
    """A part of an installation whose wiring a named person declares to be recorded completely."""

    wiring_complete_on = models.DateField("wiring declared complete on", null=True, blank=True, editable=False)
    wiring_complete_by = models.ForeignKey(
        Person,
        models.PROTECT,
        null=True,
        blank=True,
        editable=False,
        related_name="+",
        verbose_name="wiring declared complete by",
    )

    class Meta:
        abstract = True
        constraints = [
            models.CheckConstraint(
                condition=Q(wiring_complete_on=None, wiring_complete_by=None)
                | Q(wiring_complete_on__isnull=False, wiring_complete_by__isnull=False),
                name="%(class)s_declared_complete_by_somebody",
                violation_error_message="Say both who declared the wiring complete and when.",
            )
        ]

    @property
    def is_declared_complete(self):
        return self.wiring_complete_on is not None
