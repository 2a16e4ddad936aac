"""Forms of data links and inputs; they are shown on the panel's page, a data link on one of its own."""

from django.urls import reverse
from django.views.generic import DetailView

from sites_registry.access import VisibleMixin
from sites_registry.history import changes_of
from zones.editing.pages import RemovePage, may_edit
from zones.models import DataLink, InputPort
from zones.panels.forms.ports import DataLinkForm, InputPortForm
from zones.panels.input_ports import put_devices
from zones.panels.link_lists import entries_of
from zones.panels.tag_ranges import tag_ranges
from zones.panels.views.circuits import next_number
from zones.panels.views.panels import ChangeOnPanelPage, OnPanelPage
from zones.units.patterns import NUMBERS_OF_THE_PANEL


class DataLinkDetailView(VisibleMixin, DetailView):
    """The panel's list of a data link: what it found, and where each of it hangs."""

    queryset = DataLink.objects.select_related("panel__building", "panel__position", "wiring_complete_by")
    template_name = "zones/panels/data_link_detail.html"
    context_object_name = "link"

    def get_context_data(self, **kwargs):
        link, edits = self.object, may_edit(self.request)
        positions = list(link.positions.in_use().order_by("order_on_line", "tag_key"))
        entries = entries_of(link)
        confirmed = {entry.position_id for entry in entries}
        return super().get_context_data(
            panel=link.panel,
            building=link.panel.building,
            entries=entries,
            positions=positions,
            may_edit=edits,
            ranges=tag_ranges(positions),
            loose_ranges=tag_ranges(position for position in positions if position.pk not in confirmed),
            changes=changes_of(link) if edits else [],
            **kwargs,
        )


class DataLinkCreateView(OnPanelPage):
    model = DataLink
    form_class = DataLinkForm
    verb = "Add data link"
    saved_message = "{record} added. Put its call points on it, then enter the panel's list."

    def get_heading(self, record):
        return f"Add data link to {self.panel.tag}"

    def form_arguments(self):
        return {"initial": {"number": next_number(self.panel.data_links)}}


class DataLinkUpdateView(ChangeOnPanelPage):
    model = DataLink
    form_class = DataLinkForm
    template_name = "zones/editing/mistake_form.html"
    verb = "Save data link"
    saved_message = "{record} saved."

    def get_heading(self, record):
        return f"Data link of {record.panel.tag}"

    def get_context(self, form):
        return {**super().get_context(form), "remove_url": reverse("data-link-remove", args=[self.record.pk])}


class DataLinkRemoveView(RemovePage):
    queryset = DataLink.objects.select_related("panel__position")

    def get_back_url(self, record):
        return record.panel.get_absolute_url()


class InputPortPage:
    """Saves an input together with the devices wired to it."""

    def act(self, form):
        return put_devices(input_port=form.save(), devices=form.cleaned_data["wired"])


class InputPortCreateView(InputPortPage, OnPanelPage):
    model = InputPort
    form_class = InputPortForm
    verb = "Add input"
    saved_message = "{record} added."
    can_add_another = True
    kept_fields = (
        "starts_at",
        "long_press",
        "short_press",
        "smoke_zone",
        "vent_group",
        "is_monitored",
        "end_of_line_ohm",
        "end_place",
    )

    def following(self, record):
        # Open and close of one switch are two inputs with the same device.
        tags = record.wired_devices.order_by("order").values_list("position__tag", flat=True)
        return {"wired": ", ".join(tags)}

    def get_heading(self, record):
        return f"Add input to {self.panel.tag}"

    def form_arguments(self):
        own = self.panel.input_ports.filter(starts_at=None, number__lte=NUMBERS_OF_THE_PANEL)
        return {"initial": {"number": next_number(own)}}


class InputPortUpdateView(InputPortPage, ChangeOnPanelPage):
    model = InputPort
    form_class = InputPortForm
    template_name = "zones/editing/mistake_form.html"
    verb = "Save input"
    saved_message = "{record} saved."

    def get_heading(self, record):
        return f"Input of {record.panel.tag}"

    def get_context(self, form):
        return {**super().get_context(form), "remove_url": reverse("input-port-remove", args=[self.record.pk])}


class InputPortRemoveView(RemovePage):
    queryset = InputPort.objects.select_related("panel__position")
