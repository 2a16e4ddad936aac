"""Reading links: one certificate or hand-over, read without a log-in until a day; each opening is kept."""

from django.db import models
from django.db.models import F, Q
from django.urls import reverse
from django.utils import timezone

from inspections.models.certificates import Certificate
from inspections.models.hand_overs import HandOver
from sites_registry.models import Building, Person
from zones.models.visibility import BuildingBoundQuerySet


class ReadingLinkQuerySet(BuildingBoundQuerySet):
    def with_openings(self):
        """With how often each was opened, and when last."""
        return self.select_related("made_by", "withdrawn_by", "building", "certificate", "hand_over__job").annotate(
            opening_count=models.Count("openings"), last_opened_at=models.Max("openings__opened_at")
        )


class ReadingLink(models.Model):
    """One address that reads one paper. Of its secret only the digest is kept: it is shown once, when it is made."""

    building = models.ForeignKey(Building, models.PROTECT, related_name="reading_links")
    certificate = models.ForeignKey(Certificate, models.PROTECT, null=True, blank=True, related_name="reading_links")
    hand_over = models.ForeignKey(HandOver, models.PROTECT, null=True, blank=True, related_name="reading_links")
    reader = models.CharField(max_length=160)
    digest_sha256 = models.CharField(max_length=64, unique=True)
    made_by = models.ForeignKey(Person, models.PROTECT, related_name="+")
    made_at = models.DateTimeField(default=timezone.now)
    ends_on = models.DateField()  # the last day on which it can be opened
    withdrawn_by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    objects = ReadingLinkQuerySet.as_manager()

    class Meta:
        ordering = ["-made_at", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(certificate=None, hand_over__isnull=False) | Q(certificate__isnull=False, hand_over=None),
                name="reading_link_reads_one_paper",
            ),
            models.CheckConstraint(
                condition=Q(withdrawn_at=None, withdrawn_by=None)
                | Q(withdrawn_at__isnull=False, withdrawn_by__isnull=False),
                name="reading_link_is_withdrawn_by_somebody",
            ),
            models.CheckConstraint(
                condition=Q(withdrawn_at=None) | Q(withdrawn_at__gte=F("made_at")),
                name="reading_link_is_withdrawn_after_it_was_made",
            ),
        ]

    def __str__(self):
        return f"Reading link for {self.reader}"

    def get_absolute_url(self):
        return reverse("reading-link-detail", args=[self.pk])

    @property
    def paper(self):
        """The certificate or hand-over that it reads."""
        return self.certificate or self.hand_over

    @property
    def state(self):
        if self.withdrawn_at:
            return "withdrawn"
        return "expired" if timezone.localdate() > self.ends_on else "readable"


class ReadingLinkOpening(models.Model):
    """One opening of the page of a link, or of a file from it."""

    link = models.ForeignKey(ReadingLink, models.PROTECT, related_name="openings")
    opened_at = models.DateTimeField(default=timezone.now)
    what = models.CharField(max_length=240)

    class Meta:
        ordering = ["-opened_at", "-pk"]
        indexes = [models.Index(fields=["link", "-opened_at"], name="reading_link_openings")]

    def __str__(self):
        return f"{self.what}, {timezone.localtime(self.opened_at):%-d %b %Y, %H:%M}"
