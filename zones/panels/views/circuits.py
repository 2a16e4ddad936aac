"""Forms of actuator circuits and detection lines; they are shown on the panel's page."""

from django.urls import reverse

from zones.editing.pages import RemovePage
from zones.models import ActuatorCircuit, DetectionLine
from zones.panels.forms.circuits import CircuitForm, LineForm
from zones.panels.views.panels import ChangeOnPanelPage, OnPanelPage


def next_number(records):
    """The number after the highest one in use."""
    highest = records.order_by("-number").values_list("number", flat=True).first()
    return min((highest or 0) + 1, 32_767)


class CircuitCreateView(OnPanelPage):
    model = ActuatorCircuit
    form_class = CircuitForm
    verb = "Add circuit"
    saved_message = "{record} added."
    can_add_another = True
    kept_fields = (
        "drive",
        "expected_actuators",
        "run_time_s",
        "delay_s",
        "sequence_step",
        "current_limit_a",
        "monitored_by",
        "end_place",
    )

    def get_heading(self, record):
        return f"Add actuator circuit to {self.panel.tag}"

    def success_url(self, record):
        return self.panel.get_absolute_url()

    def form_arguments(self):
        return {"initial": {"number": next_number(self.panel.actuator_circuits)}}


class CircuitUpdateView(ChangeOnPanelPage):
    model = ActuatorCircuit
    form_class = CircuitForm
    template_name = "zones/editing/mistake_form.html"
    verb = "Save circuit"
    saved_message = "{record} saved."

    def get_heading(self, record):
        return f"Actuator circuit of {record.panel.tag}"

    def get_context(self, form):
        return {**super().get_context(form), "remove_url": reverse("circuit-remove", args=[self.record.pk])}


class RunRemoveView(RemovePage):
    def get_back_url(self, record):
        return record.panel.get_absolute_url()


class CircuitRemoveView(RunRemoveView):
    queryset = ActuatorCircuit.objects.select_related("panel__position")


class LineCreateView(OnPanelPage):
    model = DetectionLine
    form_class = LineForm
    verb = "Add line"
    saved_message = "{record} added."
    can_add_another = True
    kept_fields = ("smoke_zone", "end_of_line_ohm", "end_of_line_tolerance_percent", "end_place", "line_voltage_v")

    def get_heading(self, record):
        return f"Add detection line to {self.panel.tag}"

    def success_url(self, record):
        return self.panel.get_absolute_url()

    def form_arguments(self):
        return {"initial": {"number": next_number(self.panel.detection_lines.filter(starts_at=None))}}


class LineUpdateView(ChangeOnPanelPage):
    model = DetectionLine
    form_class = LineForm
    template_name = "zones/editing/mistake_form.html"
    verb = "Save line"
    saved_message = "{record} saved."

    def get_heading(self, record):
        return f"Detection line of {record.panel.tag}"

    def get_context(self, form):
        return {**super().get_context(form), "remove_url": reverse("line-remove", args=[self.record.pk])}


class LineRemoveView(RunRemoveView):
    queryset = DetectionLine.objects.select_related("panel__position")
