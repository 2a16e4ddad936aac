"""Every file that the register keeps, by its size and digest on the day it was written."""

from django.core.validators import RegexValidator
from django.db import models
from django.db.models import Q
from django.utils import timezone


class KeptFile(models.Model):
    """One file below the folder of files; what lies there by now is whole only if it is these bytes."""

    name = models.CharField(max_length=200, unique=True, help_text="Path below the folder of files.")
    size_bytes = models.PositiveBigIntegerField()
    sha256 = models.CharField(max_length=64, validators=[RegexValidator(r"^[0-9a-f]{64}$")])
    kept_at = models.DateTimeField(default=timezone.now)
    is_recorded_later = models.BooleanField(
        default=False, help_text="Its digest was taken after the day it was written, of the file as it lay there."
    )

    class Meta:
        ordering = ["name"]
        constraints = [models.CheckConstraint(condition=~Q(sha256=""), name="kept_file_has_its_digest")]

    def __str__(self):
        return self.name
