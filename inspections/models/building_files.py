"""Files of whole buildings that somebody of the office looks at before this register takes the building over."""

from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils import timezone

from sites_registry.access import Role
from sites_registry.models import Building, Person


class BuildingFileQuerySet(models.QuerySet):
    def visible_to(self, user):
        """Taking a building over is the office's work."""
        return self.all() if user.is_authenticated and user.role == Role.OFFICE else self.none()

    def without_content(self):
        """Without the file itself, for lists."""
        return self.defer("content")


class BuildingFile(models.Model):
    """An uploaded file with all records of a building; `content` (zlib) is let go once the building was taken over."""

    name = models.CharField(max_length=200)
    sha256 = models.CharField(max_length=64)
    content = models.BinaryField()
    uploaded_by = models.ForeignKey(Person, models.PROTECT, related_name="+")
    uploaded_at = models.DateTimeField(default=timezone.now)
    building = models.OneToOneField(
        Building, models.PROTECT, null=True, blank=True, related_name="taken_over_from", editable=False
    )
    taken_over_by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    taken_over_at = models.DateTimeField(null=True, blank=True)

    objects = BuildingFileQuerySet.as_manager()

    class Meta:
        ordering = ["-uploaded_at"]
        constraints = [
            models.CheckConstraint(
                condition=Q(building=None, taken_over_by=None, taken_over_at=None)
                | Q(building__isnull=False, taken_over_by__isnull=False, taken_over_at__isnull=False),
                name="building_file_taken_over_by_somebody_at_a_moment",
            )
        ]

    def __str__(self):
        return self.name

    def get_absolute_url(self):
        return reverse("building-file-detail", args=[self.pk])
