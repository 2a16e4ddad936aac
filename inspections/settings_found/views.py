"""Compare the settings of a panel with those as left, on a visit under way; take a found value over after it."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.views.decorators.http import require_POST

from inspections.defects.edits import open_defects_of_settings
from inspections.models import SettingFound
from inspections.settings_found.forms import SettingsFoundForm
from inspections.settings_found.found import (
    mark_of_lines,
    record_rest_as_left,
    record_settings,
    rest_of,
    take_over_setting,
)
from inspections.visits.edits import VisitRefused
from inspections.visits.kept_forms import kept_form
from inspections.visits.views.field import visit_of
from sites_registry.access import STAFF_ROLES, Role, for_roles
from sites_registry.filled_in import filled_in_at
from sites_registry.views.base import FormPage
from zones.models import ControlPanel
from zones.panel_settings.edits import SettingRefused
from zones.panel_settings.sheet import settings_sheet

ROWS_PER_PAGE = 40  # five fields a row: well within what a browser may send in one form
SHOWN = {"": "all", "remaining": "remaining", "differs": "different"}


class VisitSettings(FormPage):
    roles = (Role.ENGINEER,)
    form_class = SettingsFoundForm
    template_name = "inspections/settings_found/visit_settings.html"
    verb = "Save what is answered"
    ahead = None  # of a visit that a phone takes along before it is started (visits/ahead.py)

    def get_record(self):
        self.visit = self.ahead.visit if self.ahead else visit_of(self.request, self.kwargs["pk"])
        panels = ControlPanel.objects.visible_to(self.request.user).select_related("building", "position")
        self.panel = get_object_or_404(panels, pk=self.kwargs["panel_pk"], building=self.visit.building)
        self.sheet = settings_sheet(self.panel)
        latest = self.visit.settings_found.filter(panel=self.panel).latest().select_related("recorded_by", "defect")
        self.entries = {entry.key: entry for entry in latest}
        return None

    def form_arguments(self):
        show = self.request.GET.get("show", "")
        self.show_only = show if show in SHOWN else ""
        if self.request.method == "POST":
            # The rows that were sent: somebody else's answers may have moved the pages meanwhile.
            lines = [line for line in self.sheet.lines if f"seen-{line.key}" in self.request.POST][:ROWS_PER_PAGE]
            self.page = Paginator(lines, ROWS_PER_PAGE).get_page(1)
        else:
            self.page = Paginator(self.asked_for(), ROWS_PER_PAGE).get_page(self.request.GET.get("page"))
        lines = list(self.page.object_list)
        defects = open_defects_of_settings(self.panel, [line.key for line in lines])
        return {"lines": lines, "entries": self.entries, "defects": defects}

    def asked_for(self):
        if self.show_only == "remaining":
            return [line for line in self.sheet.lines if line.key not in self.entries]
        if self.show_only == "differs":
            return [line for line in self.sheet.lines if line.key in self.entries and self.is_different(line)]
        return self.sheet.lines

    def is_different(self, line):
        return self.entries[line.key].is_difference

    def get_heading(self, record):
        return f"Settings of {self.panel}"

    def get_context(self, form):
        done = sum(line.key in self.entries for line in self.sheet.lines)
        sections = {}
        for row in form.rows():
            sections.setdefault(row.line.section, []).append(row)
        return super().get_context(form) | {
            "visit": self.visit,
            "kept_form": kept_form(
                self.request.user, self.visit, f"settings of {self.panel}", starts=self.visit.is_ahead
            ),
            "building": self.visit.building,
            "panel": self.panel,
            "sections": sections.items(),
            "done": done,
            "total": len(self.sheet.lines),
            "page": self.page,
            "tabs": SHOWN.items(),
            "shown": self.show_only,
            "not_on_record": self.entries_without_a_line(),
            "back_url": reverse("visit-field", args=[self.visit.pk]),
            **self.rest(),
        }

    def rest(self):
        """What one act would record as left, how many, and the mark by which a change of it is noticed."""
        if not self.visit.is_open_for_results:
            return {}
        rest = rest_of(self.visit, self.panel, self.sheet.lines)
        return {"rest": len(rest), "rest_mark": mark_of_lines(rest)}

    def entries_without_a_line(self):
        """What was compared and has left the record since."""
        keys = {line.key for line in self.sheet.lines}
        return [entry for key, entry in self.entries.items() if key not in keys]

    def perform(self, form):
        self.recorded = record_settings(
            visit=self.visit,
            panel=self.panel,
            answers=form.answers,
            recorded_by=self.request.user,
            recorded_at=filled_in_at(self.request, not_before=self.visit.started_at),
        )
        return self.visit

    def success_url(self, record):
        return self.request.get_full_path()

    def announce(self, record):
        count = len(self.recorded)
        words = f"{count} setting{'s' if count != 1 else ''} recorded." if count else "Nothing new to record."
        messages.success(self.request, words)
        defects = open_defects_of_settings(self.panel, [entry.key for entry in self.recorded])
        for defect in defects.values():
            messages.warning(self.request, f"{defect} stands open: {defect.description}.")


@for_roles(Role.ENGINEER)
@require_POST
def visit_settings_rest(request, pk, panel_pk):
    """Every remaining setting of the panel as seen and as left, in one act."""
    visit = visit_of(request, pk)
    panel = get_object_or_404(ControlPanel.objects.visible_to(request.user), pk=panel_pk, building=visit.building)
    if "seen_all" not in request.POST:
        messages.error(request, "Nothing was recorded: tick that you have seen each of the remaining settings.")
        return redirect("visit-settings", visit.pk, panel.pk)
    try:
        entries = record_rest_as_left(
            visit=visit,
            panel=panel,
            seen=request.POST.get("rest_mark", ""),
            recorded_by=request.user,
            recorded_at=filled_in_at(request, not_before=visit.started_at),
        )
    except VisitRefused as refusal:
        messages.error(request, str(refusal))
    else:
        count = len(entries)
        words = f"{count} setting{'s' if count != 1 else ''} recorded as seen and as left."
        messages.success(request, words if count else "Nothing was left to record.")
    return redirect("visit-settings", visit.pk, panel.pk)


@for_roles(*STAFF_ROLES)
@require_POST
def setting_take_over(request, pk):
    entries = SettingFound.objects.visible_to(request.user).select_related("visit", "panel")
    entry = get_object_or_404(entries, pk=pk)
    try:
        take_over_setting(entry=entry, taken_by=request.user)
    except SettingRefused as refusal:
        messages.error(request, f"{entry.name}: {refusal}")
    else:
        messages.success(request, f"The record says {entry.found_words} now: {entry.name}.")
        if entry.defect_id and entry.defect.is_open:
            messages.info(request, f"{entry.defect} stays open until a visit finds the setting as left.")
    return redirect(entry.visit.get_absolute_url() + "#settings")
