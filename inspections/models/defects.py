"""Defects: what a visit found wrong in the building. Closed by a result of a visit, never by a tick."""

from datetime import timedelta

from django.db import models
from django.db.models import Case, F, IntegerField, Q, Value, When
from django.urls import reverse
from django.utils import timezone

from inspections.models.settings_found import SettingFound
from inspections.models.test_points import Result
from inspections.models.visits import Visit
from sites_registry.history import kept_history
from sites_registry.models import Building, Person
from sites_registry.models.versioned import Versioned
from sites_registry.states import key_and_word
from zones.models import Position
from zones.models.visibility import BuildingBoundQuerySet


class Severity(models.TextChoices):
    IMPAIRED = key_and_word("impaired")
    DEGRADED = key_and_word("degraded")
    MINOR = key_and_word("minor")
    ADVICE = key_and_word("advice")


SEVERITY_MEANING = {
    Severity.IMPAIRED: "a zone may not open, or rain or a switch beats smoke, or no standby",
    Severity.DEGRADED: "opens, with a fault or no reserve left",
    Severity.MINOR: "no effect now",
    Severity.ADVICE: "departure from present guidance, not a fault",
}


# How long a defect may stand before it is marked overdue. Common practice (handbook process.md §4), no standard:
# impaired at once, put right or reported within a day; degraded in weeks; minor and advice by the next service.
OVERDUE_AFTER_DAYS = {Severity.IMPAIRED: 1, Severity.DEGRADED: 28, Severity.MINOR: 366, Severity.ADVICE: None}


def age_state(defect, now=None):
    """ "overdue" when an open defect stands longer than its severity bears, else "open" or "closed"."""
    if not defect.is_open:
        return "closed"
    days = OVERDUE_AFTER_DAYS[Severity(defect.severity)]
    age = (now or timezone.now()) - defect.found_at
    return "overdue" if days is not None and age > timedelta(days=days) else "open"


class DefectQuerySet(BuildingBoundQuerySet):
    def open(self):
        return self.filter(closed_at=None)

    def for_detail(self):
        """With what found and what closed each, for its page and its paper."""
        return self.select_related(
            "building__client",
            "position",
            "found_on",
            "found_by",
            "found_by_result__test_point",
            "closed_by_result__test_point__visit",
            "closed_by_result__recorded_by",
            "closed_by_setting__visit",
            "closed_by_setting__recorded_by",
        )

    def worst_first(self):
        rank = Case(
            *[When(severity=severity, then=Value(i)) for i, severity in enumerate(Severity)],
            output_field=IntegerField(),
        )
        return self.annotate(rank=rank).order_by("rank", "found_at", "pk")

    def with_closing(self):
        """With what closed them, to say on which visit."""
        return self.select_related("closed_by_result__test_point__visit", "closed_by_setting__visit")

    def with_all_of_it(self):
        """With all that a row of the log book on paper shows: where, found by whom, closed by whom."""
        return self.select_related(
            "position", "found_by", "closed_by_result__recorded_by", "closed_by_setting__recorded_by"
        )

    def put_right_on(self, visit):
        """Those that the visit closed."""
        return self.filter(Q(closed_by_result__test_point__visit=visit) | Q(closed_by_setting__visit=visit))

    def put_right_where_found(self):
        """Those that the visit which found them closed, too."""
        return self.put_right_on(F("found_on"))

    def with_place(self):
        return self.select_related("building__client", "position", "found_on").annotate(
            is_contradicted=F("found_by_result__test_point__is_contradicted")
        )


class Defect(Versioned):
    """Something wrong in the building, from the visit that found it to the result that closed it."""

    building = models.ForeignKey(Building, models.PROTECT, related_name="defects")
    position = models.ForeignKey(Position, models.PROTECT, null=True, blank=True, related_name="defects")
    found_on = models.ForeignKey(Visit, models.PROTECT, related_name="defects_found", editable=False)
    found_by_result = models.OneToOneField(
        Result, models.PROTECT, null=True, blank=True, related_name="defect", editable=False
    )
    severity = models.CharField(max_length=12, choices=Severity)
    description = models.CharField(max_length=600)
    interim_measure = models.CharField(
        "meanwhile", max_length=400, blank=True, help_text="What the building does until it is put right."
    )
    told_to = models.CharField("who was told", max_length=200, blank=True)
    told_at = models.DateTimeField("told at", null=True, blank=True)
    found_at = models.DateTimeField(default=timezone.now, editable=False)
    found_by = models.ForeignKey(Person, models.PROTECT, related_name="+", editable=False)
    closed_at = models.DateTimeField(null=True, blank=True, editable=False)
    closed_by_result = models.ForeignKey(
        Result, models.PROTECT, null=True, blank=True, related_name="defects_closed", editable=False
    )
    closed_by_setting = models.ForeignKey(
        SettingFound, models.PROTECT, null=True, blank=True, related_name="defects_closed", editable=False
    )
    closing_note = models.CharField(max_length=400, blank=True, editable=False)

    objects = DefectQuerySet.as_manager()
    history = kept_history()

    class Meta:
        ordering = ["-found_at", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(closed_at=None, closed_by_result=None, closed_by_setting=None)
                | Q(closed_at__isnull=False, closed_by_result__isnull=False, closed_by_setting=None)
                | Q(closed_at__isnull=False, closed_by_result=None, closed_by_setting__isnull=False),
                name="defect_closed_by_a_result",
                violation_error_message="A defect is closed by the result of a visit, or by its setting found as left.",
            )
        ]

    def __str__(self):
        return f"Defect {self.pk}"

    def get_absolute_url(self):
        return reverse("defect-detail", args=[self.pk])

    @property
    def is_open(self):
        return self.closed_at is None

    @property
    def closed_by(self):
        """What closed it: a Result or a SettingFound; both say who recorded it."""
        return self.closed_by_result or self.closed_by_setting

    @property
    def closed_on(self):
        """The visit that closed it, or None."""
        if self.closed_by_setting:
            return self.closed_by_setting.visit
        return self.closed_by_result and self.closed_by_result.test_point.visit

    @property
    def was_put_right_where_found(self):
        """Whether the visit that found it closed it too."""
        return not self.is_open and self.closed_on.pk == self.found_on_id

    @property
    def state_words(self):
        """ "open", "found and put right on this visit" or "closed"."""
        if self.is_open:
            return "open"
        return "found and put right on this visit" if self.was_put_right_where_found else "closed"

    @property
    def severity_meaning(self):
        return SEVERITY_MEANING[Severity(self.severity)]
