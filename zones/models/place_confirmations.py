"""Proofs that the unit on record at a position is the one that hangs there: what tells identical units apart."""

from django.db import models
from django.db.models import Q
from django.utils import timezone

from sites_registry.models import Person
from zones.models.units import Fitting
from zones.models.visibility import BuildingBoundQuerySet


class PlaceConfirmationQuerySet(BuildingBoundQuerySet):
    building_path = "fitting__position__building"


class PlaceConfirmation(models.Model):
    """One confirmation of a fitting, never changed; another unit at the position is another fitting with its own."""

    class Method(models.TextChoices):
        SERIAL = "serial", "serial read at the place"
        OPERATED = "operated", "seen to move or report when its terminal was driven"

    fitting = models.ForeignKey(Fitting, models.PROTECT, related_name="place_confirmations")
    method = models.CharField(max_length=10, choices=Method)
    at = models.DateTimeField(default=timezone.now)
    by = models.ForeignKey(Person, models.PROTECT, related_name="+")
    note = models.CharField(max_length=300, blank=True)

    objects = PlaceConfirmationQuerySet.as_manager()

    class Meta:
        ordering = ["-at", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=~Q(method="operated") | ~Q(note=""),
                name="place_confirmation_by_operating_has_a_note",
                violation_error_message="Say which terminal was driven and what was seen.",
            )
        ]

    def __str__(self):
        return f"{self.fitting}: {self.get_method_display()}"
