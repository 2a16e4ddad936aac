"""Locating a fault on a monitored line: ranked explanations of a reading, by hand and from the record."""

import re
from math import inf
from typing import NamedTuple

from django.shortcuts import get_object_or_404
from django.urls import reverse

from zones.calculators.forms.lines import RecordedFaultForm, TypedFaultForm
from zones.calculators.views.base import Answer, CalculatorPage
from zones.calculators.views.lines import line_of, with_ranges
from zones.design_check import parts
from zones.design_check.checked import checked_panel
from zones.design_check.findings import Links, ShownFinding
from zones.engineering import locate_fault
from zones.engineering.detection_lines import PANEL_TERMINALS
from zones.engineering.fault_location import tell_apart
from zones.engineering.findings import Figure, missing, question
from zones.engineering.line_check import meter_reads_ohm, missing_figures
from zones.engineering.line_words import meter_in_words, ohm_in_words, span_in_words
from zones.engineering.sources import DATA_SHEET, OHMS_LAW, PRACTICE, RECORD
from zones.models import ControlPanel, EndPlace

FITS = 0.5  # score below which engineering takes an explanation to fit reading and reports
FIRST = 5  # explanations that fit and are shown at once
OTHERS = 5  # explanations shown beside those that fit
FORMULA = "every cause computed forwards; ranked by how far the reading lies off, and by reports that do not agree"


class Told(NamedTuple):
    """One explanation for the page."""

    sentence: str
    predicted: str
    distance: str
    contradicting: str
    next_measurement: str


def explained(line, figures, reporting, practice):
    """The answer to a reading: those that fit, the nearest others, and what tells them apart."""
    reading_ohm, fed = figures["reading_ohm"], figures["taken"] == "panel"
    if reading_ohm is None:
        return Answer((missing("line.reading", line.name, "reading", [], RECORD, not_checked="the line"),))
    ranked = locate_fault(line, reading_ohm, reporting=reporting, fed_by_panel=fed, practice=practice)
    fitting = [one for one in ranked if one.score < FITS]
    others = [one for one in ranked if one.score >= FITS][:OTHERS]
    expected = meter_in_words(meter_reads_ohm(line, practice))
    extra = {
        "reading": ohm_in_words(reading_ohm),
        "expected": expected,
        "reporting": reporting,
        "fitting": [_told(one) for one in fitting[:FIRST]],
        "alike": [_told(one) for one in fitting[FIRST:]],
        "others": [_told(one) for one in others],
        "apart": tell_apart(line, ranked) if len(fitting) > 1 else "",
        "formula": FORMULA,
        "source": OHMS_LAW,
    }
    return Answer(tuple(_polarity(line, figures, ranked[0], reporting, fed, practice)), (), extra)


def _told(one):
    distance = "within it" if one.distance_ohm == 0 else f"{ohm_in_words(one.distance_ohm)} off"
    if one.distance_ohm == inf:
        distance = "far off: one of them is open"
    return Told(
        one.sentence, span_in_words(one.predicted), distance, ", ".join(one.contradicting), one.next_measurement.strip()
    )


def _polarity(line, figures, best, reporting, fed, practice):
    """Both polarities must read alike on resistors; if not, something lets current through one way."""
    first, second = figures["reading_ohm"], figures["swapped_ohm"]
    if second is None:
        return
    inputs = (Figure("reading", ohm_in_words(first)), Figure("leads swapped", ohm_in_words(second)))
    # Each of the two readings may be off by the tolerance of the meter and by its last digit.
    both_measured = inf not in (first, second)
    if first == second or (
        both_measured and abs(first - second) <= 2 * practice.meter_tolerance * max(first, second) + 2
    ):
        return
    other = locate_fault(line, second, reporting=reporting, fed_by_panel=fed, practice=practice)[0]
    words = (
        f"The two polarities differ ({ohm_in_words(first)} and {ohm_in_words(second)}): electronics or a diode on the "
        f"line, reversed cores, or a voltage from elsewhere. Make sure that nothing feeds the line, and read again. "
    )
    alike = other.sentence == best.sentence
    words += "Both readings have the same first explanation." if alike else f"The second alone: {other.sentence}"
    yield question("line.polarity", line.name, words, PRACTICE, inputs, "difference within twice the meter's tolerance")


class TypedFaultPage(CalculatorPage):
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
        return explained(line, figures, _names(line, figures["reporting"]), practice)


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


class RecordedFaultPage(CalculatorPage):
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
        return explained(self.line, figures, figures["reporting"] if tried else None, practice)

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
