"""Links and ends of line: added at a terminal, changed, taken out."""

from django.shortcuts import get_object_or_404
from django.urls import reverse

from sites_registry.views.base import for_change
from zones.editing.pages import RemovePage, ZonesFormPage
from zones.models import EndOfLinePart, Terminal, TerminalLink
from zones.wiring.forms.terminal_links import EndOfLinePartForm, TerminalLinkForm
from zones.wiring.terminals import full_name

WITH_OWNERS = ("first__building", "first__panel__position", "first__position", "second")


class _AtATerminal(ZonesFormPage):
    """What the forms share: they lead back to the terminal that they were reached from."""

    def get_trail(self, record):
        first = record.first
        return [first.building, first.panel or first.position]

    def get_back_url(self, record):
        return reverse("terminal-update", args=[record.first_id])

    def success_url(self, record):
        return reverse("terminal-update", args=[record.first_id])


class _Create(_AtATerminal):
    model = None

    def get_record(self):
        terminals = Terminal.objects.visible_to(self.request.user)
        terminals = terminals.select_related("building", "panel__position", "position")
        return self.model(first=get_object_or_404(terminals, pk=self.kwargs["pk"]))

    def success_url(self, record):
        # A link is kept in one order: its first terminal need not be the one of this page.
        return reverse("terminal-update", args=[self.kwargs["pk"]])


class TerminalLinkCreateView(_Create):
    model = TerminalLink
    form_class = TerminalLinkForm
    verb = "Add link"
    saved_message = "Link {record} added."

    def get_heading(self, record):
        return f"Link from {full_name(record.first)}"


class EndOfLinePartCreateView(_Create):
    model = EndOfLinePart
    form_class = EndOfLinePartForm
    verb = "Add resistor or module"
    saved_message = "Added: {record}."

    def get_heading(self, record):
        return f"End-of-line resistor or module at {full_name(record.first)}"


class EndOfLinePartUpdateView(_AtATerminal):
    form_class = EndOfLinePartForm
    template_name = "zones/editing/mistake_form.html"
    verb = "Save"
    saved_message = "Saved: {record}."

    def get_record(self):
        return for_change(EndOfLinePart.objects.select_related(*WITH_OWNERS), self.request, pk=self.kwargs["pk"])

    def get_heading(self, record):
        return f"End-of-line resistor or module at {full_name(record.first)}"

    def get_context(self, form):
        return {**super().get_context(form), "remove_url": reverse("end-of-line-part-remove", args=[self.record.pk])}


class _Remove(RemovePage):
    def get_back_url(self, record):
        return reverse("terminal-update", args=[record.first_id])


class TerminalLinkRemoveView(_Remove):
    queryset = TerminalLink.objects.select_related(*WITH_OWNERS)


class EndOfLinePartRemoveView(_Remove):
    queryset = EndOfLinePart.objects.select_related(*WITH_OWNERS)
