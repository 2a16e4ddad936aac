"""Rules of cause and effect, as rows, and the coincidences that a rule may wait for."""

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import Q
from django.db.models.functions import Lower
from django.urls import reverse

from sites_registry.history import kept_history
from sites_registry.models.versioned import Versioned
from zones.models.circuits import DetectionLine
from zones.models.panels import ControlPanel, PanelBoundQuerySet
from zones.models.ports import DataLink
from zones.models.positions import Position
from zones.models.smoke_zones import SmokeZone, VentGroup


class Coincidence(Versioned):
    """Several devices of which some must operate before a rule takes effect (EN 54-2, dependency on more signals)."""

    panel = models.ForeignKey(ControlPanel, models.PROTECT, related_name="coincidences")
    name = models.CharField(max_length=80, help_text="For instance: two detectors of the hall.")
    needed = models.PositiveSmallIntegerField("how many must operate", default=2)
    counts_lines = models.BooleanField(
        "count lines, not devices", default=False, help_text="Two-line coincidence: two devices of one line are one."
    )
    positions = models.ManyToManyField(Position, related_name="coincidences", verbose_name="devices")

    objects = PanelBoundQuerySet.as_manager()
    history = kept_history(m2m_fields=[positions])

    class Meta:
        ordering = ["panel", "name"]
        constraints = [
            models.UniqueConstraint(
                "panel",
                Lower("name"),
                name="coincidence_name_unique_per_panel",
                violation_error_message="This panel has a coincidence of this name already.",
            ),
            models.CheckConstraint(
                condition=Q(needed__gte=2) & Q(needed__lte=20),
                name="coincidence_needs_at_least_two",
                violation_error_message="A coincidence needs 2 to 20 devices to operate.",
            ),
        ]

    def __str__(self):
        return self.name

    def get_absolute_url(self):
        return reverse("rule-matrix", args=[self.panel_id])


class CauseAndEffectRule(Versioned):
    """One cell of a panel's cause-and-effect matrix: this cause has that effect there."""

    class Cause(models.TextChoices):
        DEVICE = "device", "a device operates"
        COINCIDENCE = "coincidence", "several devices operate"
        ZONE_IN_ALARM = "zone_in_alarm", "a zone is in alarm"
        GROUP_OPEN = "group_open", "a vent group is not shut"
        RAIN = "rain", "rain"
        WIND = "wind", "wind"
        MAINS_LOST = "mains_lost", "mains lost"
        BATTERY_LOST = "battery_lost", "battery lost"
        LINE_FAULT = "line_fault", "fault on a line"
        LINK_FAULT = "link_fault", "break of a data link"
        RESET = "reset", "reset"

    class Action(models.TextChoices):
        """What the device says: a switch or selector has several words, every other device one."""

        ON = "on", "operates"
        OPEN = "open", "open"
        STOP = "stop", "stop"
        CLOSE = "close", "close"

    class Effect(models.TextChoices):
        OPEN = "O", "open"
        CLOSE = "C", "close"
        CLOSE_VENTILATION = "R", "close if opened for ventilation"
        STOP = "T", "stop"
        HOLD = "H", "keep where it is"
        UNCHANGED = "-", "unchanged"
        BLOCKED = "B", "ventilation blocked"
        SIGNAL = "S", "signal"

    panel = models.ForeignKey(ControlPanel, models.PROTECT, related_name="rules")
    cause = models.CharField(max_length=16, choices=Cause)
    action = models.CharField("what it says", max_length=8, choices=Action, default=Action.ON)
    position = models.ForeignKey(
        Position,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="rules",
        verbose_name="device",
        help_text="Only for the cause 'a device operates'.",
    )
    coincidence = models.ForeignKey(
        Coincidence,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="rules",
        help_text="Only for the cause 'several devices operate'.",
    )
    detection_line = models.ForeignKey(
        DetectionLine,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="rules",
        verbose_name="line",
        help_text="Only for the cause 'fault on a line'; empty: any line.",
    )
    data_link = models.ForeignKey(
        DataLink,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="rules",
        help_text="Only for the cause 'break of a data link'; empty: any data link.",
    )
    cause_zone = models.ForeignKey(
        SmokeZone,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="rules_caused",
        verbose_name="zone in alarm",
        help_text="Only for the cause 'a zone is in alarm'.",
    )
    cause_group = models.ForeignKey(
        VentGroup,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="rules_caused",
        verbose_name="group not shut",
        help_text="Only for the cause 'a vent group is not shut'.",
    )
    smoke_zone = models.ForeignKey(SmokeZone, models.PROTECT, null=True, blank=True, related_name="rules")
    vent_group = models.ForeignKey(VentGroup, models.PROTECT, null=True, blank=True, related_name="rules")
    output = models.CharField(
        "panel output", max_length=40, blank=True, help_text="Only for a signal: fault relay, sounder, lift …"
    )
    effect = models.CharField(max_length=1, choices=Effect)
    delay_s = models.PositiveSmallIntegerField("delay (s)", default=0)
    is_latching = models.BooleanField("latches until reset", default=False)
    priority = models.PositiveSmallIntegerField(
        null=True, blank=True, help_text="1 is the highest priority, 6 the lowest. Empty: the usual one of its cause."
    )
    is_cross_zone = models.BooleanField(
        "meant for another zone",
        default=False,
        help_text="The device of one zone moves vents of another, on purpose.",
    )
    note = models.CharField(max_length=200, blank=True)

    objects = PanelBoundQuerySet.as_manager()
    history = kept_history()

    class Meta:
        ordering = ["panel", "pk"]
        constraints = [
            *[
                models.CheckConstraint(
                    condition=Q(cause=cause, **{f"{field}__isnull": False}) | (~Q(cause=cause) & Q(**{field: None})),
                    name=f"rule_{name}",
                    violation_error_message=sentence,
                )
                for cause, field, name, sentence in (
                    (
                        "device",
                        "position",
                        "names_a_device_when_the_cause_is_one",
                        "Name the device for the cause 'a device operates', and only for that.",
                    ),
                    (
                        "coincidence",
                        "coincidence",
                        "names_a_coincidence_when_the_cause_is_one",
                        "Name the coincidence for the cause 'several devices operate', and only for that.",
                    ),
                    (
                        "zone_in_alarm",
                        "cause_zone",
                        "names_the_zone_in_alarm_when_that_is_the_cause",
                        "Name the zone for the cause 'a zone is in alarm', and only for that.",
                    ),
                    (
                        "group_open",
                        "cause_group",
                        "names_the_group_when_that_is_the_cause",
                        "Name the group for the cause 'a vent group is not shut', and only for that.",
                    ),
                )
            ],
            models.CheckConstraint(
                condition=Q(detection_line=None) | Q(cause="line_fault"),
                name="rule_names_a_line_only_for_its_fault",
                violation_error_message="Name a line only for the cause 'fault on a line'.",
            ),
            models.CheckConstraint(
                condition=Q(data_link=None) | Q(cause="link_fault"),
                name="rule_names_a_data_link_only_for_its_break",
                violation_error_message="Name a data link only for the cause 'break of a data link'.",
            ),
            models.CheckConstraint(
                condition=Q(action="on") | Q(cause="device"),
                name="rule_action_only_of_a_device",
                violation_error_message="Open, stop and close are what a switch or selector says; others operate.",
            ),
            models.CheckConstraint(
                condition=Q(smoke_zone__isnull=False) | Q(vent_group__isnull=False) | Q(effect="S"),
                name="rule_has_a_target",
                violation_error_message="Choose the zone or group in which the effect happens.",
            ),
            models.CheckConstraint(
                condition=Q(smoke_zone=None) | Q(vent_group=None),
                name="rule_acts_on_a_zone_or_on_a_group",
                violation_error_message="Choose the whole zone or one group, not both.",
            ),
            models.CheckConstraint(
                condition=Q(output="") | Q(effect="S", smoke_zone=None, vent_group=None),
                name="rule_output_only_for_a_signal",
                violation_error_message="A panel output takes a signal, and stands in place of a zone or group.",
            ),
            models.CheckConstraint(
                condition=Q(priority=None) | Q(priority__gte=1, priority__lte=6),
                name="rule_priority_possible",
                violation_error_message="A priority is from 1 (highest) to 6 (lowest); empty: the usual one.",
            ),
        ]

    def __str__(self):
        return f"{self.cause_words} → {self.get_effect_display()}"

    def get_absolute_url(self):
        return reverse("rule-matrix", args=[self.panel_id])

    def clean(self):
        for name, record in (
            ("position", self.position),
            ("coincidence", self.coincidence and self.coincidence.panel),
            ("detection_line", self.detection_line and self.detection_line.panel),
            ("data_link", self.data_link and self.data_link.panel),
            ("cause_zone", self.cause_zone),
            ("cause_group", self.cause_group and self.cause_group.smoke_zone),
            ("smoke_zone", self.smoke_zone),
            ("vent_group", self.vent_group and self.vent_group.smoke_zone),
        ):
            if record and self.panel_id and record.building_id != self.panel.building_id:
                raise ValidationError({name: "This belongs to another building. Choose one of this building."})

    @property
    def cause_words(self):
        """The cause as a person reads it: "CP1 operates", "VS1 says open", "fault on P1 line 3"."""
        match self.cause:
            case self.Cause.DEVICE:
                said = "operates" if self.action == self.Action.ON else f"says {self.get_action_display()}"
                return f"{self.position} {said}"
            case self.Cause.COINCIDENCE:
                return str(self.coincidence)
            case self.Cause.ZONE_IN_ALARM:
                return f"{self.cause_zone} in alarm"
            case self.Cause.GROUP_OPEN:
                return f"group {self.cause_group} not shut"
            case self.Cause.LINE_FAULT if self.detection_line:
                return f"fault on {self.detection_line}"
            case self.Cause.LINK_FAULT if self.data_link:
                return f"break of {self.data_link}"
        return self.get_cause_display()
