"""What may be typed about actuator circuits and detection lines."""

from sites_registry.forms.base import show_where_empty
from zones.design_basis.practice import current_practice
from zones.editing.forms import ZonesModelForm, show_figures_of_model
from zones.models import ActuatorCircuit, DetectionLine, SmokeZone
from zones.panels.forms.ports import devices_that_offer


class CircuitForm(ZonesModelForm):
    fixed_fields = ("panel",)
    more_than_zero_fields = ("run_time_s",)
    from_zero_fields = ("delay_s",)
    sentences = {
        "actuator_circuit_number_unique_per_panel": (
            "number",
            "Output {value} of this panel has a circuit already. Choose another output, or change that circuit.",
        )
    }

    class Meta:
        model = ActuatorCircuit
        fields = [
            "number",
            "name",
            "drive",
            "expected_actuators",
            "found_actuators",
            "run_time_s",
            "delay_s",
            "sequence_step",
            "current_limit_a",
            "device_a",
            "monitored_by",
            "end_place",
        ]
        help_texts = {
            "expected_actuators": "As set at the panel; compared with the actuators in the register.",
            "found_actuators": "Addressed drive: how many the panel says it finds.",
            "delay_s": "From the signal to the start of the motors. Empty: none.",
            "sequence_step": "Where outputs run one group after another: 1 runs first; the same number runs together.",
            "run_time_s": "The output switches off after this time; longer than the stroke takes.",
            "current_limit_a": "Empty: as the panel's data sheet says.",
            "device_a": "Of the fuse or breaker fitted. Empty: as the panel's data sheet says.",
            "monitored_by": "For polarity drive: by the two cores that feed the actuator, or by a third of its own.",
            "end_place": "For polarity drive: where the resistor or module at the far end sits.",
        }

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        model = self.instance.panel.position.product_model
        show_figures_of_model(self, model, {"current_limit_a": "output_limit_a", "device_a": "output_device_a"})


class LineForm(ZonesModelForm):
    fixed_fields = ("panel",)
    from_zero_fields = ("end_of_line_tolerance_percent",)
    sentences = {
        "detection_line_number_unique_per_panel": (
            "number",
            "Line {value} of this panel exists already. Choose another number, or change that line.",
        )
    }

    class Meta:
        model = DetectionLine
        fields = [
            "number",
            "name",
            "starts_at",
            "smoke_zone",
            "end_of_line_ohm",
            "end_of_line_tolerance_percent",
            "end_place",
            "line_voltage_v",
        ]
        help_texts = {
            "end_of_line_tolerance_percent": "Empty: the firm's common practice.",
            "starts_at": "Empty: at the panel. Else the device, such as a call point, on whose terminals it begins.",
            "smoke_zone": "The zone that the line releases.",
            "end_place": "At the last device; at its own terminals only when the line is unused.",
        }

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        zones = SmokeZone.objects.filter(building=self.instance.panel.building_id).order_by("number")
        self.fields["smoke_zone"].queryset = zones
        self.fields["starts_at"].queryset = devices_that_offer(self.instance.panel, self.instance.starts_at_id)
        self.fields["starts_at"].empty_label = "the panel"
        model = self.instance.panel.position.product_model
        show_figures_of_model(self, model, {"line_voltage_v": "line_voltage_v"})
        percent = 100 * current_practice().element_tolerance
        show_where_empty(self, {"end_of_line_tolerance_percent": round(percent, 3)})
