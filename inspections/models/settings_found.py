"""What the settings of a panel were found at on a visit, beside what the register held as left."""

from django.db import models
from django.db.models import Exists, OuterRef, Q
from django.utils import timezone

from inspections.models.visits import Visit
from sites_registry.models import Person
from sites_registry.states import key_and_word
from zones.models import ControlPanel
from zones.models.visibility import BuildingBoundQuerySet


class SettingFoundQuerySet(BuildingBoundQuerySet):
    building_path = "visit__building"

    def latest(self):
        """The entry that counts of each setting on each visit; earlier ones were corrected by it."""
        later = self.model.objects.filter(
            visit=OuterRef("visit"), panel=OuterRef("panel"), key=OuterRef("key"), pk__gt=OuterRef("pk")
        )
        return self.filter(~Exists(later))

    def differing(self):
        return self.filter(answer=SettingFound.Answer.DIFFERS)

    def last_comparison(self):
        """(visit, day, number of differences) of the newest visit with entries among these, or None."""
        newest = self.order_by("-recorded_at", "-pk").select_related("visit").first()
        if newest is None:
            return None
        differences = self.filter(visit=newest.visit_id).latest().differing().count()
        return newest.visit, timezone.localtime(newest.recorded_at).date(), differences


class SettingFound(models.Model):
    """One setting compared on a visit. Never changed: a correction is a further entry.

    Name, value as left and unit are copies as they stood then; `key` is that of a `SettingLine`
    (`zones.panel_settings.sheet`).
    """

    class Answer(models.TextChoices):
        AS_LEFT = key_and_word("as_left")
        DIFFERS = key_and_word("differs")
        RECORDED = key_and_word("recorded")
        NOT_SEEN = key_and_word("not_seen")

    visit = models.ForeignKey(Visit, models.PROTECT, related_name="settings_found")
    panel = models.ForeignKey(ControlPanel, models.PROTECT, related_name="settings_found")
    key = models.CharField(max_length=80)
    name = models.CharField(max_length=240)
    value_left = models.TextField()
    unit = models.CharField(max_length=20, blank=True)
    answer = models.CharField(max_length=12, choices=Answer)
    found = models.CharField(max_length=200, blank=True)
    reason = models.CharField("why not seen", max_length=300, blank=True)
    defect = models.ForeignKey(
        "inspections.Defect", models.PROTECT, null=True, blank=True, related_name="settings_found"
    )
    recorded_by = models.ForeignKey(Person, models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(default=timezone.now)

    objects = SettingFoundQuerySet.as_manager()
    may_change = {}

    class Meta:
        ordering = ["visit", "panel", "pk"]
        verbose_name_plural = "settings found"
        indexes = [models.Index(fields=["visit", "panel", "key"], name="setting_found_of_visit")]
        constraints = [
            models.CheckConstraint(
                condition=Q(answer__in=["differs", "recorded"]) & ~Q(found="")
                | Q(answer__in=["as_left", "not_seen"], found=""),
                name="setting_found_has_a_value_where_it_differs",
                violation_error_message="Enter what was found.",
            ),
            models.CheckConstraint(
                condition=~Q(answer="not_seen") | ~Q(reason=""),
                name="setting_not_seen_has_a_reason",
                violation_error_message="Say why it was not seen.",
            ),
            models.CheckConstraint(
                condition=~Q(answer="differs") | Q(defect__isnull=False),
                name="setting_difference_is_a_defect",
                violation_error_message="A difference is a defect.",
            ),
        ]

    def __str__(self):
        return f"{self.name}: {self.get_answer_display()}"

    @property
    def is_difference(self):
        return self.answer == self.Answer.DIFFERS

    @property
    def left_words(self):
        """The value as left with its unit: "75 s"; "not known" stands alone."""
        return self.value_left if self.answer == self.Answer.RECORDED else f"{self.value_left} {self.unit}".strip()

    @property
    def found_words(self):
        return f"{self.found} {self.unit}".strip() if self.found else ""

    @property
    def was_taken_over(self):
        """Whether the record was corrected from this entry; read `taken_over` along."""
        return getattr(self, "taken_over", None) is not None


class TakenOverQuerySet(BuildingBoundQuerySet):
    building_path = "entry__visit__building"


class SettingTakenOver(models.Model):
    """The record was wrong: the found value was taken over into it. Once per entry."""

    entry = models.OneToOneField(SettingFound, models.PROTECT, related_name="taken_over")
    by = models.ForeignKey(Person, models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    objects = TakenOverQuerySet.as_manager()
    may_change = {}

    class Meta:
        ordering = ["-at", "-pk"]
        verbose_name_plural = "settings taken over"

    def __str__(self):
        return f"{self.entry.name}: {self.entry.found_words} taken over"
