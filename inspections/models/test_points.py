"""Test points and results: what was to be checked at a position on a visit, and what was found."""

import uuid

from django.db import models
from django.db.models import OuterRef, Q, Subquery
from django.urls import reverse
from django.utils import timezone

from inspections.models.protocols import CarriesHazards, ProtocolCheck, hazards_are_known, limits_in_words
from inspections.models.visits import Visit
from sites_registry.models import Person
from sites_registry.states import key_and_word
from zones.engineering.readings.rule import AskedFigure, Level, ReadingRule, Term, rule_of
from zones.models import Fitting, Position
from zones.models.visibility import BuildingBoundQuerySet


class Outcome(models.TextChoices):
    PASS = key_and_word("pass")
    REMARK = key_and_word("remark")
    FAIL = key_and_word("fail")
    NOT_ACCESSIBLE = key_and_word("not_accessible")
    NOT_APPLICABLE = key_and_word("not_applicable")


class Leg(models.IntegerChoices):
    """The part of the walk: a commissioning begins and ends at the panel."""

    START = 0, "first, at the panel"
    WALK = 1, "on the walk"
    END = 2, "last, at the panel"


TESTED = (Outcome.PASS, Outcome.REMARK, Outcome.FAIL)
PASSING = (Outcome.PASS, Outcome.REMARK)
NOT_TESTED = (Outcome.NOT_ACCESSIBLE, Outcome.NOT_APPLICABLE)
CLOCK_WORTH_TELLING_S = 60


class TestPointQuerySet(BuildingBoundQuerySet):
    building_path = "visit__building"

    def with_reading_before(self):
        """Test points with `reading_before` and `reading_before_on`: the same check, same position, earlier visit."""
        earlier = Result.objects.filter(
            test_point__position=OuterRef("position"),
            test_point__code=OuterRef("code"),
            reading__isnull=False,
            test_point__visit__started_at__lt=OuterRef("visit__started_at"),
            latest_of__isnull=False,
        ).order_by("-test_point__visit__started_at")
        return self.annotate(
            reading_before=Subquery(earlier.values("reading")[:1]),
            reading_before_on=Subquery(earlier.values("test_point__visit__started_at__date")[:1]),
        )

    def with_reading_first(self):
        """Test points with `reading_first` and `reading_first_on`: the first good one of the unit fitted now."""
        fitted = Fitting.objects.open().filter(position=OuterRef("test_point__position"))
        of_unit = Result.objects.filter(
            test_point__position=OuterRef("position"),
            test_point__code=OuterRef("code"),
            reading__isnull=False,
            outcome__in=PASSING,
            latest_of__isnull=False,
            test_point__visit__started_at__lt=OuterRef("visit__started_at"),
            test_point__visit__started_at__date__gte=Subquery(fitted.values("fitted_on")[:1]),
        ).order_by("test_point__visit__started_at")
        return self.annotate(
            reading_first=Subquery(of_unit.values("reading")[:1]),
            reading_first_on=Subquery(of_unit.values("test_point__visit__started_at__date")[:1]),
        )

    def with_serial(self):
        """Test points with `serial` of the unit that is fitted at their position now."""
        fitted = Fitting.objects.open().filter(position=OuterRef("position"))
        return self.annotate(serial=Subquery(fitted.values("unit__serial")[:1]))

    def without_outcome(self):
        """Test points that nothing was found at yet."""
        return self.filter(latest_result=None)

    def contradicted(self):
        """Test points where a pass stands beside a fail and nobody who has seen both has settled it."""
        return self.filter(is_contradicted=True)

    def in_walking_order(self):
        return self.order_by("leg", "position__walking_order", "position__tag_key", "order", "pk")


class TestPoint(CarriesHazards):
    """One check on one position on one visit, with the limits and their source as they stood then."""

    __test__ = False  # pytest: not a test class

    visit = models.ForeignKey(Visit, models.PROTECT, related_name="test_points")
    position = models.ForeignKey(Position, models.PROTECT, related_name="test_points")
    check_of = models.ForeignKey(ProtocolCheck, models.PROTECT, null=True, blank=True, related_name="test_points")
    code = models.SlugField(max_length=40)
    order = models.PositiveSmallIntegerField(default=0)
    title = models.CharField(max_length=200)
    instruction = models.CharField(max_length=1000, blank=True)
    expected = models.CharField(max_length=1000)
    caution = models.CharField(max_length=500, blank=True)
    quantity = models.CharField(max_length=60, blank=True)
    unit = models.CharField(max_length=12, blank=True)
    lower_limit = models.DecimalField(max_digits=12, decimal_places=3, null=True, blank=True)
    upper_limit = models.DecimalField(max_digits=12, decimal_places=3, null=True, blank=True)
    within_percent_of_first = models.PositiveSmallIntegerField(null=True, blank=True)
    # The first value of the unit, from which the limits were reckoned.
    first_reading = models.DecimalField(max_digits=12, decimal_places=3, null=True, blank=True)
    first_read_on = models.DateField(null=True, blank=True)
    limit_source = models.CharField(max_length=600, blank=True)
    reading_rule = models.JSONField(
        null=True,
        blank=True,
        editable=False,
        help_text="How a reading is judged (zones.engineering.readings.rule), as the limits follow from it.",
    )
    is_reading_required = models.BooleanField(default=False)
    # After a swap of the unit, what was seen before no longer counts: the point waits for its retest.
    retest_since = models.DateTimeField(null=True, blank=True)
    retest_reason = models.CharField(max_length=300, blank=True)
    # When on the walk, and where one stands where that is not the position: a line is measured where it begins.
    leg = models.PositiveSmallIntegerField(choices=Leg, default=Leg.WALK)
    done_at = models.ForeignKey(Position, models.PROTECT, null=True, blank=True, related_name="+")
    latest_result = models.OneToOneField(
        "inspections.Result",
        models.PROTECT,
        null=True,
        blank=True,
        related_name="latest_of",
        help_text="The one that counts: see services.counting.",
    )
    is_contradicted = models.BooleanField(
        default=False,
        editable=False,
        help_text="Answers that cannot both be right stand beside each other, given without knowing of each other.",
    )

    objects = TestPointQuerySet.as_manager()

    class Meta:
        ordering = ["visit", "position", "order", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["visit", "position", "code"], name="test_point_once_per_visit_and_position"
            ),
            models.CheckConstraint(condition=Q(leg__in=[0, 1, 2]), name="test_point_leg_known"),
            hazards_are_known("test_point"),
        ]
        indexes = [
            models.Index(fields=["position", "code"], name="test_point_position_code"),
            models.Index(fields=["visit"], condition=Q(is_contradicted=True), name="test_point_contradicted"),
        ]

    def __str__(self):
        return f"{self.position}: {self.title}"

    @property
    def what_contradicts(self):
        """What stands beside the result that counts, where `is_contradicted`."""
        return "a pass" if self.latest_result.outcome == Outcome.FAIL else "another answer"

    def is_within_limits(self, reading, figures=None):
        """Whether a reading meets the limits; None when there are none, or when it proves nothing as it was taken.

        `figures`: those kept with the reading.
        """
        if self.lower_limit is None and self.upper_limit is None:
            return None
        is_within = (self.lower_limit is None or reading >= self.lower_limit) and (
            self.upper_limit is None or reading <= self.upper_limit
        )
        return None if is_within and self._lacks_figures(figures or {}) else is_within

    def _lacks_figures(self, figures):
        of_reading = [one for one in (self.reading_rule or {}).get("asks", ()) if one.get("of_reading")]
        return any(not AskedFigure(**one).is_answered_by(figures) for one in of_reading)

    @property
    def limits_text(self):
        return limits_in_words(self.lower_limit, self.upper_limit, self.unit)

    @property
    def rule(self):
        """The rule by which a reading is judged; a point from before there were rules has its limits only."""
        if self.reading_rule:
            return rule_of(self.reading_rule)
        ends = (self.lower_limit, self.upper_limit)
        return ReadingRule(*(() if end is None else (Term(self.limit_source, float(end)),) for end in ends))

    def level_of(self, reading, figures=None):
        """How a reading stands against limits and record; `None` where nothing judges it."""
        return self.rule.with_figures(figures or {}).level(float(reading))

    def judged_in_words(self, reading, figures=None):
        """What a person is told of a reading beside its limits; the phone says the same (field/judge.js)."""
        rule, reading = self.rule.with_figures(figures or {}), float(reading)
        level, looks_like = rule.level(reading), rule.looks_like(reading)
        match level:
            case Level.ASKED:
                return f"Not judged: enter {rule.asked_in_words()}."
            case Level.OUTSIDE:
                return f"Outside the limits ({self.limits_text}). {looks_like}".strip()
            case Level.ATTENTION:
                return looks_like
        return ""

    @property
    def judged(self):
        """What is told of the reading that counts, beside its limits; empty where nothing is."""
        result = self.latest_result
        return self.judged_in_words(result.reading, result.figures) if result and result.reading is not None else ""

    @property
    def judged_state(self):
        """The state that stands with `judged`: outside its limits, or to be reviewed; the phone shows the same."""
        result = self.latest_result
        return "not_met" if self.level_of(result.reading, result.figures) is Level.OUTSIDE else "question"

    @property
    def field_url(self):
        """Its card on the page of the place where it is done."""
        name = "visit-field-last" if self.leg == Leg.END else "visit-field-position"
        return reverse(name, args=[self.visit_id, self.done_at_id or self.position_id]) + f"#point-{self.pk}"


class ResultQuerySet(BuildingBoundQuerySet):
    building_path = "test_point__visit__building"


class Result(models.Model):
    """What was found at a test point. Never changed: a correction is a further result, with its reason."""

    test_point = models.ForeignKey(TestPoint, models.PROTECT, related_name="results")
    client_uuid = models.UUIDField(
        default=uuid.uuid4,
        unique=True,
        help_text="Given by the phone: the same answer sent twice is taken once.",
    )
    outcome = models.CharField(max_length=16, choices=Outcome)
    reading = models.DecimalField(max_digits=12, decimal_places=3, null=True, blank=True)
    figures = models.JSONField(
        null=True,
        blank=True,
        editable=False,
        help_text="What belongs to the reading: the voltage with which insulation was tested. Name → number.",
    )
    remark = models.CharField(max_length=400, blank=True)
    reason = models.CharField(max_length=400, blank=True, help_text="Why not accessible, or not applicable.")
    correction_reason = models.CharField(max_length=200, blank=True)
    recorded_by = models.ForeignKey(Person, models.PROTECT, related_name="results")
    seen_at = models.DateTimeField(help_text="By the register's clock: the device's time, corrected by its offset.")
    device_at = models.DateTimeField(null=True, blank=True, editable=False, help_text="By the clock of the device.")
    # Seconds to add to the device's clock; negative where it is fast. Empty: not measured, so nothing was corrected.
    clock_offset_s = models.BigIntegerField(null=True, blank=True, editable=False)
    # The same as measured when the answer was sent: another figure where the clock was set while the answer waited.
    clock_offset_at_sending_s = models.BigIntegerField(null=True, blank=True, editable=False)
    known_results = models.JSONField(
        null=True,
        blank=True,
        editable=False,
        help_text="Identifiers of the results at this point that the person had before them; empty: not asked then.",
    )
    received_at = models.DateTimeField(default=timezone.now, editable=False)

    objects = ResultQuerySet.as_manager()
    may_change = {}

    class Meta:
        ordering = ["test_point", "seen_at", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=~Q(outcome__in=["not_accessible", "not_applicable"]) | ~Q(reason=""),
                name="result_not_done_has_a_reason",
                violation_error_message="Say why it was not accessible or not applicable.",
            ),
            models.CheckConstraint(
                condition=~Q(outcome="remark") | ~Q(remark=""),
                name="result_remark_has_a_text",
                violation_error_message="Write the remark.",
            ),
        ]

    def __str__(self):
        return f"{self.test_point}: {self.get_outcome_display()}"

    @property
    def figures_text(self):
        """What belongs to the reading, in words: "test voltage 250 V DC"; empty where nothing does."""
        asked = self.test_point.rule.of_reading() if self.figures else ()
        told = [(one, self.figures.get(one.name)) for one in asked]
        return ", ".join(f"{one.label} {number:g} {one.unit.partition(',')[0]}" for one, number in told if number)

    @property
    def clock_words(self):
        """What was wrong with the clock of the device, if it matters: "phone's clock 10 min fast, corrected"."""
        if self.clock_offset_s is None:
            return ""
        words = ""
        if abs(self.clock_offset_s) >= CLOCK_WORTH_TELLING_S:
            pace = "fast" if self.clock_offset_s < 0 else "slow"
            words = f"phone's clock {_duration(abs(self.clock_offset_s))} {pace}, corrected"
        later = self.clock_offset_at_sending_s
        if later is not None and abs(later - self.clock_offset_s) >= CLOCK_WORTH_TELLING_S:
            words = (words or "phone's clock right when answered") + "; set while the answer waited"
        return words


def _duration(seconds):
    minutes = round(seconds / 60)
    if minutes < 100:
        return f"{minutes} min"
    hours = round(seconds / 3600)
    return f"{hours} h" if hours < 48 else f"{round(seconds / 86400)} days"
