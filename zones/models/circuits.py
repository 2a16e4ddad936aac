"""Actuator circuits and detection lines: the outputs and the monitored inputs of a panel."""

from django.db import models
from django.db.models import Q
from django.urls import reverse

from sites_registry.history import kept_history
from sites_registry.models.versioned import Versioned
from zones.models.declared import DeclaredComplete
from zones.models.kinds import Drive, EndPlace
from zones.models.panels import ControlPanel, PanelBoundQuerySet
from zones.models.product_models import quantity
from zones.models.smoke_zones import SmokeZone


class ActuatorCircuit(Versioned, DeclaredComplete):
    """One panel output feeding one or more actuators."""

    class MonitoredBy(models.TextChoices):
        TWO_WIRES = "two", "its two feed cores"
        THREE_WIRES = "three", "a third core of its own"

    panel = models.ForeignKey(ControlPanel, models.PROTECT, related_name="actuator_circuits")
    number = models.PositiveSmallIntegerField("output")
    name = models.CharField(max_length=120, blank=True)
    drive = models.CharField(max_length=12, choices=Drive, blank=True)
    expected_actuators = models.PositiveSmallIntegerField(null=True, blank=True)
    found_actuators = models.PositiveSmallIntegerField("actuators the panel reports", null=True, blank=True)
    run_time_s = models.PositiveSmallIntegerField("run time (s)", null=True, blank=True)
    delay_s = quantity("delay of the output (s)", 5, 1)
    sequence_step = models.PositiveSmallIntegerField("step in the sequence", null=True, blank=True)
    current_limit_a = quantity("limit of the output (A)")
    device_a = quantity("rating of its protective device (A)")
    monitored_by = models.CharField("cable monitored by", max_length=8, choices=MonitoredBy, blank=True)
    end_place = models.CharField("end of line", max_length=16, choices=EndPlace, blank=True)

    objects = PanelBoundQuerySet.as_manager()
    history = kept_history()

    class Meta(DeclaredComplete.Meta):
        abstract = False
        ordering = ["panel", "number"]
        constraints = [
            *DeclaredComplete.Meta.constraints,
            models.UniqueConstraint(
                fields=["panel", "number"],
                name="actuator_circuit_number_unique_per_panel",
                violation_error_message="This panel has a circuit on this output already.",
            ),
            models.CheckConstraint(
                condition=Q(run_time_s=None) | Q(run_time_s__gt=0),
                name="actuator_circuit_run_time_above_zero",
                violation_error_message="Run time: leave it empty if not known, else more than 0 s.",
            ),
            models.CheckConstraint(
                condition=Q(current_limit_a=None) | Q(current_limit_a__gt=0),
                name="actuator_circuit_current_limit_above_zero",
                violation_error_message="Limit of the output: leave it empty if not known, else more than 0 A.",
            ),
            models.CheckConstraint(
                condition=Q(device_a=None) | Q(device_a__gt=0),
                name="actuator_circuit_device_above_zero",
                violation_error_message="Rating of its protective device: leave it empty if not known, else more "
                "than 0 A.",
            ),
            models.CheckConstraint(
                condition=Q(sequence_step=None) | Q(sequence_step__gte=1, sequence_step__lte=250),
                name="actuator_circuit_sequence_step_possible",
                violation_error_message="Step in the sequence: leave it empty if there is none, else 1 to 250.",
            ),
            models.CheckConstraint(
                condition=Q(delay_s=None) | Q(delay_s__gte=0),
                name="actuator_circuit_delay_from_zero",
                violation_error_message="Delay: leave it empty if there is none, else 0 s or more.",
            ),
        ]

    def __str__(self):
        return f"{self.panel.tag} circuit {self.number}"

    def get_absolute_url(self):
        return reverse("circuit-detail", args=[self.pk])


class DetectionLine(Versioned, DeclaredComplete):
    """A monitored input line with detectors or call points and one end-of-line resistor (EN 54-2).

    It starts at the panel, or at a device that offers one, such as a call point on a data link; the panel that
    evaluates
    it numbers it either way.
    """

    panel = models.ForeignKey(ControlPanel, models.PROTECT, related_name="detection_lines")
    starts_at = models.ForeignKey(
        "zones.Position",
        models.PROTECT,
        null=True,
        blank=True,
        related_name="lines_offered",
        verbose_name="starts at device",
        help_text="Empty: at the panel.",
    )
    number = models.PositiveSmallIntegerField()
    name = models.CharField(max_length=120, blank=True)
    smoke_zone = models.ForeignKey(SmokeZone, models.PROTECT, null=True, blank=True, related_name="detection_lines")
    end_of_line_ohm = quantity("end-of-line resistor (Ω)", 9, 1)
    end_of_line_tolerance_percent = quantity("tolerance of the resistor (%)", 4, 1)
    end_place = models.CharField("place of the resistor", max_length=16, choices=EndPlace, blank=True)
    line_voltage_v = quantity("voltage of the line (V)", help_text="Empty: as the panel's data sheet says.")

    objects = PanelBoundQuerySet.as_manager()
    history = kept_history()

    class Meta(DeclaredComplete.Meta):
        abstract = False
        ordering = ["panel", "number"]
        constraints = [
            *DeclaredComplete.Meta.constraints,
            models.UniqueConstraint(
                fields=["panel", "number"],
                name="detection_line_number_unique_per_panel",
                violation_error_message="This panel has a line of this number already.",
            ),
            models.CheckConstraint(
                condition=Q(end_of_line_ohm=None) | Q(end_of_line_ohm__gt=0),
                name="detection_line_element_above_zero",
                violation_error_message="End-of-line resistor: leave it empty if not known, else more than 0 Ω.",
            ),
            models.CheckConstraint(
                condition=Q(end_of_line_tolerance_percent=None)
                | Q(end_of_line_tolerance_percent__gte=0, end_of_line_tolerance_percent__lte=50),
                name="detection_line_tolerance_possible",
                violation_error_message="Tolerance of the resistor: leave it empty if not known, else 0 to 50 percent.",
            ),
            models.CheckConstraint(
                condition=Q(line_voltage_v=None) | Q(line_voltage_v__gt=0),
                name="detection_line_voltage_above_zero",
                violation_error_message="Voltage of the line: leave it empty if not known, else more than 0 V.",
            ),
        ]

    def __str__(self):
        return f"{self.panel.tag} line {self.number}"

    def get_absolute_url(self):
        return reverse("line-detail", args=[self.pk])

    def clean(self):
        from zones.models.ports import check_start

        check_start(self)
