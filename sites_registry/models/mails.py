"""Mails that the register sends, each with its fate."""

from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils import timezone

from sites_registry.access import Role
from sites_registry.models.people import Person
from sites_registry.states import key_and_word


class MailQuerySet(models.QuerySet):
    def visible_to(self, user):
        """The office sees to it that mails arrive."""
        return self.all() if user.is_authenticated and user.role == Role.OFFICE else self.none()

    def to_send(self):
        """Those whose time has come, the oldest first."""
        return self.filter(state=Mail.State.QUEUED, next_try_at__lte=timezone.now()).order_by("queued_at", "pk")


class Mail(models.Model):
    """One mail to one address. What opens something (the link of an invitation) is never kept in `body`."""

    class State(models.TextChoices):
        QUEUED = key_and_word("queued")
        SENT = key_and_word("sent")
        FAILED = key_and_word("failed")

    class Kind(models.TextChoices):
        DIGEST = "digest", "digest"
        IMPAIRED = "impaired", "impairment"
        INVITATION = "invitation", "invitation"

    kind = models.CharField(max_length=12, choices=Kind)
    person = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="mails_to")
    address = models.EmailField(max_length=254)
    subject = models.CharField(max_length=200)
    body = models.TextField()
    state = models.CharField(max_length=8, choices=State, default=State.QUEUED)
    queued_at = models.DateTimeField("made", default=timezone.now)
    next_try_at = models.DateTimeField(default=timezone.now)
    tries = models.PositiveSmallIntegerField(default=0)
    sent_at = models.DateTimeField(null=True, blank=True)
    reason = models.CharField(max_length=300, blank=True, help_text="Why the last try failed.")

    objects = MailQuerySet.as_manager()

    class Meta:
        ordering = ["-queued_at", "-pk"]
        indexes = [models.Index(fields=["state", "next_try_at"], name="mail_to_send")]
        constraints = [
            models.CheckConstraint(
                condition=Q(state="sent", sent_at__isnull=False) | (~Q(state="sent") & Q(sent_at=None)),
                name="mail_sent_at_a_moment",
            )
        ]

    def __str__(self):
        return self.subject

    def get_absolute_url(self):
        return reverse("mail-detail", args=[self.pk])
