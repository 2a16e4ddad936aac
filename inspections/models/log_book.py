"""The log book: the building's own dated entries. Entries add; they are never changed."""

from django.db import models
from django.db.models import F, Q
from django.urls import reverse
from django.utils import timezone

from inspections.models.log_entry_rules import check_log_entry
from sites_registry.append_only import ONCE
from sites_registry.models import Building, Person
from sites_registry.states import key_and_word
from zones.models import Position, SmokeZone
from zones.models.visibility import BuildingBoundQuerySet


class EntriesNeverChange(Exception):
    """An entry of a log book is evidence: it is corrected by a further entry, never changed or taken out."""


class LogEntryQuerySet(BuildingBoundQuerySet):
    def current(self):
        """Entries that no later entry corrects."""
        return self.filter(corrected_by=None)

    def open_disablements(self):
        """Disablements that nobody has restored."""
        return self.current().filter(kind=LogEntry.Kind.DISABLEMENT, ended_at=None)

    def open_faults(self):
        """Faults that nobody has ended."""
        return self.current().filter(kind=LogEntry.Kind.FAULT, ended_at=None)

    def past_planned_end(self):
        return self.open_disablements().filter(planned_end_at__lt=timezone.now())

    def false_alarms(self):
        return self.current().filter(kind=LogEntry.Kind.FALSE_ALARM)

    def weekly_checks(self):
        return self.current().filter(kind=LogEntry.Kind.WEEKLY_CHECK)

    def with_links(self):
        """Entries with all that a row of the log book shows."""
        return self.select_related(
            "building", "smoke_zone", "position", "entered_by", "ended_by", "corrects", "corrected_by"
        )

    def update(self, **changes):
        raise EntriesNeverChange("Entries are not changed. Write an entry that corrects.")

    update.alters_data = True

    def delete(self):
        raise EntriesNeverChange("Entries are not taken out. Write an entry that corrects.")

    delete.alters_data = True
    delete.queryset_only = True


ENDING_FIELDS = {"ended_at", "ended_by", "ending_note"}


class LogEntry(models.Model):
    """One row of a building's log book."""

    class Kind(models.TextChoices):
        WEEKLY_CHECK = "weekly_check", "weekly check"
        MONTHLY_CHECK = "monthly_check", "monthly check"
        ALARM = "alarm", "alarm, genuine"
        FALSE_ALARM = "false_alarm", "false alarm"
        FAULT = "fault", "fault"
        DISABLEMENT = "disablement", "disablement"
        VISIT = "visit", "visit"
        CHANGE = "change", "change in the building"
        OTHER = "other", "other"

    LASTING_KINDS = ("fault", "disablement")
    CHECK_KINDS = ("weekly_check", "monthly_check")

    class CheckResult(models.TextChoices):
        IN_ORDER = key_and_word("in_order")
        NOT_IN_ORDER = key_and_word("not_in_order")

    building = models.ForeignKey(Building, models.PROTECT, related_name="log_entries")
    kind = models.CharField(max_length=16, choices=Kind)
    happened_at = models.DateTimeField("when")
    seen_by = models.CharField("who", max_length=120, help_text="Who made the check or saw it happen.")
    smoke_zone = models.ForeignKey(SmokeZone, models.PROTECT, null=True, blank=True, related_name="log_entries")
    position = models.ForeignKey(Position, models.PROTECT, null=True, blank=True, related_name="log_entries")
    what = models.CharField("what happened", max_length=600)
    check_result = models.CharField("result", max_length=16, choices=CheckResult, blank=True)
    cause = models.CharField(max_length=200, blank=True)
    action = models.CharField("what was done", max_length=400, blank=True)
    planned_end_at = models.DateTimeField("planned end", null=True, blank=True)
    interim_measure = models.CharField("meanwhile", max_length=400, blank=True)
    told_to = models.CharField("who was told", max_length=200, blank=True)
    ended_at = models.DateTimeField("ended at", null=True, blank=True, editable=False)
    ended_by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+", editable=False)
    ending_note = models.CharField(max_length=400, blank=True, editable=False)
    corrects = models.OneToOneField(
        "self", models.PROTECT, null=True, blank=True, related_name="corrected_by", editable=False
    )
    entered_by = models.ForeignKey(Person, models.PROTECT, related_name="log_entries", editable=False)
    entered_at = models.DateTimeField(default=timezone.now, editable=False)

    objects = LogEntryQuerySet.as_manager()
    may_change = dict.fromkeys(ENDING_FIELDS, ONCE)

    class Meta:
        ordering = ["-happened_at", "-pk"]
        verbose_name_plural = "log entries"
        constraints = [
            models.CheckConstraint(
                condition=~Q(kind="disablement") | (Q(planned_end_at__isnull=False) & ~Q(interim_measure="")),
                name="log_entry_disablement_has_end_and_measure",
                violation_error_message="A disablement needs a planned end and what is done meanwhile.",
            ),
            models.CheckConstraint(
                condition=Q(planned_end_at=None) | Q(planned_end_at__gte=F("happened_at")),
                name="log_entry_planned_end_after_start",
                violation_error_message="The planned end is before the start.",
            ),
            models.CheckConstraint(
                condition=Q(ended_at=None) | Q(ended_at__gte=F("happened_at")),
                name="log_entry_ends_after_start",
                violation_error_message="It cannot end before it began.",
            ),
        ]
        indexes = [models.Index(fields=["building", "-happened_at"], name="log_entry_building_when")]

    def __str__(self):
        return f"{self.get_kind_display()}, {timezone.localtime(self.happened_at):%-d %b %Y}"

    def save(self, *args, **kwargs):
        """Store a new entry, or the end of a stored one; nothing else of a stored entry is ever written."""
        if not self._state.adding and not ENDING_FIELDS.issuperset(kwargs.get("update_fields") or ["everything"]):
            raise EntriesNeverChange("Entries are not changed. Write an entry that corrects.")
        super().save(*args, **kwargs)

    def get_absolute_url(self):
        return reverse("log-entry-detail", args=[self.building.slug, self.pk])

    def delete(self, *args, **kwargs):
        raise EntriesNeverChange("Entries are not taken out. Write an entry that corrects.")

    def clean(self):
        """What a kind of entry needs; each fault at its field."""
        check_log_entry(self)

    @property
    def is_corrected(self):
        return hasattr(self, "corrected_by")

    @property
    def can_end(self):
        """Whether this entry is of a kind that lasts, and still does."""
        return self.kind in self.LASTING_KINDS and not self.ended_at and not self.is_corrected

    @property
    def state(self):
        """ "corrected", "past_planned_end", "open", "ended", or empty for what does not last."""
        if self.is_corrected:
            return "corrected"
        if self.kind not in self.LASTING_KINDS:
            return ""
        if self.ended_at:
            return "ended"
        if self.kind == self.Kind.DISABLEMENT and self.planned_end_at and self.planned_end_at < timezone.now():
            return "past_planned_end"
        return "open"
