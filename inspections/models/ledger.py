"""The ledger: what happened to evidence, in one chain in which each entry vouches for all before it."""

from django.db import models
from django.db.models import Q
from django.utils import timezone


class LedgerEntry(models.Model):
    """One link. `digest` covers all that stands in it and the digest of the one before; `seal` covers the digest."""

    class Kind(models.TextChoices):
        ISSUE = "issue", "certificate issued"
        SUPERSESSION = "supersession", "certificate superseded"
        REVOCATION = "revocation", "certificate revoked"
        SIGN_OFF = "sign_off", "visit signed off"
        LOG_ENTRY = "log_entry", "entry in a log book"
        LOG_END = "log_end", "end noted in a log book"
        PAPER = "paper", "paper of a certificate given out"
        REVISION_ACT = "revision_act", "statement on an as-installed revision"

    number = models.PositiveIntegerField(unique=True)
    kind = models.CharField(max_length=16, choices=Kind)
    about = models.BigIntegerField(
        help_text="Key of the certificate, sign-off, entry of a log book, paper or statement on a revision."
    )
    named = models.CharField(max_length=80, help_text="What a person calls it.")
    # {"form", "record": digest of the row, "columns", "results": {key: digest}}: see inspections/ledger/records.py.
    content = models.JSONField()
    is_later = models.BooleanField("entered later", default=False)
    entered_at = models.DateTimeField(default=timezone.now)
    previous = models.CharField(max_length=64, help_text="Digest of the entry before; zeros for the first.")
    digest = models.CharField(max_length=64, unique=True)
    seal = models.CharField(max_length=128)
    public_key = models.CharField(max_length=64)

    may_change = {}

    class Meta:
        ordering = ["number"]
        verbose_name_plural = "ledger entries"
        constraints = [
            models.UniqueConstraint(fields=["kind", "about"], name="ledger_tells_a_thing_once"),
            models.CheckConstraint(condition=Q(number__gte=1), name="ledger_counts_from_one"),
        ]

    def __str__(self):
        return f"{self.number}: {self.get_kind_display()}, {self.named}"

    @property
    def short(self):
        """As it stands on paper: number and the first 16 digits of its digest, by which everything before is fixed."""
        return f"{self.number}-{self.digest[:16]}"
