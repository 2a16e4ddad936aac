"""Locating a fault on a monitored line, reading by reading: by hand and from the record."""

import re

from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse

from zones.calculators.forms.lines import NextReadingForm, RecordedFaultForm, TypedFaultForm
from zones.calculators.views.base import Answer, CalculatorPage
from zones.calculators.views.fault_answers import choices_of, explained
from zones.calculators.views.lines import line_of, with_ranges
from zones.design_check import parts
from zones.design_check.checked import checked_panel
from zones.design_check.findings import Links, ShownFinding
from zones.engineering.detection_lines import PANEL_TERMINALS
from zones.engineering.findings import missing
from zones.engineering.line_check import meter_reads_ohm, missing_figures
from zones.engineering.line_words import meter_in_words
from zones.engineering.sources import DATA_SHEET, RECORD
from zones.models import ControlPanel, EndPlace


class FaultPage(CalculatorPage):
    """A search in steps. A reading that is added moves into the address as one more `m`, so that each can be undone."""

    added = None  # the form of the next reading, when it was refused

    def get(self, request):
        if "measured" in request.GET:
            self.added = NextReadingForm(request.GET)
            if self.added.is_valid():
                return redirect(f"{self._address(also=self.added.cleaned_data['m'])}#answer")
            self.is_refused = True
        return super().get(request)

    def _address(self, *, without=None, also=None):
        """This page with one reading less, or one more."""
        query = self.request.GET.copy()
        for name in ("measured", "shown"):
            query.pop(name, None)
        if without:
            query.setlist(without.key, [text for text in query.getlist(without.key) if text != without.text])
            if without.key != "m":
                del query[without.key]
        if also and also not in query.getlist("m"):  # sent twice, it is still one reading
            query.appendlist("m", also)
        return f"{self.request.path}?{query.urlencode()}"

    def explain(self, line, figures, reporting, practice):
        answer = explained(line, figures, reporting, practice)
        if answer.extra is None:
            return answer
        proposed = answer.extra["next"].code if answer.extra["next"] else ""
        form = self.added or NextReadingForm(initial={"measured": proposed})
        form.fields["measured"].widget.choices = choices_of(line)
        kept = [(name, text) for name, texts in self.request.GET.lists() for text in texts if text]
        more = {
            "form": form,
            "kept": [(name, text) for name, text in kept if name not in ("measured", "shown")],
            "taken": [(one, f"{self._address(without=one)}#answer") for one in answer.extra["taken"]],
        }
        return Answer(answer.findings, answer.heads, answer.extra | more)


class TypedFaultPage(FaultPage):
    template_name = "zones/calculators/locate_fault.html"
    form_class = TypedFaultForm
    heading = "Locate a fault on a line"
    lead = "What explains a reading at the terminals, and what to measure next?"
    hint = "Enter the reading and the line as it was designed. From the record of a panel it needs the reading only."

    def calculate(self, figures, practice):
        practice = with_ranges(practice, figures)
        line, gaps = line_of(figures)
        gaps = gaps or tuple(missing_of(line))
        if gaps:
            return Answer(gaps)
        return self.explain(line, figures, _names(line, figures["reporting"]), practice)


def _names(line, text):
    """The devices named in a text; None when it is empty, which is: not tried."""
    words = [word.upper() for word in re.split(r"[\s,;]+", text.strip()) if word]
    if not words:
        return None
    if words in (["ALL"], ["NONE"]):
        return [device.name for device in line.devices] if words == ["ALL"] else []
    return words


def missing_of(line):
    """What must be known to locate a fault on a line, as findings."""
    return [
        missing("line.states", line.name, what, owners, DATA_SHEET, not_checked="the line")
        for what, owners in missing_figures(line)
    ]


class RecordedFaultPage(FaultPage):
    """The same for a line of the record: its figures are those of the design check."""

    template_name = "zones/calculators/line_fault.html"
    form_class = RecordedFaultForm
    lead = TypedFaultPage.lead
    hint = "Take the line off the panel, measure at its terminals and enter the reading."

    def get(self, request, pk, number):
        panels = ControlPanel.objects.visible_to(request.user).select_related("building", "position")
        self.panel = get_object_or_404(panels, pk=pk)
        self.record = get_object_or_404(self.panel.detection_lines, number=number)
        self.checked = checked_panel(self.panel)
        self.name = parts.line_name(self.record)
        self.heading = f"Locate a fault on line {self.name}"
        self.line = next((line for line in self.checked.design.lines if line.name == self.name), None)
        self.obstacles = list(self._obstacles())
        return super().get(request)

    def make_form(self, data):
        devices = [device.name for device in self.line.devices] if self.line else []
        return self.form_class(data, devices=devices)

    def get_context(self):
        links = Links(self.checked, self.request.user, self.request.get_full_path())
        heading = f"Line {self.name}"
        expected = "" if self.obstacles else meter_in_words(meter_reads_ohm(self.line, self.checked.practice))
        return {
            "panel": self.panel,
            "record": self.record,
            "expected": expected,
            "obstacles": [ShownFinding(finding, *links.of(finding, heading)) for finding in self.obstacles],
            "change_url": reverse("line-update", args=[self.record.pk]),
        }

    def get_practice(self):
        return self.checked.practice

    def calculate(self, figures, practice):
        if self.obstacles:
            return Answer(())
        tried = figures["tried"] == "yes" or figures["reporting"]
        return self.explain(self.line, figures, figures["reporting"] if tried else None, practice)

    def _obstacles(self):
        """What the record must have before a fault can be located: a resistor at the last device, all figures."""
        place = self.record.end_place
        if self.line is None or place in ("", EndPlace.NONE_NEEDED):
            what = "place of the end-of-line resistor"
            yield missing("consistency.line_end", self.name, what, [], RECORD, not_checked=f"line {self.name}")
            return
        last = self.line.devices[-1].name if self.line.devices else PANEL_TERMINALS
        if [element.at for element in self.line.elements] != [last]:
            what = f"a resistor at {'the terminals' if last == PANEL_TERMINALS else last}"
            yield missing("consistency.line_end", self.name, what, [], RECORD, not_checked=f"line {self.name}")
            return
        yield from missing_of(self.line)
