"""A hand-over: who gave which papers and files to whom, and who confirmed that they came. Its files never change."""

from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils import timezone

from inspections.models.certificates import Certificate
from sites_registry.access import STAFF_ROLES
from sites_registry.models import Building, Job, Person
from zones.models import Attachment
from zones.models.languages import name_of
from zones.models.visibility import BuildingBoundQuerySet


class HandOverQuerySet(BuildingBoundQuerySet):
    def visible_to(self, user):
        """Of the buildings that this person may see; a manager sees what is put together and given, nothing before."""
        seen = super().visible_to(user)
        return seen if user.is_authenticated and user.role in STAFF_ROLES else seen.filter(handed_over_at__isnull=False)

    def with_people(self):
        return self.select_related("building__client", "job", "handed_over_by", "to", "received_by")

    def without_whole_file(self):
        """Given, and not composed as one PDF yet."""
        return self.filter(handed_over_at__isnull=False, whole_file="")

    def with_file_count(self):
        return self.annotate(file_count=models.Count("files"))


class HandOver(models.Model):
    """One act of handing over. It is given, and seen by the manager, once every file of it is put together."""

    building = models.ForeignKey(Building, models.PROTECT, related_name="hand_overs")
    job = models.ForeignKey(Job, models.PROTECT, related_name="hand_overs")
    to = models.ForeignKey(Person, models.PROTECT, related_name="+", verbose_name="handed over to")
    note = models.CharField(max_length=400, blank=True)
    missing = models.JSONField(default=list, blank=True)  # sentences: what was not there when it was handed over
    handed_over_by = models.ForeignKey(Person, models.PROTECT, related_name="+")
    begun_at = models.DateTimeField(default=timezone.now)
    handed_over_at = models.DateTimeField(null=True, blank=True)
    received_by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    received_at = models.DateTimeField(null=True, blank=True)
    # All of it in one PDF, composed by the worker once it was given, or by whoever opens it first.
    whole_file = models.FileField(upload_to="hand_overs", max_length=200, blank=True, editable=False)
    whole_sha256 = models.CharField(max_length=64, blank=True, editable=False)
    whole_size_bytes = models.PositiveBigIntegerField(null=True, blank=True, editable=False)
    whole_sheets = models.PositiveIntegerField(null=True, blank=True, editable=False)

    objects = HandOverQuerySet.as_manager()

    class Meta:
        ordering = ["-begun_at", "-pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["job"],
                condition=Q(handed_over_at=None),
                name="hand_over_one_in_the_making_per_job",
                violation_error_message="A hand-over of this job is being put together already.",
            ),
            models.CheckConstraint(
                condition=Q(received_at=None, received_by=None)
                | Q(received_at__isnull=False, received_by__isnull=False, handed_over_at__isnull=False),
                name="hand_over_is_received_by_somebody_after_it_was_given",
            ),
            models.CheckConstraint(
                condition=Q(whole_file="", whole_sha256="", whole_size_bytes=None, whole_sheets=None)
                | ~Q(whole_file="")
                & ~Q(whole_sha256="")
                & Q(whole_size_bytes__isnull=False, whole_sheets__isnull=False, handed_over_at__isnull=False),
                name="hand_over_file_is_kept_with_its_digest_once_it_was_given",
            ),
        ]

    def __str__(self):
        if self.handed_over_at is None:
            return f"Hand-over of {self.job}"
        return f"Hand-over of {timezone.localtime(self.handed_over_at):%-d %b %Y}"

    def get_absolute_url(self):
        return reverse("hand-over-detail", args=[self.pk])


class HandOverFileQuerySet(BuildingBoundQuerySet):
    building_path = "hand_over__building"

    def put_together(self):
        return self.exclude(sha256="")

    def still_to_do(self):
        return self.filter(sha256="")


class HandOverFile(models.Model):
    """One file of a hand-over: a paper composed for it, a certificate, or a file that was kept with a record."""

    class Folder(models.TextChoices):
        """Where it lies in the archive, in the order in which papers are filed."""

        CERTIFICATES = "certificates", "Certificates and reports"
        DRAWINGS = "drawings", "Drawings"
        SCHEDULES = "schedules", "Schedules"
        CAUSE_AND_EFFECT = "cause_and_effect", "Cause and effect"
        SETTINGS = "settings", "Settings"
        DECLARATIONS = "declarations", "Declarations"
        MANUALS = "manuals", "Manuals"
        LABELS = "labels", "Labels"
        OTHER = "other", "Other files"

    hand_over = models.ForeignKey(HandOver, models.PROTECT, related_name="files")
    number = models.PositiveSmallIntegerField()
    folder = models.CharField(max_length=20, choices=Folder)
    title = models.CharField(max_length=240)
    language = models.CharField(max_length=8, blank=True)
    paper = models.CharField(max_length=80, blank=True)  # key in the registry of papers, and of what it is
    certificate = models.ForeignKey(Certificate, models.PROTECT, null=True, blank=True, related_name="+")
    attachment = models.ForeignKey(Attachment, models.PROTECT, null=True, blank=True, related_name="+")
    file = models.FileField(upload_to="hand_overs", max_length=200, blank=True)
    file_name = models.CharField(max_length=240)
    media_type = models.CharField(max_length=100)
    size_bytes = models.PositiveIntegerField(null=True, blank=True)
    sha256 = models.CharField(max_length=64, blank=True)

    objects = HandOverFileQuerySet.as_manager()

    class Meta:
        ordering = ["hand_over", "number"]
        constraints = [
            models.UniqueConstraint(fields=["hand_over", "number"], name="hand_over_file_number_is_used_once"),
            models.UniqueConstraint(
                fields=["hand_over", "folder", "file_name"], name="hand_over_file_name_is_used_once"
            ),
            models.CheckConstraint(
                condition=~Q(paper="") & Q(certificate=None, attachment=None)
                | Q(paper="", certificate__isnull=False, attachment=None)
                | Q(paper="", certificate=None, attachment__isnull=False),
                name="hand_over_file_has_one_source",
            ),
            models.CheckConstraint(
                condition=Q(sha256="", size_bytes=None) | ~Q(sha256="") & ~Q(file="") & Q(size_bytes__isnull=False),
                name="hand_over_file_has_its_digest_with_its_bytes",
            ),
        ]

    def __str__(self):
        return self.title

    def get_absolute_url(self):
        return reverse("hand-over-file", args=[self.hand_over_id, self.pk])

    @property
    def language_words(self):
        return name_of(self.language)

    @property
    def path(self):
        """Folder and name in the archive."""
        return f"{self.get_folder_display()}/{self.file_name}"
