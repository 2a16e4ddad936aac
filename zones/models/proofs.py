"""What was proven of a panel's rules, kept with the rules it was proven of; and what still waits to be proven."""

from django.db import models
from django.db.models import Q
from django.utils import timezone

from zones.models.panels import ControlPanel, PanelBoundQuerySet


class KeptProof(models.Model):
    """One proof of one revision of a panel's rules: computed once, the same on any machine, never changed.

    `digest` covers all that it rests on: rules with their names, what is asked of them, the program that proves.
    `behaviour` covers what the rules do, so that revisions that do the same are known as such.
    """

    panel = models.ForeignKey(ControlPanel, models.PROTECT, related_name="kept_proofs")
    digest = models.CharField(max_length=64)
    behaviour = models.CharField(max_length=64)
    rules = models.JSONField()
    found = models.JSONField()
    states = models.PositiveIntegerField()
    made_at = models.DateTimeField(default=timezone.now)

    objects = PanelBoundQuerySet.as_manager()
    may_change = {}

    class Meta:
        ordering = ["panel", "-pk"]
        constraints = [
            models.UniqueConstraint(fields=["panel", "digest"], name="kept_proof_of_one_revision_is_made_once"),
        ]

    def __str__(self):
        return f"proof of {self.made_at:%-d %b %Y}"


class ProofToMake(models.Model):
    """A proof that somebody asked for and that is too long to wait for: how far the worker is with it."""

    panel = models.OneToOneField(ControlPanel, models.PROTECT, related_name="proof_to_make")
    digest = models.CharField(max_length=64)
    asked_at = models.DateTimeField(default=timezone.now)
    begun_at = models.DateTimeField(null=True, blank=True)
    failed_at = models.DateTimeField(null=True, blank=True)
    parts_done = models.PositiveIntegerField(default=0)
    parts = models.PositiveIntegerField(default=0)
    states = models.PositiveIntegerField(default=0)

    objects = PanelBoundQuerySet.as_manager()

    class Meta:
        ordering = ["asked_at", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(parts_done__lte=models.F("parts")), name="proof_to_make_has_no_more_parts_done_than_parts"
            ),
        ]

    def __str__(self):
        return f"proof of {self.panel} on its way"
