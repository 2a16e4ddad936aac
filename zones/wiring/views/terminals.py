"""Terminals of a panel or of a device: the table, a run added in one step, one changed."""

from django.db.models import Prefetch, Q
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.views.generic import DetailView

from sites_registry.access import VisibleMixin
from sites_registry.views.base import for_change
from zones.editing.pages import RemovePage, ZonesFormPage, may_edit
from zones.engineering.power_order import BEFORE_A_GUARD_COMES_OFF
from zones.models import ControlPanel, CoreEnd, EndOfLinePart, Position, Terminal, TerminalLink
from zones.models.position_rules import is_of_a_panel
from zones.wiring.forms.terminals import TerminalForm, TerminalRangeForm
from zones.wiring.terminals import add_terminals, full_name


def with_cores(terminals):
    """Terminals in order, each with its `use`: the core end on it, with what is at the core's other end; a terminal
    that
    carries several has the others in `more_cores`."""
    ends = CoreEnd.objects.select_related("core__cable").order_by("slot")
    terminals = list(
        terminals.order_by("order_key", "pk").prefetch_related(
            Prefetch("core_ends", ends),
            "core_ends__core__ends__terminal__panel__position",
            "core_ends__core__ends__terminal__position",
        )
    )
    for terminal in terminals:
        uses = list(terminal.core_ends.all())
        terminal.use, terminal.more_cores = (uses[0] if uses else None), [use.core for use in uses[1:]]
        others = [end for end in terminal.use.core.ends.all() if end != terminal.use] if terminal.use else []
        terminal.other_end = full_name(others[0].terminal) if others else None
        terminal.other_place = "" if others or not terminal.use else _place_outside(terminal.use)
    return terminals


def _place_outside(use):
    """Where a core leads that ends at no terminal of the record, such as a distribution board, as its cable says."""
    cable = use.core.cable
    return cable.to_place if use.end == use.End.NEAR else cable.from_place


class PanelTerminalListView(VisibleMixin, DetailView):
    queryset = ControlPanel.objects.select_related("building", "position")
    template_name = "zones/wiring/terminal_list.html"
    add_url_name = "panel-terminal-create"

    def get_context_data(self, **kwargs):
        return super().get_context_data(
            owner=self.object,
            building=self.object.building,
            terminals=with_cores(self.terminals()),
            add_url=reverse(self.add_url_name, args=[self.object.pk]),
            may_edit=may_edit(self.request),
            caution=BEFORE_A_GUARD_COMES_OFF,
            **self.pattern_urls(),
            **kwargs,
        )

    def terminals(self):
        # Those stored at its own position as well: a register may hold such from before they were refused.
        return Terminal.objects.filter(Q(panel=self.object) | Q(position=self.object.position_id))

    def pattern_urls(self):
        return {"pattern_form_url": reverse("panel-terminal-pattern", args=[self.object.pk])}


class DeviceTerminalListView(PanelTerminalListView):
    queryset = Position.objects.select_related("building", "control_panel")
    add_url_name = "device-terminal-create"

    def get(self, request, *args, **kwargs):
        self.object = self.get_object()
        if is_of_a_panel(self.object):
            return redirect("panel-terminal-list", self.object.control_panel.pk)
        return self.render_to_response(self.get_context_data(object=self.object))

    def terminals(self):
        return self.object.terminals.all()

    def pattern_urls(self):
        return {"pattern_post_url": reverse("device-terminal-pattern", args=[self.object.pk])}


class PanelTerminalCreateView(ZonesFormPage):
    """Add a run of terminals to the panel of this address."""

    form_class = TerminalRangeForm
    verb = "Add terminals"
    saved_message = "Terminals of {record} added."
    can_add_another = True
    owners = ControlPanel.objects.select_related("building", "position")
    owner_name = "panel"
    list_url_name = "panel-terminal-list"

    def form_arguments(self):
        self.owner = get_object_or_404(self.owners.visible_to(self.request.user), pk=self.kwargs["pk"])
        return {}

    def get_heading(self, record):
        return f"Add terminals to {self.owner}"

    def get_trail(self, record):
        return [self.owner.building, self.owner]

    def get_back_url(self, record):
        return reverse(self.list_url_name, args=[self.owner.pk])

    def act(self, form):
        run = form.cleaned_data.pop("designations")
        add_terminals(**{self.owner_name: self.owner}, block=run.block, numbers=run.numbers, **form.cleaned_data)
        return self.owner

    def success_url(self, record):
        return self.get_back_url(record)


class DeviceTerminalCreateView(PanelTerminalCreateView):
    owners = Position.objects.select_related("building", "control_panel")
    owner_name = "position"
    list_url_name = "device-terminal-list"

    def get(self, request, *args, **kwargs):
        """A panel's own position leads to the form of the panel, whose terminals they are."""
        position = get_object_or_404(self.owners.visible_to(request.user), pk=kwargs["pk"])
        if is_of_a_panel(position):
            return redirect("panel-terminal-create", position.control_panel.pk)
        return super().get(request, *args, **kwargs)


def list_url_of(terminal):
    if terminal.panel_id:
        return reverse("panel-terminal-list", args=[terminal.panel_id])
    return reverse("device-terminal-list", args=[terminal.position_id])


def _with_other(model, terminal):
    """Links or ends of line at a terminal, each with the terminal at its other end."""
    found = model.objects.filter(Q(first=terminal) | Q(second=terminal)).select_related("first", "second")
    return [(one, one.second if one.first_id == terminal.pk else one.first) for one in found.order_by("pk")]


class TerminalUpdateView(ZonesFormPage):
    form_class = TerminalForm
    template_name = "zones/wiring/terminal_form.html"
    verb = "Save terminal"
    saved_message = "Terminal {record} saved."

    def get_record(self):
        return for_change(Terminal.objects, self.request, pk=self.kwargs["pk"])

    def get_heading(self, record):
        return f"Terminal of {record.panel or record.position}"

    def get_trail(self, record):
        return [record.building, record.panel or record.position]

    def get_back_url(self, record):
        return list_url_of(record)

    def success_url(self, record):
        return list_url_of(record)

    def get_context(self, form):
        return {
            **super().get_context(form),
            "remove_url": reverse("terminal-remove", args=[self.record.pk]),
            "links": _with_other(TerminalLink, self.record),
            "elements": _with_other(EndOfLinePart, self.record),
        }


class TerminalRemoveView(RemovePage):
    queryset = Terminal.objects.all()

    def get_back_url(self, record):
        return list_url_of(record)
