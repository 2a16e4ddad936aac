"""Floor plans: the drawing of a storey in its revisions, and where on it each position hangs."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils import timezone

from sites_registry.history import kept_history
from sites_registry.models import Building
from sites_registry.models.versioned import Versioned
from sites_registry.words import storey_words
from zones.models.positions import Position
from zones.models.visibility import BuildingBoundQuerySet


class FloorPlanQuerySet(BuildingBoundQuerySet):
    def in_force(self):
        """The plan that counts of each storey."""
        return self.filter(is_in_force=True)

    def of_storey(self, building, storey):
        """Every revision of a storey's plan, the newest first."""
        return self.filter(building=building, storey=storey).order_by("-revision")


class FloorPlan(Versioned):
    """One revision of the plan of a storey. File and picture never change; a further revision takes its place."""

    building = models.ForeignKey(Building, models.PROTECT, related_name="floor_plans")
    storey = models.CharField(max_length=40, blank=True, help_text="As the positions name it.")
    revision = models.PositiveIntegerField(editable=False)
    is_in_force = models.BooleanField(default=True, editable=False)
    title = models.CharField("number or title of the drawing", max_length=120, blank=True)
    drawn_on = models.DateField("date of the drawing", null=True, blank=True)
    file = models.FileField(max_length=200, help_text="As it was uploaded.")
    file_name = models.CharField(max_length=200, editable=False)
    media_type = models.CharField(max_length=100, editable=False)
    sha256 = models.CharField(max_length=64, editable=False)
    page_number = models.PositiveIntegerField(null=True, blank=True, editable=False, help_text="Of a PDF.")
    picture = models.FileField(max_length=200, help_text="The plan as it is shown, upright.")
    picture_type = models.CharField(max_length=20, editable=False)
    width_px = models.PositiveIntegerField(editable=False)
    height_px = models.PositiveIntegerField(editable=False)
    added_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+", editable=False)
    added_at = models.DateTimeField(default=timezone.now, editable=False)

    objects = FloorPlanQuerySet.as_manager()
    history = kept_history()

    class Meta:
        ordering = ["building", "storey", "-revision"]
        constraints = [
            models.UniqueConstraint(
                fields=["building", "storey", "revision"], name="floor_plan_revision_once_per_storey"
            ),
            models.UniqueConstraint(
                fields=["building", "storey"],
                condition=Q(is_in_force=True),
                name="floor_plan_one_in_force_per_storey",
                violation_error_message="Another plan of this storey is in force already.",
            ),
            models.CheckConstraint(condition=Q(width_px__gt=0, height_px__gt=0), name="floor_plan_has_a_size"),
            models.CheckConstraint(
                condition=Q(page_number=None) | Q(page_number__gt=0), name="floor_plan_page_counts_from_one"
            ),
        ]

    def __str__(self):
        return f"Floor plan of {storey_words(self.storey) or 'no storey'}, revision {self.revision}"

    def get_absolute_url(self):
        return reverse("floor-plan-detail", args=[self.pk])

    @property
    def picture_url(self):
        return reverse("floor-plan-picture", args=[self.pk])


class PlanPlaceQuerySet(BuildingBoundQuerySet):
    building_path = "plan__building"

    def to_confirm(self):
        """Places carried over from an earlier revision that nobody has looked at on this one."""
        return self.filter(confirmed_at=None)

    def of_its_storey(self):
        """Places of positions in use that are of the storey of the plan by now."""
        return self.filter(position__retired_on=None, position__storey=models.F("plan__storey"))


class PlanPlace(Versioned):
    """Where a position hangs on one revision of a plan: parts of its width and height from the top left."""

    plan = models.ForeignKey(FloorPlan, models.PROTECT, related_name="places")
    position = models.ForeignKey(Position, models.PROTECT, related_name="plan_places")
    x = models.FloatField(help_text="0 at the left edge of the upright plan, 1 at the right.")
    y = models.FloatField(help_text="0 at the upper edge, 1 at the lower.")
    placed_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+", editable=False)
    placed_at = models.DateTimeField(default=timezone.now, editable=False)
    # Empty on a place that was carried over from an earlier revision.
    confirmed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+", editable=False
    )
    confirmed_at = models.DateTimeField(null=True, blank=True, editable=False)

    objects = PlanPlaceQuerySet.as_manager()
    history = kept_history()

    class Meta:
        ordering = ["plan", "position"]
        constraints = [
            models.UniqueConstraint(fields=["plan", "position"], name="plan_place_once_per_position"),
            models.CheckConstraint(
                condition=Q(x__gte=0, x__lte=1, y__gte=0, y__lte=1),
                name="plan_place_lies_on_the_plan",
                violation_error_message="The place lies beside the plan.",
            ),
            models.CheckConstraint(
                condition=Q(confirmed_by=None, confirmed_at=None)
                | Q(confirmed_by__isnull=False, confirmed_at__isnull=False),
                name="plan_place_is_confirmed_by_somebody",
            ),
        ]

    def __str__(self):
        return f"Place of {self.position} on {str(self.plan)[0].lower()}{str(self.plan)[1:]}"
