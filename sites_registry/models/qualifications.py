"""What a person is trained for, until when, and by which evidence."""

from django.db import models
from django.db.models import F, Q
from django.urls import reverse

from sites_registry.history import kept_history
from sites_registry.models.instruments import StaffQuerySet
from sites_registry.models.people import Person
from sites_registry.models.versioned import Versioned


class Qualification(Versioned):
    """One training or appointment of one person; its evidence is kept with it as a file."""

    class Subject(models.TextChoices):
        SERVICE = "service", "inspection and service of smoke control"
        COMMISSIONING = "commissioning", "commissioning of smoke control"
        LIVE = "live", "work near live parts"
        HEIGHT = "height", "work at height"
        OTHER = "other", "other"

    person = models.ForeignKey(Person, models.PROTECT, related_name="qualifications")
    subject = models.CharField("trained for", max_length=16, choices=Subject)
    title = models.CharField("training or appointment", max_length=160, help_text="What it is called, and by whom.")
    obtained_on = models.DateField("since")
    valid_until = models.DateField("until", null=True, blank=True, help_text="Empty: it does not lapse.")
    notes = models.CharField(max_length=400, blank=True)

    objects = StaffQuerySet.as_manager()
    history = kept_history()

    class Meta:
        ordering = ["subject", "-obtained_on"]
        constraints = [
            models.CheckConstraint(
                condition=Q(valid_until=None) | Q(valid_until__gte=F("obtained_on")),
                name="qualification_ends_on_or_after_its_start",
                violation_error_message="It cannot lapse before it was obtained.",
            ),
            models.CheckConstraint(
                condition=Q(subject__in=["service", "commissioning", "live", "height", "other"]),
                name="qualification_subject_known",
                violation_error_message="Choose from the list what the person is trained for.",
            ),
        ]

    def __str__(self):
        return f"{self.title} ({self.get_subject_display()})"

    def get_absolute_url(self):
        return reverse("qualification-detail", args=[self.pk])
