"""A run looped in one step, terminals from patterns, and the pattern of a product model."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.views import View

from sites_registry.access import STAFF_ROLES, Role, RoleMixin
from sites_registry.views.base import TrailPage, for_change
from zones.editing.forms import tell
from zones.editing.pages import ZonesFormPage
from zones.engineering.findings import counted
from zones.models import (
    ActuatorCircuit,
    Cable,
    ControlPanel,
    DataLink,
    DetectionLine,
    DeviceKind,
    Position,
    ProductModel,
    Terminal,
)
from zones.units.pattern_starts import EXAMPLE_LINE
from zones.units.patterns import change_pattern, pattern_text_for, use_device_pattern, use_panel_pattern
from zones.wiring.check import findings_of_wiring
from zones.wiring.forms.loops import InputLoopForm, InputPortLoopForm, LoopForm, PanelPatternForm, WiringPatternForm
from zones.wiring.loops import loop_input_ports, loop_inputs, loop_run


class LoopPage(ZonesFormPage):
    """Preview what a loop would make; the second button keeps it. Subclasses give `take_panel` and `loop`."""

    template_name = "zones/wiring/wiring_loop.html"
    verb = "Show what would be made"
    saved_message = "{record} is wired. Check it against what is on site."
    shown = None
    findings = ()

    def get_record(self):
        self.take_panel()
        return None

    def get_trail(self, record):
        return [self.panel.building, self.panel, TrailPage("Wiring", reverse("panel-wiring", args=[self.panel.pk]))]

    def get_back_url(self, record):
        return reverse("panel-wiring", args=[self.panel.pk])

    def success_url(self, record):
        return self.get_back_url(record)

    def act(self, form):
        loop = self.loop(form)
        if "keep" in self.request.POST:
            return self.named()
        # Shown, then rolled back with everything it made.
        self.shown, self.findings = loop, findings_of_wiring(self.panel)
        return None

    def as_before(self):
        """Type, size and colours of the newest cable of this panel's other runs of the kind: not typed again."""
        cable = self.cables_before().exclude(cores=None).order_by("pk").last()
        if cable is None:
            return {}
        colours = cable.cores.exclude(colour="").order_by("number").values_list("colour", flat=True)
        return {
            "cores_count": cable.cores_count,
            "cable_type": cable.cable_type,
            "fire_rating": cable.fire_rating,
            "conductor_class": cable.conductor_class,
            "area_mm2": f"{float(cable.area_mm2):g}" if cable.area_mm2 else "",
            "colours": " ".join(dict.fromkeys(colours)),
        }

    def get_context(self, form):
        return {**super().get_context(form), "loop": self.shown, "findings": self.findings, "panel": self.panel}


class RunLoopView(LoopPage):
    """Subclasses give the model, and by what name a cable knows it."""

    model = None
    run_name = ""
    form_class = LoopForm

    def take_panel(self):
        owners = self.model.objects.visible_to(self.request.user).select_related("panel__building", "panel__position")
        self.owner = get_object_or_404(owners, pk=self.kwargs["pk"])
        self.panel = self.owner.panel

    def named(self):
        return self.owner

    def form_arguments(self):
        devices = self.owner.positions.in_use().exclude(kind=DeviceKind.JUNCTION_BOX)
        devices = list(devices.order_by("order_on_line", "tag_key").select_related("building", "product_model"))
        return {"devices": devices, "with_element": True, "initial": self.as_before()}

    def cables_before(self):
        return Cable.objects.filter(**{f"{self.run_name}__panel": self.panel})

    def get_heading(self, record):
        return f"Wire {self.owner} in one step"

    def loop(self, form):
        return loop_run(owner=self.owner, devices=form.cleaned_data["devices"], options=form.options())


class CircuitLoopView(RunLoopView):
    model = ActuatorCircuit
    run_name = "actuator_circuit"


class LineLoopView(RunLoopView):
    model = DetectionLine
    run_name = "detection_line"


class DataLinkLoopView(RunLoopView):
    model = DataLink

    def form_arguments(self):
        return {**super().form_arguments(), "with_element": False}

    def cables_before(self):
        return Cable.objects.filter(cores__ends__terminal__data_link__panel=self.panel)


class InputPortLoopView(LoopPage):
    """One or several inputs to the device that is wired to them."""

    form_class = InputPortLoopForm
    saved_message = "{record} wired. Check them against what is on site."

    def take_panel(self):
        panels = ControlPanel.objects.visible_to(self.request.user).select_related("building", "position")
        self.panel = get_object_or_404(panels, pk=self.kwargs["pk"])

    def named(self):
        return f"Inputs {', '.join(str(one.number) for one in self.chosen)} of {self.panel}"

    def success_url(self, record):
        return self.get_back_url(record)

    def form_arguments(self):
        # A switch needs three cores and a sensor four: how many is never as before.
        return {"panel": self.panel, "initial": self.as_before() | {"cores_count": None} | self._proposed()}

    def cables_before(self):
        return Cable.objects.filter(cores__ends__terminal__input_port__panel=self.panel)

    def _proposed(self):
        """The input named in the address with those that share its device, and that device."""
        key = self.request.GET.get("inputs", "")
        named = self.panel.input_ports.filter(pk=key).first() if key.isdecimal() and len(key) < 12 else None
        wired = named and named.wired_devices.order_by("order").first()
        if wired is None:
            return {"inputs": [named.pk] if named else []}
        shared = self.panel.input_ports.filter(starts_at=named.starts_at, wired_devices__position=wired.position_id)
        return {"inputs": list(shared.values_list("pk", flat=True)), "device": wired.position_id}

    def get_heading(self, record):
        return f"Wire inputs of {self.panel} in one step"

    def loop(self, form):
        self.chosen = list(form.cleaned_data["inputs"])
        return loop_input_ports(inputs=self.chosen, device=form.cleaned_data["device"], options=form.options())


class InputLoopView(LoopPage):
    """Devices on no output and no line, from a block of the panel's inputs on."""

    form_class = InputLoopForm

    def take_panel(self):
        panels = ControlPanel.objects.visible_to(self.request.user).select_related("building", "position")
        self.panel = get_object_or_404(panels, pk=self.kwargs["pk"])

    def named(self):
        return self.panel

    def form_arguments(self):
        loose = Position.objects.in_use().with_place_for_a_unit().filter(panel=self.panel).on_no_run()
        loose = loose.exclude(kind=DeviceKind.CONTROL_PANEL)
        devices = list(loose.order_by("tag_key").select_related("building", "product_model"))
        return {"devices": devices, "panel": self.panel, "initial": {"devices": ""}}

    def get_context(self, form):
        return {**super().get_context(form), "offered": list(form.fields["devices"].offered.values())}

    def get_heading(self, record):
        return f"Wire switches, sensors and interfaces of {self.panel}"

    def loop(self, form):
        typed = form.cleaned_data
        return loop_inputs(panel=self.panel, block=typed["block"], devices=typed["devices"], options=form.options())


class PanelPatternView(ZonesFormPage):
    """The terminals of a panel with so many outputs, lines and inputs, in one step."""

    form_class = PanelPatternForm
    template_name = "zones/wiring/panel_pattern.html"
    verb = "Make the terminals"

    def get_record(self):
        panels = ControlPanel.objects.visible_to(self.request.user).select_related(
            "building", "position__product_model"
        )
        self.panel = get_object_or_404(panels, pk=self.kwargs["pk"])
        return None

    def form_arguments(self):
        circuits, lines = self.panel.actuator_circuits, self.panel.detection_lines.filter(starts_at=None)
        own_inputs = self.panel.input_ports.filter(starts_at=None).values_list("number", flat=True)
        blocks = Terminal.objects.filter(panel=self.panel, block__startswith="XS").values("block").distinct().count()
        return {
            "initial": {
                "outputs": max(circuits.values_list("number", flat=True), default=0),
                "lines": max(lines.values_list("number", flat=True), default=0),
                "inputs": max(blocks, *own_inputs, 0),
                "links": max(self.panel.data_links.values_list("number", flat=True), default=0),
            }
        }

    def get_heading(self, record):
        return f"Terminals of {self.panel} from its wiring pattern"

    def get_trail(self, record):
        return [self.panel.building, self.panel]

    def get_back_url(self, record):
        return reverse("panel-wiring", args=[self.panel.pk])

    def get_context(self, form):
        model = self.panel.position.product_model
        return {
            **super().get_context(form),
            "product_model": model,
            "is_own": bool(model and model.wiring_pattern),
            "pattern": pattern_text_for(kind=DeviceKind.CONTROL_PANEL, product_model=model),
        }

    def act(self, form):
        self.made = use_panel_pattern(panel=self.panel, **form.cleaned_data)
        return self.panel

    def success_url(self, record):
        return self.get_back_url(record)

    def announce(self, record):
        made = self.made
        text = f"{counted(len(made.terminals), 'terminal')} made, {len(made.completed)} completed."
        if made.runs:
            text += f" New in the register: {', '.join(f'{run}' for run in made.runs[:12])}."
        messages.success(self.request, text)


class DevicePatternView(RoleMixin, View):
    """POST only: make the terminals of a device from its wiring pattern."""

    roles = STAFF_ROLES
    http_method_names = ["post"]

    def post(self, request, pk):
        positions = Position.objects.visible_to(request.user).select_related("building", "product_model")
        position = get_object_or_404(positions, pk=pk)
        try:
            made = use_device_pattern(position=position)
        except ValidationError as error:
            messages.error(request, " ".join(error.messages))
        else:
            messages.success(
                request, f"{counted(len(made.terminals), 'terminal')} made, {len(made.completed)} completed."
            )
        return redirect("device-terminal-list", position.pk)


class WiringPatternView(ZonesFormPage):
    """The wiring pattern of a product model as text; empty: the usual one of its kind."""

    roles = (Role.OFFICE,)
    form_class = WiringPatternForm
    template_name = "zones/wiring/wiring_pattern.html"
    verb = "Save pattern"
    saved_message = "Wiring pattern of {record} saved. Terminals made before stay as they are."

    def get_record(self):
        self.product_model = for_change(ProductModel.objects.with_maker(), self.request, pk=self.kwargs["pk"])
        return None

    def form_arguments(self):
        model = self.product_model
        return {
            "kind": model.kind,
            "initial": {"wiring_pattern": pattern_text_for(kind=model.kind, product_model=model)},
        }

    def get_heading(self, record):
        return f"Wiring pattern of {self.product_model}"

    def get_trail(self, record):
        return [self.product_model]

    def get_back_url(self, record):
        return self.product_model.get_absolute_url()

    def get_context(self, form):
        return {**super().get_context(form), "product_model": self.product_model, "example": EXAMPLE_LINE}

    def act(self, form):
        text = form.cleaned_data["wiring_pattern"]
        try:
            return change_pattern(product_model=self.product_model, text=text)
        except ValidationError as error:
            tell(form, error)
            return None
