"""Protocols: which checks a kind of device needs, as versioned data."""

from django.db import models
from django.db.models import F, Q
from django.urls import reverse

from sites_registry.history import kept_history
from sites_registry.models.versioned import Versioned
from sites_registry.states import key_and_word
from zones.engineering.hazards import EVERY_HAZARDS_TEXT, hazards_in, precautions
from zones.engineering.line_words import kohm_figure
from zones.models.kinds import choices_of_kinds
from zones.models.visibility import FirmQuerySet

LINE_RESISTANCE_UNIT = "kΩ"


class VisitKind(models.TextChoices):
    COMMISSIONING = "commissioning", "commissioning"
    INSPECTION = "inspection", "periodic inspection"
    REMEDIAL = "remedial", "remedial work"


class Interval(models.TextChoices):
    """How often a check is made."""

    WEEKLY = "weekly", "weekly"
    MONTHLY = "monthly", "monthly"
    QUARTERLY = "quarterly", "quarterly"
    HALF_YEARLY = "half_yearly", "half-yearly"
    YEARLY = "yearly", "yearly"
    TWO_YEARLY = "two_yearly", "two-yearly"
    FIVE_YEARLY = "five_yearly", "five-yearly"


class DoneBy(models.TextChoices):
    """Who makes a check: on a visit, or in the building between visits, written in the log book."""

    ENGINEER = "engineer", "service engineer"
    USER = "user", "user of the building"


def number_text(value):
    """A decimal as plain text without trailing zeros, or None."""
    if value is None:
        return None
    text = f"{value:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _figure(limit, unit):
    # As the design check prints the resistance of a line, so that one limit reads the same everywhere.
    return kohm_figure(limit) if unit == LINE_RESISTANCE_UNIT else f"{limit.normalize():f}"


def limits_in_words(lower, upper, unit):
    """Limits in words: "27 to 27.6 V", "60 s or less", "9.50 to 10.50 kΩ", "exactly 2"; empty when there are none."""
    lower, upper = (None if limit is None else _figure(limit, unit) for limit in (lower, upper))
    if lower is not None and lower == upper:
        words = f"exactly {lower} {unit}"
    elif lower is not None and upper is not None:
        words = f"{lower} to {upper} {unit}"
    elif upper is not None:
        words = f"{upper} {unit} or less"
    elif lower is not None:
        words = f"{lower} {unit} or more"
    else:
        return ""
    return " ".join(words.split())


class CarriesHazards(models.Model):
    """A step that says what can hurt at it: "live,moving", "none", or empty where nobody has looked."""

    hazards = models.CharField(max_length=40, blank=True, default="")

    class Meta:
        abstract = True

    @property
    def hazard_list(self):
        return hazards_in(self.hazards)

    @property
    def caution_words(self):
        """The step's own caution; where it has none, what to do about each of its hazards."""
        return self.caution or precautions(self.hazard_list)


def hazards_are_known(table):
    """The rule that a step names no hazard but those of the register, in their order."""
    return models.CheckConstraint(
        condition=Q(hazards__in=EVERY_HAZARDS_TEXT),
        name=f"{table}_hazards_known",
        violation_error_message="Choose hazards from the list.",
    )


class ProtocolQuerySet(FirmQuerySet):
    def in_force(self):
        """Published protocols, the newest version first."""
        return self.filter(state=Protocol.State.PUBLISHED).order_by("kind", "-version")


class Protocol(Versioned):
    """One version of the checks of a kind of visit. Published versions never change; a change is a new version."""

    class State(models.TextChoices):
        DRAFT = key_and_word("draft")
        PUBLISHED = key_and_word("published")
        WITHDRAWN = key_and_word("withdrawn")

    kind = models.CharField(max_length=16, choices=VisitKind)
    version = models.PositiveSmallIntegerField()
    title = models.CharField(max_length=120)
    state = models.CharField(max_length=12, choices=State, default=State.DRAFT)
    basis = models.CharField(max_length=300, blank=True, help_text="Standards with edition, or common practice.")
    published_on = models.DateField(null=True, blank=True, editable=False)
    standard_edition = models.PositiveSmallIntegerField(
        default=0, editable=False, help_text="Edition of the standard protocol that it is; 0: the office's own."
    )

    objects = ProtocolQuerySet.as_manager()
    history = kept_history()

    class Meta:
        ordering = ["kind", "-version"]
        constraints = [
            models.UniqueConstraint(
                fields=["kind", "version"],
                name="protocol_version_unique_per_kind",
                violation_error_message="This version exists already.",
            ),
            models.UniqueConstraint(
                fields=["kind"],
                condition=Q(state="published"),
                name="protocol_one_published_per_kind",
                violation_error_message="Withdraw the published version first.",
            ),
        ]

    def __str__(self):
        return f"{self.title}, version {self.version}"

    def get_absolute_url(self):
        return reverse("protocol-detail", args=[self.pk])


class ProtocolCheckQuerySet(models.QuerySet):
    def visible_to(self, user):
        return self.filter(protocol__in=Protocol.objects.visible_to(user))


class ProtocolCheck(Versioned, CarriesHazards):
    """One check that a protocol asks of the positions of a kind."""

    class AskedOf(models.TextChoices):
        EVERY = "every", "every position of the kind"
        FIRST = "first", "the first position of the kind in the building"
        LAST_ON_LINE = "last_on_line", "the last position of each line or circuit"
        LAST_ADDRESSED = "last_addressed", "the last position of each addressed circuit"

    protocol = models.ForeignKey(Protocol, models.PROTECT, related_name="checks")
    device_kind = models.CharField("kind of device", max_length=24, choices=choices_of_kinds)
    code = models.SlugField(max_length=40, help_text="Stays the same over versions: readings are compared by it.")
    order = models.PositiveSmallIntegerField(default=0)
    asked_of = models.CharField("applies to", max_length=16, choices=AskedOf, default=AskedOf.EVERY)
    interval = models.CharField(max_length=12, choices=Interval, default=Interval.YEARLY)
    done_by = models.CharField("who makes it", max_length=12, choices=DoneBy, default=DoneBy.ENGINEER)
    is_spread = models.BooleanField(
        "spread over the visits",
        default=False,
        help_text="A visit that asks what is due takes a share of the positions, those longest not tested first, so "
        "that each is reached within the interval.",
    )
    title = models.CharField(max_length=120)
    instruction = models.CharField("what to do", max_length=400, blank=True)
    expected = models.CharField(max_length=300)
    caution = models.CharField(max_length=300, blank=True)
    quantity = models.CharField("reading", max_length=60, blank=True, help_text="Empty: no reading is taken.")
    unit = models.CharField(max_length=12, blank=True)
    lower_limit = models.DecimalField(max_digits=12, decimal_places=3, null=True, blank=True)
    upper_limit = models.DecimalField(max_digits=12, decimal_places=3, null=True, blank=True)
    within_percent_of_first = models.PositiveSmallIntegerField(
        "within % of the first value",
        null=True,
        blank=True,
        help_text="In place of limits: how far a reading may be from the first one of the unit; beyond it, a remark.",
    )
    limit_source = models.CharField("source of the limits", max_length=200, blank=True)
    is_reading_required = models.BooleanField("reading required", default=False)

    objects = ProtocolCheckQuerySet.as_manager()
    history = kept_history()

    class Meta:
        ordering = ["device_kind", "order", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["protocol", "device_kind", "code"],
                name="protocol_check_code_unique_per_kind",
                violation_error_message="This kind of device has a check of this code already.",
            ),
            models.CheckConstraint(
                condition=Q(lower_limit=None) | Q(upper_limit=None) | Q(upper_limit__gte=F("lower_limit")),
                name="protocol_check_limits_in_order",
                violation_error_message="The upper limit is below the lower limit.",
            ),
            models.CheckConstraint(
                condition=~Q(quantity="") | Q(lower_limit=None, upper_limit=None, unit="", is_reading_required=False),
                name="protocol_check_limits_need_a_reading",
                violation_error_message="Limits and a unit need the name of the reading.",
            ),
            models.CheckConstraint(
                condition=Q(interval__in=Interval.values),
                name="protocol_check_interval_known",
                violation_error_message="Choose the interval from the list.",
            ),
            models.CheckConstraint(
                condition=Q(done_by="engineer")
                | Q(done_by="user", interval__in=["weekly", "monthly"], is_spread=False),
                name="protocol_check_of_user_is_weekly_or_monthly",
                violation_error_message="A check of the user is weekly or monthly and not spread: the log book holds "
                "no others.",
            ),
            hazards_are_known("protocol_check"),
            models.CheckConstraint(
                condition=Q(within_percent_of_first=None)
                | Q(within_percent_of_first__gt=0, lower_limit=None, upper_limit=None) & ~Q(quantity=""),
                name="protocol_check_percent_stands_for_limits",
                violation_error_message="A share of the first value stands in place of limits and needs a reading.",
            ),
        ]

    def __str__(self):
        return self.title

    def get_absolute_url(self):
        return self.protocol.get_absolute_url()

    @property
    def when_words(self):
        """How often and, where that is not the service engineer, by whom: "weekly, by the user of the building"."""
        by_user = f", by the {self.get_done_by_display()}" if self.done_by == DoneBy.USER else ""
        return f"{self.get_interval_display()}{by_user}{', spread over the visits' if self.is_spread else ''}"

    @property
    def limits_text(self):
        return limits_in_words(self.lower_limit, self.upper_limit, self.unit)
