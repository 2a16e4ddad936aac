"""The commissioning plan of a panel on a visit: how much of its cause and effect the test points cover."""

from django.db import models
from django.db.models import Q

from inspections.models.visits import Visit
from zones.models import ControlPanel
from zones.models.visibility import BuildingBoundQuerySet

PARTS = ("inputs", "rules", "pairs", "lines")


class CommissioningPlanQuerySet(BuildingBoundQuerySet):
    building_path = "visit__building"


class CommissioningPlan(models.Model):
    """The plan of one panel as it stood when the visit took it over; its steps are test points of the visit.

    `…_of` is how many there are by the rules; `not_covered` are sentences on what no step of the plan tries.
    """

    visit = models.ForeignKey(Visit, models.PROTECT, related_name="plans")
    panel = models.ForeignKey(ControlPanel, models.PROTECT, related_name="plans")
    inputs_of = models.PositiveIntegerField()
    rules_of = models.PositiveIntegerField()
    pairs_of = models.PositiveIntegerField()
    lines_of = models.PositiveIntegerField()
    resets = models.PositiveIntegerField()
    not_covered = models.JSONField(default=list, blank=True)
    made_at = models.DateTimeField()

    objects = CommissioningPlanQuerySet.as_manager()

    class Meta:
        ordering = ["visit", "panel__position__tag_key"]
        constraints = [
            models.UniqueConstraint(
                fields=["visit", "panel"],
                name="commissioning_plan_once_per_visit_and_panel",
                violation_error_message="This visit has the plan of this panel already.",
            )
        ]

    def __str__(self):
        return f"commissioning plan of {self.panel}"

    def get_absolute_url(self):
        return self.visit.get_absolute_url()


class PlannedStep(models.Model):
    """One step of a plan, frozen: where in the order it stands, what must not happen, what it tries."""

    plan = models.ForeignKey(CommissioningPlan, models.PROTECT, related_name="steps")
    test_point = models.OneToOneField("inspections.TestPoint", models.PROTECT, related_name="planned_step")
    number = models.PositiveSmallIntegerField()
    round = models.PositiveSmallIntegerField()
    phase = models.CharField(max_length=40)
    must = models.JSONField(default=list)
    must_not = models.JSONField(default=list)
    readings = models.JSONField(default=list)
    moves = models.JSONField(default=list, help_text="One after the other: do, must, must_not. Empty on older plans.")
    events = models.TextField(blank=True, help_text="From rest up to this step, for the simulator.")
    tries = models.JSONField(default=dict, help_text="Keys of inputs, rules, pairs and lines that it covers.")

    class Meta:
        ordering = ["plan", "number"]
        constraints = [
            models.UniqueConstraint(fields=["plan", "number"], name="planned_step_number_unique_per_plan"),
            models.CheckConstraint(condition=Q(number__gte=1), name="planned_step_number_from_one"),
        ]

    def __str__(self):
        return f"step {self.number}"

    @property
    def is_passed(self):
        """Whether the step was done and passed, with or without a remark."""
        result = self.test_point.latest_result
        return result is not None and result.outcome in ("pass", "remark")
