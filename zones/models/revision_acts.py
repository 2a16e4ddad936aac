"""What people state of as-installed revisions: that they checked one, that they approved it, that this is withdrawn."""

from django.db import models
from django.db.models import Q
from django.utils import timezone

from sites_registry.models import Person
from zones.models.as_installed import AsInstalledRevision
from zones.models.visibility import BuildingBoundQuerySet


class RevisionActQuerySet(BuildingBoundQuerySet):
    building_path = "revision__building"


class RevisionAct(models.Model):
    """One statement of one person. What stands follows from all of a revision, in the order of their numbers.

    Capacity and competence are those of that day. A withdrawal takes back the last statement that stands.
    """

    class Kind(models.TextChoices):
        CHECK = "check", "checked"
        APPROVAL = "approval", "approved"
        WITHDRAWAL = "withdrawal", "withdrawn"

    revision = models.ForeignKey(AsInstalledRevision, models.PROTECT, related_name="acts")
    number = models.PositiveIntegerField()
    kind = models.CharField(max_length=16, choices=Kind)
    by = models.ForeignKey(Person, models.PROTECT, related_name="+")
    capacity = models.CharField(max_length=40)
    competence = models.CharField(max_length=340, blank=True)
    remark = models.CharField(max_length=400, blank=True)
    why_alone = models.CharField("why nobody else checks it", max_length=400, blank=True)
    at = models.DateTimeField(default=timezone.now)

    objects = RevisionActQuerySet.as_manager()
    may_change = {}

    class Meta:
        ordering = ["revision", "number"]
        verbose_name = "statement on a revision"
        verbose_name_plural = "statements on revisions"
        constraints = [
            models.UniqueConstraint(
                fields=["revision", "number"],
                name="revision_act_number_unique_per_revision",
                violation_error_message="Somebody else stated something of this revision at the same moment.",
            ),
            models.CheckConstraint(condition=Q(number__gte=1), name="revision_act_number_from_one"),
            models.CheckConstraint(
                condition=~Q(kind="withdrawal") | ~Q(remark=""),
                name="revision_act_withdrawal_has_a_reason",
                violation_error_message="Say why it is withdrawn.",
            ),
            models.CheckConstraint(
                condition=Q(kind="check") | Q(why_alone=""),
                name="revision_act_why_alone_is_of_a_check",
            ),
        ]

    def __str__(self):
        return f"{self.revision}: {self.get_kind_display()} by {self.by}"
