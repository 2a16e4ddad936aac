"""Jobs: an order of work at a building, the departures agreed for it, what was handed over."""

from django.db import models
from django.db.models import F, Q
from django.urls import reverse
from django.utils import timezone

from sites_registry.access import STAFF_ROLES
from sites_registry.history import kept_history
from sites_registry.models.buildings import Building
from sites_registry.models.people import Person
from sites_registry.models.versioned import Versioned


class JobQuerySet(models.QuerySet):
    def visible_to(self, user):
        """Jobs are the firm's business; a building manager sees visits and certificates instead."""
        if user.is_authenticated and user.role in STAFF_ROLES:
            return self.all()
        return self.none()

    def open(self):
        """Jobs not closed."""
        return self.filter(closed_on=None)

    def with_building(self):
        return self.select_related("building__client")


class Job(Versioned):
    """An order of work: new installation, extension, take-over, remedial work or service."""

    class Kind(models.TextChoices):
        NEW = "new", "new installation"
        EXTENSION = "extension", "extension"
        TAKE_OVER = "take_over", "take-over"
        REMEDIAL = "remedial", "remedial work"
        SERVICE = "service", "service"

    number = models.CharField(max_length=20, unique=True, editable=False)
    building = models.ForeignKey(Building, models.PROTECT, related_name="jobs")
    kind = models.CharField(max_length=16, choices=Kind)
    scope = models.TextField(max_length=2000, help_text="What is to be done, and what is not.")
    standard = models.CharField("standard named by the client", max_length=200, blank=True, help_text="With edition.")
    lead = models.ForeignKey(
        Person,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="jobs_led",
        limit_choices_to={"role": "engineer"},
    )
    label_language = models.CharField("language of the labels", max_length=40, blank=True)
    opened_on = models.DateField(default=timezone.localdate)
    closed_on = models.DateField(null=True, blank=True, editable=False)
    receipt_signed_by = models.CharField("papers received by", max_length=120, blank=True)
    receipt_signed_on = models.DateField("papers received on", null=True, blank=True)

    objects = JobQuerySet.as_manager()
    history = kept_history()

    class Meta:
        ordering = ["-opened_on", "-number"]
        constraints = [
            models.CheckConstraint(
                condition=Q(closed_on=None) | Q(closed_on__gte=F("opened_on")),
                name="job_closes_on_or_after_its_start",
                violation_error_message="A job cannot close before it was opened.",
            )
        ]

    def __str__(self):
        return self.number

    def get_absolute_url(self):
        return reverse("job-detail", args=[self.number])


class VariationQuerySet(models.QuerySet):
    def visible_to(self, user):
        return self.filter(building__in=Building.objects.visible_to(user))

    def standing(self):
        """Variations that still stand; each is repeated on every certificate until it is removed."""
        return self.filter(removed_on=None)


class Variation(Versioned):
    """An agreed departure from the standard named by the client: what, why, agreed by whom, when."""

    building = models.ForeignKey(Building, models.PROTECT, related_name="variations")
    job = models.ForeignKey(Job, models.PROTECT, null=True, blank=True, related_name="variations")
    what = models.CharField(max_length=400)
    why = models.CharField(max_length=400)
    agreed_by = models.CharField(max_length=200)
    agreed_on = models.DateField()
    removed_on = models.DateField("no longer stands since", null=True, blank=True)

    objects = VariationQuerySet.as_manager()
    history = kept_history()

    class Meta:
        ordering = ["agreed_on", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(removed_on=None) | Q(removed_on__gte=F("agreed_on")),
                name="variation_ends_on_or_after_its_start",
                violation_error_message="A variation cannot end before it was agreed.",
            )
        ]

    def __str__(self):
        return self.what

    def get_absolute_url(self):
        return self.building.get_absolute_url()


class HandedOverDocumentQuerySet(models.QuerySet):
    def visible_to(self, user):
        return self.filter(job__in=Job.objects.visible_to(user))


class HandedOverDocument(Versioned):
    """One paper given to the client at the end of a job."""

    class Kind(models.TextChoices):
        CERTIFICATE = "certificate", "certificate"
        DRAWINGS = "drawings", "as-installed drawings"
        SCHEDULES = "schedules", "device and terminal schedules"
        CAUSE_AND_EFFECT = "cause_and_effect", "cause-and-effect matrix"
        SETTINGS = "settings", "settings"
        INSTRUCTIONS = "instructions", "operating and maintenance instructions"
        DECLARATION = "declaration", "declaration of performance"
        LOG_BOOK = "log_book", "log book"
        TRAINING = "training", "training record"
        OTHER = "other", "other"

    job = models.ForeignKey(Job, models.PROTECT, related_name="handed_over")
    kind = models.CharField(max_length=20, choices=Kind)
    title = models.CharField(max_length=200)
    language = models.CharField(max_length=40, default="English")
    handed_over_on = models.DateField(default=timezone.localdate)
    handed_over_to = models.CharField(max_length=120)

    objects = HandedOverDocumentQuerySet.as_manager()
    history = kept_history()

    class Meta:
        ordering = ["handed_over_on", "pk"]

    def __str__(self):
        return self.title

    def get_absolute_url(self):
        return self.job.get_absolute_url()
