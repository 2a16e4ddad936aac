"""Which instruments a visit was made with, as their calibration stood when they were chosen."""

from django.db import models
from django.utils import timezone

from inspections.models.visits import Visit
from sites_registry.models import Instrument, Person
from zones.models.visibility import BuildingBoundQuerySet


class InstrumentUsedQuerySet(BuildingBoundQuerySet):
    building_path = "visit__building"


class InstrumentUsed(models.Model):
    """An instrument chosen for a visit; name, numbers, ranges and calibration are a copy from that moment."""

    visit = models.ForeignKey(Visit, models.PROTECT, related_name="instruments_used")
    instrument = models.ForeignKey(Instrument, models.PROTECT, related_name="uses")
    name = models.CharField(max_length=80)
    own_number = models.CharField(max_length=20)
    serial = models.CharField(max_length=60, blank=True)
    units = models.JSONField(default=list, help_text="Units of the readings that it takes.")
    calibrated_on = models.DateField(null=True, blank=True)
    calibration_due_on = models.DateField(null=True, blank=True)
    chosen_by = models.ForeignKey(Person, models.PROTECT, related_name="+")
    chosen_at = models.DateTimeField(default=timezone.now)

    objects = InstrumentUsedQuerySet.as_manager()

    class Meta:
        ordering = ["visit", "own_number"]
        verbose_name_plural = "instruments used"
        constraints = [
            models.UniqueConstraint(fields=["visit", "instrument"], name="instrument_used_once_per_visit"),
        ]

    def __str__(self):
        return f"{self.name} {self.own_number}"
