"""Each run in which the register proved its evidence, with what was wrong."""

from django.db import models
from django.utils import timezone


class Verification(models.Model):
    """One run of `manage.py verify_register`: what was looked at, and each fault in a sentence, the first one first."""

    ran_at = models.DateTimeField(default=timezone.now)
    took_s = models.FloatField()
    # Word → how many of them were looked at; the head of the ledger then.
    looked_at = models.JSONField(default=dict)
    ledger_head = models.CharField(max_length=40, blank=True)
    faults = models.JSONField(default=list)
    faults_count = models.PositiveIntegerField(default=0)

    may_change = {}

    class Meta:
        ordering = ["-ran_at", "-pk"]

    def __str__(self):
        return f"Verification of {timezone.localtime(self.ran_at):%-d %b %Y, %H:%M}"

    @property
    def state(self):
        return "not_in_order" if self.faults_count else "in_order"
