"""Panels: the page with everything that hangs on one, and the forms that change it."""

from django.db.models import Count, Q
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.generic import DetailView

from sites_registry.access import STAFF_ROLES, VisibleMixin
from sites_registry.history import changes_of
from sites_registry.views.base import for_change
from sites_registry.views.lists import ListPage
from zones.design_check.checked import checked_panel
from zones.editing.pages import RemovePage, ZonesFormPage, building_of, may_edit
from zones.engineering.power_order import BATTERY_WORK, BEFORE_A_GUARD_COMES_OFF
from zones.models import BatterySet, ControlPanel, PanelSetting, Position
from zones.panels.answers import answers_of, checks_of_runs
from zones.panels.contents import figures_of, lacking_of_devices, other_devices_of, panel_of_page, runs_of
from zones.panels.edits import add_panel, change_battery, change_panel
from zones.panels.forms.panels import BatterySetForm, ChangeBatteryForm, PanelForm, SettingForm
from zones.panels.tables import PanelTable
from zones.units.power_orders import power_orders
from zones.wiring.state import state_of_panel, states_of_panels


class PanelListView(ListPage):
    model = ControlPanel
    table_class = PanelTable
    filterset_fields = []
    heading = "Control panels"
    add_word = "Add panel"
    add_url_name = "panel-create"
    add_roles = STAFF_ROLES
    empty_text = "No panel here yet."

    def get_queryset(self):
        self.building = building_of(self.request, self.kwargs["slug"])
        panels = ControlPanel.objects.visible_to(self.request.user).filter(building=self.building)
        return panels.select_related("position__product_model__maker").annotate(
            zones_count=Count("smoke_zones", distinct=True),
            circuits_count=Count("actuator_circuits", distinct=True),
            lines_count=Count("detection_lines", distinct=True),
            batteries_count=Count("battery_sets", filter=Q(battery_sets__removed_on=None), distinct=True),
        )

    def get_table_kwargs(self):
        return {**super().get_table_kwargs(), "wiring": states_of_panels(self.building)}

    def get_add_url(self):
        return reverse("panel-create", args=[self.building.slug])

    def get_trail(self):
        return [self.building]


class PanelDetailView(VisibleMixin, DetailView):
    queryset = ControlPanel.objects.all()
    template_name = "zones/panels/panel_detail.html"
    context_object_name = "panel"

    def get_queryset(self):
        return panel_of_page(super().get_queryset())

    def get_context_data(self, **kwargs):
        panel, checked = self.object, checked_panel(self.object)
        other_devices = other_devices_of(panel)
        return super().get_context_data(
            caution=BEFORE_A_GUARD_COMES_OFF,
            answers=answers_of(checked, state_of_panel(panel)),
            may_edit=may_edit(self.request),
            figures=figures_of(panel),
            fitting=next(iter(panel.position.open_fittings), None),
            battery=panel.battery_sets.fitted().select_related("product_model__maker").first(),
            other_devices=other_devices,
            lacking=lacking_of_devices(other_devices),
            zones=checked.records.zones,
            # Read through the relation: visits stand in an app above this one.
            compared=panel.settings_found.last_comparison(),
            **runs_of(panel, checks_of_runs(checked)),
            **kwargs,
        )


class PanelRecordView(VisibleMixin, DetailView):
    """What is kept of a panel beside what it is: how it is powered, sets that came out, files, changes."""

    queryset = ControlPanel.objects.all()
    template_name = "zones/panels/panel_record.html"
    context_object_name = "panel"

    def get_queryset(self):
        return panel_of_page(super().get_queryset())

    def get_context_data(self, **kwargs):
        panel = self.object
        return super().get_context_data(
            caution=BEFORE_A_GUARD_COMES_OFF,
            orders=power_orders(panel.position.product_model),
            may_edit=may_edit(self.request),
            earlier_batteries=panel.battery_sets.exclude(removed_on=None).select_related("product_model__maker"),
            changes=changes_of(panel) if may_edit(self.request) else [],
            attachments=panel.attachments.visible_to(self.request.user).for_list(),
            **kwargs,
        )


class PanelCreateView(ZonesFormPage):
    form_class = PanelForm
    heading = "Add control panel"
    verb = "Add panel"
    saved_message = "Panel {record} added."
    can_add_another = True

    def form_arguments(self):
        self.building = building_of(self.request, self.kwargs["slug"])
        return {}

    def get_trail(self, record):
        return [self.building]

    def get_back_url(self, record):
        return reverse("panel-list", args=[self.building.slug])

    def act(self, form):
        unit = {name: form.cleaned_data[name] for name in ("serial", "firmware", "fitted_on")}
        return add_panel(
            building=self.building, fitted_by=self.request.user, **unit, **form.position_values(), **form.panel_values()
        )


class PanelUpdateView(ZonesFormPage):
    form_class = PanelForm
    verb = "Save panel"
    saved_message = "Panel {record} saved."

    def get_record(self):
        return for_change(ControlPanel.objects, self.request, pk=self.kwargs["pk"])

    def get_heading(self, record):
        return f"Panel {record.tag}"

    def get_trail(self, record):
        return [record.building, record]

    def act(self, form):
        position = Position.objects.select_for_update(of=("self",)).get(pk=self.record.position_id)
        change_panel(position=position, **form.position_values())
        return form.save()


class OnPanelPage(ZonesFormPage):
    """A form for something that hangs on the panel of this address."""

    model = None

    def get_record(self):
        panels = ControlPanel.objects.visible_to(self.request.user).select_related("building", "position")
        self.panel = get_object_or_404(panels, pk=self.kwargs["pk"])
        return self.model(panel=self.panel)

    def get_trail(self, record):
        return [self.panel.building, self.panel]

    def get_back_url(self, record):
        return self.panel.get_absolute_url()


class ChangeOnPanelPage(ZonesFormPage):
    """A form that changes something that hangs on a panel."""

    model = None

    def get_record(self):
        return for_change(self.model.objects, self.request, pk=self.kwargs["pk"])

    def get_trail(self, record):
        return [record.panel.building, record.panel]


class BatteryChangeView(OnPanelPage):
    model = BatterySet
    form_class = ChangeBatteryForm
    template_name = "zones/panels/battery_change.html"
    saved_message = "Battery set recorded."

    def get_heading(self, record):
        return f"Change battery of {self.panel.tag}" if self.present else f"Record battery of {self.panel.tag}"

    @property
    def verb(self):
        return "Change battery" if self.present else "Record battery"

    @property
    def present(self):
        return self.panel.battery_sets.fitted().first()

    def get_context(self, form):
        return {**super().get_context(form), "present": self.present, "caution": BATTERY_WORK}

    def act(self, form):
        return change_battery(panel=self.panel, **form.cleaned_data)


class BatterySetUpdateView(ChangeOnPanelPage):
    model = BatterySet
    form_class = BatterySetForm
    verb = "Save battery set"
    lead_line = "Only to correct what was written. For new blocks use 'Change battery': the set that came out is kept."
    saved_message = "Battery set saved."

    def get_heading(self, record):
        return f"Battery set of {record.panel.tag}"


class SettingCreateView(OnPanelPage):
    model = PanelSetting
    form_class = SettingForm
    verb = "Add setting"
    saved_message = "Setting '{record}' added."
    can_add_another = True

    def get_heading(self, record):
        return f"Add setting to {self.panel.tag}"


class SettingUpdateView(ChangeOnPanelPage):
    model = PanelSetting
    form_class = SettingForm
    template_name = "zones/editing/mistake_form.html"
    verb = "Save setting"
    saved_message = "Setting '{record}' saved."

    def get_heading(self, record):
        return f"Setting of {record.panel.tag}"

    def get_context(self, form):
        return {**super().get_context(form), "remove_url": reverse("setting-remove", args=[self.record.pk])}


class SettingRemoveView(RemovePage):
    queryset = PanelSetting.objects.select_related("panel")
