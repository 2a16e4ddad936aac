"""As-installed revisions: the record of a building as it stood when a job closed, frozen."""

import hashlib
import json

from django.db import models
from django.db.models import Q
from django.urls import reverse

from sites_registry.models import Building, Job, Person
from zones.models.visibility import BuildingBoundQuerySet


class FrozenRevision(Exception):
    """A revision is a copy of what stood then: it is neither changed nor deleted."""


def digest_of(record):
    """SHA-256 over the record in one fixed spelling, in hexadecimal."""
    text = json.dumps(record, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()


class AsInstalledRevisionQuerySet(BuildingBoundQuerySet):
    def without_record(self):
        """Revisions for a list: the record itself can be some hundred kilobytes and stays in the database."""
        return self.defer("record")

    def update(self, **fields):
        raise FrozenRevision("An as-installed revision cannot be changed. Take a further one.")

    def delete(self):
        raise FrozenRevision("An as-installed revision cannot be deleted.")


class AsInstalledRevision(models.Model):
    """What was fitted, wired and set in a building at one moment: a plain copy, compared with what stands now."""

    building = models.ForeignKey(Building, models.PROTECT, related_name="as_installed_revisions")
    number = models.PositiveIntegerField()
    job = models.ForeignKey(Job, models.PROTECT, null=True, blank=True, related_name="as_installed_revisions")
    reason = models.CharField(max_length=200)
    taken_at = models.DateTimeField()
    taken_by = models.ForeignKey(Person, models.PROTECT, related_name="+")
    record = models.JSONField()
    digest = models.CharField(max_length=64)

    objects = AsInstalledRevisionQuerySet.as_manager()
    may_change = {}

    class Meta:
        ordering = ["building", "-number"]
        constraints = [
            models.UniqueConstraint(
                fields=["building", "number"],
                name="as_installed_revision_number_unique_per_building",
                violation_error_message="This building has a revision of this number already.",
            ),
            models.CheckConstraint(condition=Q(number__gte=1), name="as_installed_revision_number_from_one"),
            models.CheckConstraint(
                condition=~Q(reason=""),
                name="as_installed_revision_has_a_reason",
                violation_error_message="Say why the revision is taken.",
            ),
        ]

    def __str__(self):
        return f"revision {self.number}"

    def save(self, *args, **kwargs):
        if not self._state.adding:
            raise FrozenRevision("An as-installed revision cannot be changed. Take a further one.")
        self.digest = digest_of(self.record)
        super().save(*args, **kwargs)

    def get_absolute_url(self):
        return reverse("as-installed-revision", args=[self.building.slug, self.number])

    def delete(self, *args, **kwargs):
        raise FrozenRevision("An as-installed revision cannot be deleted.")

    @property
    def is_unaltered(self):
        """Whether the record still is what was stored: a change behind the register's back shows."""
        return digest_of(self.record) == self.digest

    @property
    def standing_acts(self):
        """What is stated of it and not withdrawn: nothing, a check, or a check and an approval."""
        standing = []
        for act in sorted(self.acts.all(), key=lambda one: one.number):
            if act.kind == act.Kind.WITHDRAWAL:
                standing.pop()
            else:
                standing.append(act)
        return standing

    @property
    def state(self):
        """Key of a state: not_checked, only_checked or approved."""
        return ("not_checked", "only_checked", "approved")[len(self.standing_acts)]
