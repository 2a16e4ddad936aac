"""What somebody was told by mail, so that nobody is told twice."""

from django.db import models
from django.utils import timezone

from sites_registry.models import Building, Mail, Person


class Notice(models.Model):
    """One thing told to one person: `event` says which, `words` how; `mail` is that which told it."""

    person = models.ForeignKey(Person, models.PROTECT, related_name="notices")
    building = models.ForeignKey(Building, models.PROTECT, related_name="+")
    event = models.CharField(max_length=80)
    words = models.CharField(max_length=300)
    is_impairment = models.BooleanField(default=False)
    noted_at = models.DateTimeField(default=timezone.now)
    mail = models.ForeignKey(Mail, models.PROTECT, null=True, blank=True, related_name="notices")

    class Meta:
        ordering = ["pk"]
        constraints = [models.UniqueConstraint(fields=["person", "event"], name="notice_once_per_person_and_event")]

    def __str__(self):
        return self.words
