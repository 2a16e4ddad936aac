"""Imports of device lists: an uploaded table on its way into a building, checked in steps and applied once."""

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.urls import reverse
from django.utils import timezone

from sites_registry.access import Role
from sites_registry.models import Building
from sites_registry.states import key_and_word


class ImportRunQuerySet(models.QuerySet):
    def visible_to(self, user):
        """Imports are the office's work."""
        if user.is_authenticated and user.role == Role.OFFICE:
            return self.all()
        return self.none()

    def without_tables(self):
        """Without the large columns, for lists."""
        return self.defer("sheets", "results")


class ImportRun(models.Model):
    """One uploaded file and how far it got. Nothing of the building changes before it is applied."""

    class State(models.TextChoices):
        MAPPING = key_and_word("mapping")
        CHECKING = key_and_word("checking")
        CHECKED = key_and_word("checked")
        APPLIED = key_and_word("applied")

    building = models.ForeignKey(Building, models.PROTECT, related_name="import_runs")
    started_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    started_at = models.DateTimeField(default=timezone.now)
    file_name = models.CharField(max_length=200)
    sha256 = models.CharField(max_length=64)
    state = models.CharField(max_length=12, choices=State, default=State.MAPPING)
    # Counts up when the check begins anew, so that a chunk checked for an earlier mapping is not taken.
    version = models.PositiveIntegerField(default=0)
    # [{"name": …, "rows": [[row number, [cells]]], "remarks": […]}]
    sheets = models.JSONField(default=list)
    sheet_index = models.PositiveSmallIntegerField(default=0)
    header_row = models.PositiveIntegerField(default=1)
    column_keys = models.JSONField(default=list, blank=True)
    total_rows = models.PositiveIntegerField(default=0)
    checked_rows = models.PositiveIntegerField(default=0)
    # One entry per checked row, as of RowPlan.as_result().
    results = models.JSONField(default=list, blank=True)
    applied_at = models.DateTimeField(null=True, blank=True)
    applied_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+")

    objects = ImportRunQuerySet.as_manager()

    class Meta:
        ordering = ["-started_at", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(checked_rows__lte=F("total_rows")), name="import_run_checks_no_more_rows_than_it_has"
            ),
            models.CheckConstraint(
                condition=Q(state="applied", applied_at__isnull=False) | ~Q(state="applied"),
                name="import_run_applied_at_a_time",
            ),
        ]

    def __str__(self):
        return self.file_name

    def get_absolute_url(self):
        return reverse("import-run-detail", args=[self.building.slug, self.pk])

    @property
    def sheet(self):
        return self.sheets[self.sheet_index]
