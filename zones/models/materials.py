"""What arrived for a job, against what its material list asks for."""

from django.db import models
from django.db.models import Q
from django.utils import timezone

from sites_registry.models import Job, Person
from zones.models.visibility import FirmQuerySet


class MaterialArrival(models.Model):
    """A quantity of one line of a job's material list that came in. Never changed: a mistake is corrected by a further
    entry, with a minus."""

    job = models.ForeignKey(Job, models.PROTECT, related_name="arrivals")
    line = models.CharField(max_length=200, help_text="Key of the line in the material list.")
    what = models.CharField(max_length=200, help_text="As the line read when it came.")
    quantity = models.IntegerField()
    arrived_on = models.DateField(default=timezone.localdate)
    note = models.CharField(max_length=120, blank=True, help_text="Delivery note, or why it is corrected.")
    recorded_by = models.ForeignKey(Person, models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(default=timezone.now, editable=False)

    objects = FirmQuerySet.as_manager()

    class Meta:
        ordering = ["job", "recorded_at", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=~Q(quantity=0) & Q(quantity__gte=-100_000, quantity__lte=100_000),
                name="material_arrival_is_a_quantity",
                violation_error_message="A quantity that came is from 1 to 100 000; a correction takes a minus.",
            ),
            models.CheckConstraint(
                condition=Q(quantity__gt=0) | ~Q(note=""),
                name="material_arrival_correction_has_a_note",
                violation_error_message="Say why the quantity is corrected.",
            ),
        ]

    def __str__(self):
        return f"{self.quantity} × {self.what}"

    def get_absolute_url(self):
        return self.job.get_absolute_url()
