"""How often the public check of a certificate was asked of late, and by whom, as far as a limit needs it."""

from django.db import models
from django.utils import timezone

from inspections.models.certificates import Certificate


class CheckAttempt(models.Model):
    """One question that gives something away when it is asked too often. Forgotten once it counts no more."""

    certificate = models.ForeignKey(Certificate, models.CASCADE, related_name="+")
    who = models.CharField(max_length=64, help_text="Digest of the address, made with the key of the register.")
    asked_at = models.DateTimeField(default=timezone.now)

    class Meta:
        indexes = [models.Index(fields=["certificate", "who", "asked_at"], name="check_attempt_of_late")]

    def __str__(self):
        return f"Question about {self.certificate}"
