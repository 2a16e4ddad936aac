"""What somebody accepted as it stands, with the reason: it stands until the matter changes or it is taken back."""

from django.db import models
from django.db.models import Q
from django.utils import timezone

from sites_registry.append_only import ONCE
from sites_registry.models import Building, Job, Person
from zones.models.visibility import BuildingBoundQuerySet


class AcceptedMatterQuerySet(BuildingBoundQuerySet):
    def standing(self):
        """Those that nobody took back; whether the matter is still the same is asked when what stands is computed."""
        return self.filter(taken_back_at=None)


class AcceptedMatter(models.Model):
    """One matter as it read when a person accepted it.

    `digest_sha256` is that of kind, subject and words: a matter that reads otherwise is another one, asked again.
    """

    class Kind(models.TextChoices):
        WIRING = "wiring", "wiring"
        DESIGN = "design", "design check"
        SETTINGS = "settings", "settings not compared"
        DOCUMENTS = "documents", "documents missing"
        VISITS = "visits", "open visits of the job"
        CONTRADICTIONS = "contradictions", "answers that contradict each other"

    building = models.ForeignKey(Building, models.PROTECT, related_name="accepted_matters")
    job = models.ForeignKey(Job, models.PROTECT, related_name="accepted_matters")
    kind = models.CharField(max_length=16, choices=Kind)
    about = models.CharField(max_length=200)
    words = models.TextField()
    digest_sha256 = models.CharField(max_length=64)
    reason = models.CharField("why it is accepted", max_length=400)
    accepted_by = models.ForeignKey(Person, models.PROTECT, related_name="+")
    accepted_at = models.DateTimeField(default=timezone.now)
    taken_back_at = models.DateTimeField(null=True, blank=True)
    taken_back_by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")

    objects = AcceptedMatterQuerySet.as_manager()
    may_change = dict.fromkeys(("taken_back_at", "taken_back_by"), ONCE)

    class Meta:
        ordering = ["-accepted_at", "-pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["building", "digest_sha256"],
                condition=Q(taken_back_at=None),
                name="accepted_matter_stands_once_per_building",
            ),
            models.CheckConstraint(
                condition=~Q(reason=""),
                name="accepted_matter_has_a_reason",
                violation_error_message="Say why it is accepted as it stands.",
            ),
            models.CheckConstraint(
                condition=~Q(kind="contradictions"),
                name="accepted_matter_is_no_contradiction",
                violation_error_message="Answers that contradict each other are settled, not accepted.",
            ),
            models.CheckConstraint(
                condition=Q(taken_back_at=None, taken_back_by=None)
                | Q(taken_back_at__isnull=False, taken_back_by__isnull=False),
                name="accepted_matter_is_taken_back_by_somebody",
            ),
        ]

    def __str__(self):
        return f"{self.about}: accepted by {self.accepted_by}"
