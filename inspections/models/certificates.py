"""Certificates: numbered, frozen, issued by a person; in force, superseded or revoked."""

import secrets

from django.db import models
from django.db.models import Q
from django.urls import reverse

from inspections.models.visits import Visit
from sites_registry.append_only import AT_WILL, ONCE, leaving
from sites_registry.models import Building, Person
from sites_registry.states import key_and_word
from zones.models.visibility import BuildingBoundQuerySet


def new_token():
    """An address for the public check that nobody guesses (128 bits)."""
    return secrets.token_urlsafe(16)


class CertificateQuerySet(BuildingBoundQuerySet):
    def in_force(self):
        return self.filter(state=Certificate.State.IN_FORCE)

    def with_building(self):
        return self.select_related("building__client", "issued_by", "visit")


class Certificate(models.Model):
    """A frozen copy of what was recorded; nothing that changes later changes what it says."""

    class Kind(models.TextChoices):
        COMMISSIONING = "commissioning", "commissioning certificate"
        INSPECTION = "inspection", "inspection certificate"

    class State(models.TextChoices):
        IN_FORCE = key_and_word("in_force")
        SUPERSEDED = key_and_word("superseded")
        REVOKED = key_and_word("revoked")

    number = models.CharField(max_length=12, unique=True)
    kind = models.CharField(max_length=16, choices=Kind)
    building = models.ForeignKey(Building, models.PROTECT, related_name="certificates")
    visit = models.ForeignKey(Visit, models.PROTECT, related_name="certificates")
    state = models.CharField(max_length=12, choices=State, default=State.IN_FORCE)
    is_limited = models.BooleanField("limited", default=False)
    statement = models.JSONField()
    digest_sha256 = models.CharField(max_length=64)
    token = models.CharField(max_length=40, unique=True, default=new_token)
    issued_by = models.ForeignKey(Person, models.PROTECT, related_name="certificates_issued")
    issued_on = models.DateField()
    issued_at = models.DateTimeField()
    next_due_on = models.DateField(null=True, blank=True)
    supersedes = models.OneToOneField("self", models.PROTECT, null=True, blank=True, related_name="superseded_by")
    revoked_at = models.DateTimeField(null=True, blank=True)
    revoked_by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    revoked_reason = models.CharField(max_length=400, blank=True)
    submission_key = models.UUIDField(null=True, blank=True, unique=True, editable=False)
    pdf = models.FileField(upload_to="certificates", max_length=200, blank=True)

    objects = CertificateQuerySet.as_manager()
    may_change = {
        "state": leaving("in_force"),
        **dict.fromkeys(("revoked_at", "revoked_by", "revoked_reason"), ONCE),
        "pdf": AT_WILL,
    }

    class Meta:
        ordering = ["-issued_on", "-number"]
        constraints = [
            models.UniqueConstraint(
                fields=["building", "kind"], condition=Q(state="in_force"), name="certificate_one_in_force_per_kind"
            ),
            models.CheckConstraint(
                condition=~Q(state="revoked") | (Q(revoked_at__isnull=False) & ~Q(revoked_reason="")),
                name="certificate_revoked_has_a_reason",
                violation_error_message="Say why the certificate is revoked.",
            ),
        ]
        indexes = [models.Index(fields=["building", "kind", "-issued_on"], name="certificate_building_kind")]

    def __str__(self):
        return self.number

    def get_absolute_url(self):
        return reverse("certificate-detail", args=[self.number])
