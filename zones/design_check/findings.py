"""How findings are shown: grouped by what they are about, worst first, each with a way to where it is put right."""

import re
from dataclasses import dataclass
from urllib.parse import urlencode

from django.urls import reverse

from sites_registry.access import STAFF_ROLES, Role
from sites_registry.states import key_and_word
from zones.design_check import parts, ports
from zones.design_check.checked import CheckedPanel
from zones.design_check.figure_places import (
    FIGURES_OF_THE_SET,
    OF_ACTUATORS,
    OF_ITS_CABLES,
    OF_THE_BATTERYS_SHEET,
    OF_THE_PANELS_SHEET,
    OF_THE_SET,
    OF_THE_START,
    RUNS,
    ways_of_remedy,
)
from zones.design_check.vent_links import FIELD_OF_VENT, FIGURE_OF_MOVERS, OF_THE_BASIS, first_named, named_in
from zones.engineering.battery_check import ENOUGH_VOLTAGE
from zones.engineering.editions import document_of
from zones.engineering.findings import Finding, Severity, worst_first, worst_severity
from zones.engineering.quantities import shown
from zones.models.kinds import facts_of

# Severity → (key of the state's glyph and tone, word). The good word says no more than that an entered value is met.
SHOWN = {
    Severity.FAIL: key_and_word("not_met"),
    Severity.MISSING: key_and_word("not_known"),
    Severity.QUESTION: key_and_word("question"),
    Severity.MEETS: key_and_word("meets"),
    Severity.NOTE: key_and_word("note"),
}
TO_ACT_ON = (Severity.FAIL, Severity.MISSING, Severity.QUESTION)

NUMBER_AND_UNIT = re.compile(r"(?<=\d) (?=(?:V|A|Ah|m|mm|mm²|m²|mm/s|s|h|°C|Ω|kΩ|ohm|kilohm|min|days)\b)")
TAG_IN_WORDS = {
    "S2": "Compare with the document.",
    "M": "Compare with the document.",
    "P": "Common practice or as entered.",
    "calc": "Arithmetic.",
}


@dataclass(frozen=True, slots=True)
class ShownFinding:
    """One finding as a page shows it; `url` and `word` lead to the form where it is put right, empty for readers.

    `also`: further ways, (url, word).
    """

    finding: Finding
    url: str = ""
    word: str = ""
    also: tuple = ()

    @property
    def key(self):
        return SHOWN[self.finding.severity][0]

    @property
    def state_word(self):
        return SHOWN[self.finding.severity][1]

    @property
    def sentence(self):
        """The sentence, with a capital where it begins with the name of a figure; a number stays with its unit."""
        text = self.finding.sentence
        return NUMBER_AND_UNIT.sub("\u00a0", text[:1].upper() + text[1:])

    @property
    def figures(self):
        """(name, value in words, unit) of what was put in."""
        return [
            (one.name, one.value if isinstance(one.value, str) else shown(one.value), one.unit)
            for one in self.finding.inputs
        ]

    @property
    def compared(self):
        """(figure, limit, margin) in words, where one figure decides; empty for the rest."""
        compared = self.finding.compared
        if compared is None:
            return ()
        figure, limit, margin = (
            f"{shown(one)}\u00a0{compared.unit}" for one in (compared.figure, compared.limit, compared.margin_left)
        )
        return figure, f"{compared.word}\u00a0{limit}", margin.replace("-", "\u2212")

    @property
    def source(self):
        """The source with how it is known and what became of its edition."""
        source = self.finding.source
        document = document_of(source)
        return f"{source.in_full}; {document.standing}" if document and document.standing else source.in_full

    @property
    def source_note(self):
        return TAG_IN_WORDS.get(self.finding.source.tag, "")


@dataclass(frozen=True, slots=True)
class Group:
    """All findings about one thing: a circuit, a line, a zone, the panel itself."""

    heading: str
    lines: tuple[ShownFinding, ...]
    url: str = ""

    @property
    def worst(self):
        return worst_severity(line.finding for line in self.lines)

    @property
    def key(self):
        return SHOWN[self.worst][0]

    @property
    def word(self):
        return SHOWN[self.worst][1]


def heading_of(checked, finding):
    """What a finding is about: "Circuit 2 North stair", "Line 2 …", "Zone 2 …", or the panel's tag."""
    names = {parts.circuit_name(circuit) for circuit in checked.records.circuits}
    if finding.subject in names:
        return finding.subject
    if finding.subject in {ports.input_name(one) for one in checked.records.inputs} and _is_of_input(finding):
        return f"Input {finding.subject}"
    family, _, rest = finding.code.partition(".")
    if family == "link":
        return finding.subject
    if family == "line" or rest == "line_end" or finding.sentence.startswith(f"Line {finding.subject}"):
        return f"Line {finding.subject}"
    is_of_zone = family in ("area", "air", "force", "class") and finding.code not in ("air.asked", "force.not_checked")
    if is_of_zone or rest == "zone" or finding.sentence.startswith(f"Zone {finding.subject}"):
        return f"Zone {finding.subject}"
    if rest in ("vent_zone", "group"):
        return f"{'Vent' if rest == 'vent_zone' else 'Group'} {finding.subject}"
    # Of the panel itself there is much to say: supply, battery and the rest each have a heading.
    topic = {"supply": "supply", "battery": "battery", "cable": "cables", "protection": "protection of outputs"}.get(
        family, "record"
    )
    return f"{checked.panel.tag}: {topic}"


def _is_of_input(finding):
    """A line and an input may be called alike: the sentence tells which is meant."""
    return "input " in finding.sentence.lower()


def groups_of(checked: CheckedPanel, *, severities=tuple(Severity), user=None, back=""):
    """Groups of a panel's findings, those with the worst finding first; links only for people who may edit."""
    found = {}
    for finding in checked.findings:
        if finding.severity in severities:
            found.setdefault(heading_of(checked, finding), []).append(finding)
    links = Links(checked, user, back)
    groups = [
        Group(
            heading,
            tuple(ShownFinding(one, *links.of(one, heading)) for one in worst_first(findings)),
            links.page(heading),
        )
        for heading, findings in found.items()
    ]
    ranks = list(Severity)
    return sorted(groups, key=lambda group: ranks.index(group.worst))


def building_group(building, findings, *, severities=tuple(Severity), user=None, back=""):
    """The findings that belong to no panel, as a group; None when there are none to show."""
    shown = [one for one in worst_first(findings) if one.severity in severities]
    if not shown:
        return None
    is_staff = user is not None and user.role in STAFF_ROLES
    url = reverse("building-set-up", args=[building.slug]) if is_staff else ""
    lines = tuple(
        ShownFinding(one, *((url, "Set up") if url and one.severity == Severity.MISSING else ("", ""))) for one in shown
    )
    return Group("The building as a whole", lines)


class Links:
    """Where each figure is entered. Nothing for people who may not edit: they read the sentence."""

    def __init__(self, checked, user, back):
        self.checked, self.records, self.back = checked, checked.records, back
        self.role = getattr(user, "role", None)
        records = checked.records
        self.circuits = {parts.circuit_name(circuit): circuit for circuit in records.circuits}
        self.lines = {f"Line {parts.line_name(line)}": line for line in records.lines}
        self.links = {ports.link_name(link): link for link in records.links}
        self.inputs = {f"Input {ports.input_name(one)}": one for one in records.inputs}
        self.zones = {f"Zone {parts.zone_name(zone)}": zone for zone in records.zones}

    def page(self, heading):
        """The record's own page or form for the heading of a group."""
        if heading in self.zones:
            zone = self.zones[heading]
            return reverse("zone-detail", args=[self.checked.panel.building.slug, zone.number])
        if run := self.circuits.get(heading) or self.lines.get(heading):
            return run.get_absolute_url()
        if self.role not in STAFF_ROLES:
            return ""
        if heading in self.links:
            return self.links[heading].get_absolute_url()
        if heading in self.inputs:
            return self._url("input-port-update", self.inputs[heading].pk)
        return self.checked.panel.get_absolute_url()

    def of(self, finding, heading):
        """(url, word) of the form for a missing figure; of the record's own form for what is not met or asked.

        Where a remedy may be carried out in two places the other stands behind them.
        """
        if self.role not in STAFF_ROLES or finding.severity in (Severity.MEETS, Severity.NOTE):
            return "", ""
        what = finding.inputs[0].name if finding.inputs and finding.severity == Severity.MISSING else ""
        if heading in self.circuits:
            return self._of_circuit(self.circuits[heading], finding, what)
        if heading in self.lines:
            return self._of_line(self.lines[heading], what)
        if heading in self.links:
            return self._of_link(self.links[heading], what)
        if heading in self.inputs:
            return self._of_input(self.inputs[heading], what)
        if heading in self.zones:
            return self._of_zone(self.zones[heading], finding, what)
        return self._of_panel(finding, what)

    def _url(self, name, *arguments):
        url = reverse(name, args=arguments)
        return f"{url}?{urlencode({'next': self.back})}" if self.back else url

    def _model(self, positions, field):
        """The data sheet of the first device that lacks a figure, or that device's own form when it has no model."""
        for position in positions:
            model = position.model_here
            if model is None:
                return self._url("position-update", position.pk), f"Choose the model of {position.tag}"
            if field is None or getattr(model, field) in (None, ""):
                return self._sheet(model)
        return "", ""

    def _sheet(self, model):
        if self.role == Role.OFFICE:
            return self._url("product-model-update", model.pk), f"Enter it: data sheet of {model}"
        return reverse("product-model-detail", args=[model.pk]), f"{model}: the office enters it"

    def _of_circuit(self, circuit, finding, what):
        on_it = self.records.on_circuit[circuit.pk]
        field = {
            "rated current": "rated_current_a",
            "minimum voltage": "minimum_voltage_v",
            "rated voltage": "rated_voltage_v",
            "starting current": "starting_current_a",
            "stroke": "stroke_mm",
            "speed": "speed_mm_s",
            "speed at a lower voltage": "lower_speed_mm_s",
            "time of the starting current": "starting_s",
            "kind of load": "load_kind",
        }.get(what)
        if field:
            return self._model(on_it, field)
        if what in ("voltage on mains", "voltage at the end of discharge"):
            return self._panel_or_sheet("own_voltage_drop_v", "rated_voltage_v")
        if what == "peak current of the output":
            return self._panel_or_sheet("own_voltage_drop_v", "output_peak_a")
        if what == "minutes in the fire":
            return self._basis()
        if finding.code.startswith("protection.") and (to_sheet := self._of_sheet_or_set(finding, what)):
            return to_sheet
        cables = self._url("circuit-cables", circuit.pk)
        if ways := ways_of_remedy(finding, cables=cables, device=self._url("circuit-update", circuit.pk)):
            return ways
        if finding.code.startswith(("cable.", *OF_ITS_CABLES)) or what.startswith(RUNS):
            return cables, "Enter the cable runs"
        if finding.code == "figure.refused":
            return self._cables()
        return self._url("circuit-update", circuit.pk), "Change the circuit"

    def _of_line(self, line, what):
        on_it = self.records.on_line[line.pk]
        field = {
            "alarm resistance": "alarm_resistance_ohm",
            "quiescent current": "standby_current_a",
            "effect of taking out the head": "removal_opens_line",
        }.get(what)
        if field:
            return self._model(on_it, field)
        if what == "whether the first alarm is kept" and line.starts_at_id is None:
            return self._panel_or_sheet("own_voltage_drop_v", "keeps_first_alarm")
        if what in OF_THE_START and line.starts_at_id in self.records.at:
            return self._model([self.records.at[line.starts_at_id]], None)
        if what.startswith("cable"):
            return self._url("line-cables", line.pk), "Enter the cable runs"
        return self._url("line-update", line.pk), "Change the line"

    def _of_link(self, link, what):
        field = {"current in alarm": "alarm_current_a", "least voltage": "minimum_voltage_v"}.get(what)
        if field:
            return self._model(self.records.on_link[link.pk], field)
        if what == "voltage at the end of discharge":
            return self._panel_or_sheet("own_voltage_drop_v", "rated_voltage_v")
        if what.startswith("cable"):
            return self._cables()
        return link.get_absolute_url(), "Open the data link"

    def _of_input(self, one, what):
        return (
            self._cables() if what.startswith("cable") else (self._url("input-port-update", one.pk), "Change the input")
        )

    def _cables(self):
        return reverse("cable-list", args=[self.checked.panel.building.slug]), "Open the cables"

    def _of_zone(self, zone, finding, what):
        purposes = ("inlet",) if finding.code.startswith("air.") else ("outlet",)
        if finding.code.startswith("force."):
            purposes = ("inlet", "outlet")
        vents = [one for one in self.records.vents if one.smoke_zone_id == zone.pk and one.purpose in purposes]
        if finding.code in ("air.cause", "air.signal"):
            return reverse("rule-matrix", args=[self.checked.panel.pk]), "Open the cause and effect"
        what = first_named(what)
        if figure := FIGURE_OF_MOVERS.get(what):
            return self._model([each for vent in vents for each in self.records.movers[vent.pk]], figure)
        if what in OF_THE_BASIS:
            return self._basis()
        field = FIELD_OF_VENT.get(what)
        of_one = finding.code.startswith(("force.", "class.", "area.declared"))
        if not what and of_one and (vent := named_in(vents, finding.sentence)):
            return self._url("vent-update", vent.pk), f"Change vent {vent.tag}"
        lacking = [vent for vent in vents if field and getattr(vent, field) in (None, "")]
        if vent := named_in(lacking, finding.sentence) or next(iter(lacking), None):
            return self._url("vent-update", vent.pk), f"Enter it: vent {vent.tag}"
        slug = self.checked.panel.building.slug
        return self._url("zone-update", slug, zone.number), "Change the zone"

    def _of_panel(self, finding, what):
        records = self.records
        if finding.code == "consistency.identical_units":
            slug = self.checked.panel.building.slug
            return self._url("serial-list", slug), "Record serials"
        if what in ("basis and edition of the standby period", "number of operations after standby"):
            return self._basis()
        if what.startswith(ENOUGH_VOLTAGE):
            return self._runs_to(what.removeprefix(ENOUGH_VOLTAGE).strip())
        actuators = [each for on_it in records.on_circuit.values() for each in on_it]
        if fields := OF_ACTUATORS.get(what):
            return next((link for field in fields if (link := self._model(actuators, field))[0]), ("", ""))
        if what == "standby current":  # of devices: see design_supply.quiescent_a
            devices = [each for each in records.positions if facts_of(each.kind).is_electronic]
            return self._model(devices, "standby_current_a")
        if what == "rated voltage":
            if finding.sentence.startswith(f"rated voltage of {records.panel.tag} not"):
                return self._panel_or_sheet("rated_voltage_v", "rated_voltage_v")
            return self._model(records.positions, "rated_voltage_v")
        if what == "rated current" and "the supply of" not in finding.sentence:
            return self._model(actuators, "rated_current_a")
        return self._of_sheet_or_set(finding, what) or (self._url("panel-update", records.panel.pk), "Change the panel")

    def _runs_to(self, tag):
        """The cable runs of the circuit of an actuator: what too little voltage is put right by."""
        for circuit in self.circuits.values():
            if any(each.tag == tag for each in self.records.on_circuit[circuit.pk]):
                return self._url("circuit-cables", circuit.pk), f"Cable runs of {parts.circuit_name(circuit)}"
        return "", ""

    def _of_sheet_or_set(self, finding, what):
        """The panel's data sheet, the battery's, or the form of the set; None where it is none of them."""
        battery = self.records.battery
        if of_sheet := OF_THE_PANELS_SHEET.get(what):
            return self._panel_or_sheet("own_voltage_drop_v", of_sheet)
        if what in OF_THE_BATTERYS_SHEET and battery and battery.product_model:
            return self._sheet(battery.product_model)
        if what in FIGURES_OF_THE_SET or (not what and finding.code in OF_THE_SET):
            return self._battery()
        return None

    def _panel_or_sheet(self, own, of_sheet):
        """The panel's own form, unless only the data sheet can have the figure."""
        model, panel = self.records.model, self.records.panel
        if model is not None and getattr(model, of_sheet) in (None, ""):
            return self._sheet(model)
        return self._url("panel-update", panel.pk), "Change the panel"

    def _basis(self):
        return self._url("design-basis-update", self.checked.panel.building.slug), "State it in the design basis"

    def _battery(self):
        if self.records.battery is None:
            return self._url("battery-set-create", self.records.panel.pk), "Record the battery"
        return self._url("battery-set-update", self.records.battery.pk), "Change the battery set"
