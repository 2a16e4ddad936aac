"""The secret address at which a person's calendar program reads their visits and due dates."""

from django.db import models
from django.utils import timezone

from sites_registry.models import Person


class CalendarLinkQuerySet(models.QuerySet):
    def visible_to(self, user):
        """Everybody sees their own and no other's."""
        return self.filter(person=user) if user.is_authenticated else self.none()


class CalendarLink(models.Model):
    """One address a person; of its secret only the digest is kept. A new one takes the place of the old."""

    person = models.OneToOneField(Person, models.CASCADE, related_name="calendar_link")
    digest_sha256 = models.CharField(max_length=64, unique=True)
    made_at = models.DateTimeField(default=timezone.now)

    objects = CalendarLinkQuerySet.as_manager()

    def __str__(self):
        return f"Calendar of {self.person}"
