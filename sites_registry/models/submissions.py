"""Forms already taken: the second click of the same form leads to what the first one made."""

from django.conf import settings
from django.db import models
from django.utils import timezone


class Submission(models.Model):
    """One accepted form that makes something new, by the key it carried."""

    key = models.UUIDField(unique=True)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.CASCADE, related_name="+")
    led_to = models.CharField(max_length=300)
    taken_at = models.DateTimeField(default=timezone.now)

    def __str__(self):
        return str(self.key)


class Counter(models.Model):
    """The last number given out in a series without gaps, such as the certificates of 2026."""

    series = models.CharField(max_length=40, unique=True)
    last_number = models.PositiveIntegerField(default=0)

    def __str__(self):
        return f"{self.series}: {self.last_number}"
