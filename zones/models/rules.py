"""Rules of cause and effect, as rows."""

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import Q

from sites_registry.history import kept_history
from zones.models.panels import ControlPanel, PanelBoundQuerySet
from zones.models.positions import Position
from zones.models.smoke_zones import SmokeZone, VentGroup


class CauseAndEffectRule(models.Model):
    """One cell of a panel's cause-and-effect matrix: this cause has that effect there."""

    class Cause(models.TextChoices):
        DEVICE = "device", "a device operates"
        RAIN = "rain", "rain"
        WIND = "wind", "wind"
        MAINS_LOST = "mains_lost", "mains lost"
        BATTERY_LOST = "battery_lost", "battery lost"
        LINE_FAULT = "line_fault", "fault on a line"
        RESET = "reset", "reset"

    class Effect(models.TextChoices):
        OPEN = "O", "open"
        CLOSE = "C", "close"
        STOP = "T", "stop"
        UNCHANGED = "-", "unchanged"
        BLOCKED = "B", "comfort blocked"
        SIGNAL = "S", "signal"

    panel = models.ForeignKey(ControlPanel, models.PROTECT, related_name="rules")
    cause = models.CharField(max_length=16, choices=Cause)
    position = models.ForeignKey(
        Position, models.PROTECT, null=True, blank=True, related_name="rules", verbose_name="device",
        help_text="Only for the cause 'a device operates'.",
    )  # fmt: skip
    smoke_zone = models.ForeignKey(SmokeZone, models.PROTECT, null=True, blank=True, related_name="rules")
    vent_group = models.ForeignKey(VentGroup, models.PROTECT, null=True, blank=True, related_name="rules")
    effect = models.CharField(max_length=1, choices=Effect)
    delay_s = models.PositiveSmallIntegerField("delay (s)", default=0)
    is_latching = models.BooleanField("latches until reset", default=False)
    note = models.CharField(max_length=200, blank=True)
    row_version = models.PositiveIntegerField(default=0, editable=False)

    objects = PanelBoundQuerySet.as_manager()
    history = kept_history()

    class Meta:
        ordering = ["panel", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(cause="device", position__isnull=False) | (~Q(cause="device") & Q(position=None)),
                name="rule_names_a_device_when_the_cause_is_one",
                violation_error_message="Name the device for the cause 'a device operates', and only for that.",
            ),
            models.CheckConstraint(
                condition=Q(smoke_zone__isnull=False) | Q(vent_group__isnull=False) | Q(effect="S"),
                name="rule_has_a_target",
                violation_error_message="Choose the zone or group in which the effect happens.",
            ),
        ]  # fmt: skip

    def __str__(self):
        return f"{self.position or self.get_cause_display()} → {self.get_effect_display()}"

    def get_absolute_url(self):
        return self.panel.get_absolute_url()

    def clean(self):
        for name, record in (
            ("position", self.position),
            ("smoke_zone", self.smoke_zone),
            ("vent_group", self.vent_group and self.vent_group.smoke_zone),
        ):
            if record and self.panel_id and record.building_id != self.panel.building_id:
                raise ValidationError({name: "This belongs to another building. Choose one of this building."})
