"""The papers of certificates: each PDF that was ever made, by its digest."""

from django.db import models
from django.utils import timezone

from inspections.models.certificates import Certificate


class CertificatePaper(models.Model):
    """One PDF of a certificate as it was given out. Where it cannot be made again a further one is; both are ours."""

    certificate = models.ForeignKey(Certificate, models.PROTECT, related_name="papers")
    sha256 = models.CharField(max_length=64, db_index=True)
    signature = models.BinaryField(help_text="Its last bytes: what was composed, and these, are the paper again.")
    made_at = models.DateTimeField(default=timezone.now)

    may_change = {}

    class Meta:
        ordering = ["certificate", "pk"]

    def __str__(self):
        return f"Paper of certificate {self.certificate}"
