"""The settings of a panel and its devices as left, line by line in the order an engineer sets them.

Read from the records with a fixed number of queries. What the register does not hold is said to be not known; an
access code is never among the lines.
"""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date
from functools import partial

from sites_registry.read_once import is_reading_once, read_once
from zones.cause_and_effect.records import (
    ALWAYS_THERE,
    CONDITIONS,
    INPUT_KIND_OF,
    positions_of,
    rules_in_words,
    rules_of,
)
from zones.engineering.access_codes import faults_of_setting
from zones.engineering.cause_and_effect.rules import VENTILATION, WEATHER
from zones.models import (
    ActuatorCircuit,
    CauseAndEffectRule,
    Coincidence,
    DataLink,
    DetectionLine,
    InputPort,
    PanelSetting,
    Position,
    SmokeZone,
)
from zones.models.kinds import Drive, EndPlace
from zones.panel_settings.port_settings import input_lines, link_lines
from zones.panel_settings.words import NOT_KNOWN, function_words, number_of, rule_words, tags_of
from zones.panels.contents import circuits_of, lines_of, with_devices, with_listed

Cause = CauseAndEffectRule.Cause
WITHHELD = "withheld: it looks like an access code; take it out of the record"
# What the free settings of a panel hold is typed by people; everything else of a line comes from a field or from rules.
CODE_CHANGED, CODE_NOT_CHANGED = "changed", "not recorded as changed"
INPUT_DEVICES = "Input devices"
ON_NO_ZONE = "on no zone"  # rain and wind act on the whole panel: none is not "not known"
BY_CAUSE = {of: cause for cause, (_, of, _) in CONDITIONS.items() if of in WEATHER}  # by what a device tells the panel


@dataclass(frozen=True, slots=True)
class SettingLine:
    """One setting as left. `key` stays the same while the record lives; `value` is in words where it is not known."""

    key: str
    section: str
    name: str
    value: str
    unit: str = ""
    allowed_range: str = ""
    is_known: bool = True
    of: str = ""  # what it is a setting of: "circuit 2"; empty for the panel itself
    choices: tuple[str, ...] = ()  # every value it can have, where these are few
    set_by: str = ""
    set_on: date | None = None

    @property
    def full_name(self):
        """The name as it stands alone: "Run time of circuit 2"."""
        text = f"{self.name} of {self.of}" if self.of else self.name
        return text[:1].upper() + text[1:]

    @property
    def value_with_unit(self):
        return f"{self.value} {self.unit}" if self.unit and self.is_known else self.value


@dataclass(frozen=True)
class SettingsSheet:
    """The lines of one panel; `sections` keeps their order."""

    panel: object
    lines: tuple[SettingLine, ...]

    @property
    def sections(self):
        """[(section, [line, …]), …] in the order of the sheet."""
        found = {}
        for line in self.lines:
            found.setdefault(line.section, []).append(line)
        return list(found.items())

    @property
    def not_known(self):
        return sum(not line.is_known for line in self.lines)


@dataclass(frozen=True)
class _Records:
    """What a sheet is read from: of one panel, however many panels were read at once."""

    positions: list
    rules: list
    coincidences: list
    zones: list
    circuits: list
    lines: list
    data_links: list
    inputs: list
    free: list


@read_once
def settings_sheet(panel):
    """Every setting of a panel and its devices as left; a fixed number of queries, whatever hangs on it."""
    if is_reading_once():
        return next(sheet for sheet in settings_sheets(panel.building) if sheet.panel == panel)
    return _put_together(
        panel,
        _Records(
            positions=list(positions_of(panel).select_related("smoke_zone", "vent_group__smoke_zone")),
            rules=list(rules_of(panel)),
            coincidences=list(panel.coincidences.prefetch_related("positions")),
            zones=list(panel.smoke_zones.prefetch_related("vent_groups").order_by("number")),
            circuits=list(circuits_of(panel)),
            lines=list(lines_of(panel)),
            data_links=list(with_listed(panel.data_links)),
            inputs=list(with_devices(panel.input_ports)),
            free=list(panel.settings.select_related("set_by")),
        ),
    )


@read_once
def settings_sheets(building):
    """The sheets of all panels of a building, by tag; a fixed number of queries for any number of panels."""
    panels = list(building.panels.select_related("position").order_by("position__tag_key"))
    here = {"panel__in": panels}
    positions, rules = _by_panel_of_positions(building), _grouped(rules_in_words().filter(**here))
    found = {
        "coincidences": Coincidence.objects.filter(**here).prefetch_related("positions"),
        "zones": SmokeZone.objects.filter(**here).prefetch_related("vent_groups").order_by("number"),
        "circuits": ActuatorCircuit.objects.filter(**here).order_by("number"),
        "lines": DetectionLine.objects.filter(**here).select_related("smoke_zone", "starts_at").order_by("number"),
        "data_links": with_listed(DataLink.objects.filter(**here)),
        "inputs": with_devices(InputPort.objects.filter(**here)),
        "free": PanelSetting.objects.filter(**here).select_related("set_by"),
    }
    grouped = {name: _grouped(rows) for name, rows in found.items()}
    return [
        _put_together(
            panel,
            _Records(
                positions=positions[panel.pk],
                rules=rules[panel.pk],
                **{name: rows[panel.pk] for name, rows in grouped.items()},
            ),
        )
        for panel in panels
    ]


def _grouped(rows):
    found = defaultdict(list)
    for row in rows:
        found[row.panel_id].append(row)
    return found


def _by_panel_of_positions(building):
    """Positions in use by each panel that they hang on; see `positions_of`."""
    positions = Position.objects.in_use().filter(building=building).order_by("walking_order", "tag_key")
    found = defaultdict(list)
    runs = ("detection_line", "actuator_circuit", "data_link")
    for one in positions.select_related("smoke_zone", "vent_group__smoke_zone", *runs).with_inputs():
        keys = {getattr(one, run).panel_id for run in runs if getattr(one, f"{run}_id")}
        keys |= {wired.input_port.panel_id for wired in one.at_inputs}
        for key in {one.panel_id, *keys} - {None}:
            found[key].append(one)
    return found


def _put_together(panel, records):
    positions, rules = records.positions, records.rules
    found = [*_panel_lines(panel), *_free_lines(records.free), *_condition_lines(rules)]
    for circuit in records.circuits:
        found += _circuit_lines(circuit, [one for one in positions if one.actuator_circuit_id == circuit.pk], panel)
    for line in records.lines:
        devices = [one for one in positions if one.detection_line_id == line.pk]
        found += _detection_lines(line, devices, records.coincidences, rules)
    for link in records.data_links:
        on_break = [one for one in rules if one.cause == Cause.LINK_FAULT and one.data_link_id in (None, link.pk)]
        found += link_lines(link, _line, _choice, "; ".join(map(rule_words, on_break)))
    for one in records.inputs:
        found += input_lines(one, _line, _choice)
    for position in positions:
        if position.kind in INPUT_KIND_OF:
            found += _device_lines(position, rules, records.coincidences)
    found += _lockout_lines(records.zones)
    for zone in records.zones:
        found += _zone_lines(zone, positions, records.circuits, records.lines)
    return SettingsSheet(panel, tuple(found))


def _line(section, of, owner, key, name, value, *, unit="", choices=(), words=None):
    """A line of a stored value: `value` None or empty is not known; `words` says it otherwise than it is stored."""
    is_known = value not in (None, "")
    shown = (words or (number_of(value) if is_known else "")) if is_known else NOT_KNOWN
    return SettingLine(f"{owner}-{key}", section, name, shown, unit, is_known=is_known, of=of, choices=choices)


def _choice(record, field):
    """Value, words and choices of a field with choices, as keyword arguments of a line."""
    choices = record._meta.get_field(field).choices
    return {
        "value": getattr(record, field),
        "words": getattr(record, f"get_{field}_display")(),
        "choices": tuple(str(word) for value, word in choices if value),
    }


def _panel_lines(panel):
    line = partial(_line, "Panel", "", f"panel-{panel.pk}")
    inhibited = {True: "yes", False: "no", None: None}[panel.charger_inhibited]
    found = [
        line("settings_revision", "settings revision", panel.settings_revision),
        line("operation", "outputs open", **_choice(panel, "operation")),
    ]
    if panel.operation == panel.Operation.SEQUENTIAL:
        found.append(line("gap_s", "gap between groups", panel.gap_s, unit="s"))
    found += [
        line("stagger_s", "stagger between starts", panel.stagger_s, unit="s"),
        line("charger_inhibited", "charger stops while motors run", inhibited, choices=("yes", "no")),
        line("after_reset", "vents after a reset", **_choice(panel, "after_reset")),
    ]
    code = CODE_CHANGED if panel.access_code_changed else CODE_NOT_CHANGED
    return [
        *found,
        SettingLine(
            f"panel-{panel.pk}-access_code_changed",
            "Panel",
            "default access code",
            code,
            is_known=panel.access_code_changed,
            choices=(CODE_CHANGED, "not changed"),
        ),
    ]


def _free_lines(settings):
    for setting in settings:
        withheld = faults_of_setting(setting.name, setting.value, setting.unit)
        yield SettingLine(
            f"setting-{setting.pk}-value",
            "Panel",
            setting.name,
            WITHHELD if withheld else setting.value or NOT_KNOWN,
            "" if withheld else setting.unit,
            setting.allowed_range,
            is_known=bool(setting.value) and not withheld,
            set_by=setting.set_by.full_name if setting.set_by else "",
            set_on=setting.set_on,
        )


def _condition_lines(rules):
    """What the panel does on mains lost, battery lost, reset and on what else no device of its own stands for."""
    for cause in Cause:
        if cause in (Cause.DEVICE, Cause.COINCIDENCE, *BY_CAUSE.values()):
            continue  # told with the devices
        of_cause = [rule for rule in rules if rule.cause == cause and not (rule.detection_line_id or rule.data_link_id)]
        if not of_cause and cause not in ALWAYS_THERE:
            continue
        # As with a dependency: no rule is an answer only where the cause and effect is recorded at all.
        words = "; ".join(_words_with_cause(rule) for rule in of_cause) or ("none recorded" if rules else "")
        yield _line("On conditions", "", "on-panel", cause.value, cause.label, words)


def _words_with_cause(rule):
    words = rule_words(rule)
    return f"{rule.cause_words}: {words}" if rule.cause_zone_id or rule.cause_group_id else words


def _circuit_lines(circuit, positions, panel):
    name = f"Circuit {circuit.number}" + (f" {circuit.name}" if circuit.name else "")
    line = partial(_line, name, f"circuit {circuit.number}", f"circuit-{circuit.pk}")
    groups = sorted({str(one.vent_group) for one in positions if one.vent_group_id})
    zones = sorted({(one.smoke_zone.number, str(one.smoke_zone)) for one in positions if one.smoke_zone_id})
    found = [
        line("drive", "drive", **_choice(circuit, "drive")),
        line("expected_actuators", "actuators expected", circuit.expected_actuators),
    ]
    if circuit.drive == Drive.ADDRESSED or circuit.found_actuators is not None:
        found.append(line("found_actuators", "actuators reported", circuit.found_actuators))
    if circuit.current_limit_a is not None:
        found.append(line("current_limit_a", "limit of the output", circuit.current_limit_a, unit="A"))
    in_sequence = []
    if panel.operation == panel.Operation.SEQUENTIAL or circuit.sequence_step is not None:
        in_sequence.append(line("sequence_step", "step in the sequence", circuit.sequence_step))
    monitored = []
    if circuit.drive == Drive.POLARITY or circuit.monitored_by:
        monitored.append(line("monitored_by", "monitoring of the cable", **_choice(circuit, "monitored_by")))
    return [
        *found,
        line("run_time_s", "run time", circuit.run_time_s, unit="s"),
        line("delay_s", "delay", circuit.delay_s, unit="s"),
        *in_sequence,
        *monitored,
        line("end_place", "end of line", **_choice(circuit, "end_place")),
        line("groups", "vent groups", "; ".join(groups)),
        line("zones", "smoke zones", "; ".join(words for _, words in zones)),
    ]


def _detection_lines(line_record, devices, coincidences, rules):
    name = f"Line {line_record.number}" + (f" {line_record.name}" if line_record.name else "")
    line = partial(_line, name, f"line {line_record.number}", f"line-{line_record.pk}")
    tags = {device.pk for device in devices}
    dependent = [one for one in coincidences if tags & {position.pk for position in one.positions.all()}]
    on_fault = [
        rule_words(rule)
        for rule in rules
        if rule.cause == Cause.LINE_FAULT and rule.detection_line_id in (None, line_record.pk)
    ]
    # No dependency is an answer only where the cause and effect is recorded at all.
    dependency = "; ".join(_coincidence_words(one) for one in dependent) or ("none recorded" if rules else "")
    starts = [line("starts_at", "start", line_record.starts_at.tag)] if line_record.starts_at_id else []
    is_unused = line_record.end_place == EndPlace.PANEL_TERMINAL
    return [
        *starts,
        line("smoke_zone", "zone", str(line_record.smoke_zone) if line_record.smoke_zone else ""),
        line("devices", "devices", tags_of(devices) or ("none" if is_unused else "")),
        line("end_of_line_ohm", "end-of-line resistor", line_record.end_of_line_ohm, unit="Ω"),
        line("end_place", "place of the resistor", **_choice(line_record, "end_place")),
        line("dependency", "dependency", dependency),
        line("fault", "reaction to a fault", "; ".join(on_fault)),
    ]


def _coincidence_words(coincidence):
    devices = sorted(coincidence.positions.all(), key=lambda position: position.tag_key)
    what = "lines with " if coincidence.counts_lines else ""
    return f"{coincidence.name}: {coincidence.needed} of {what}{tags_of(devices)}"


def _device_lines(position, rules, coincidences):
    line = partial(_line, INPUT_DEVICES, position.tag, f"device-{position.pk}")
    own = [rule for rule in rules if rule.position_id == position.pk]
    tells = INPUT_KIND_OF[position.kind]
    if cause := BY_CAUSE.get(tells):
        own += [rule for rule in rules if rule.cause == cause]
    member_of = {one.pk for one in coincidences if any(each.pk == position.pk for each in one.positions.all())}
    together = [rule for rule in rules if rule.coincidence_id in member_of]
    found = [
        line("function", f"function ({position.get_kind_display()})", function_words(own, together)),
        line("zone", "zone", str(position.smoke_zone) if position.smoke_zone else ON_NO_ZONE if cause else ""),
    ]
    if position.vent_group_id or tells in VENTILATION:
        found.append(line("group", "group", str(position.vent_group) if position.vent_group else ""))
    return found


def _lockout_lines(zones):
    members = {}
    for zone in zones:
        if zone.lockout_group:
            members.setdefault(zone.lockout_group, []).append(str(zone))
    for name, names in sorted(members.items()):
        # By its lowest zone: the group itself is only a word, which may be corrected.
        key = min(zone.pk for zone in zones if zone.lockout_group == name)
        words = f"{'; '.join(names)}: the first in alarm keeps the others shut"
        yield _line("Lock-out groups", "", f"lockout-{key}", "zones", f"lock-out group {name}", words)


def _zone_lines(zone, positions, circuits, lines):
    line = partial(_line, str(zone), f"zone {zone.number}", f"zone-{zone.pk}")
    here = [position for position in positions if position.smoke_zone_id == zone.pk]
    on_circuits = {one.actuator_circuit_id for one in here if one.actuator_circuit_id}
    outputs = [str(circuit.number) for circuit in circuits if circuit.pk in on_circuits]
    released_by = [str(one.number) for one in lines if one.smoke_zone_id == zone.pk]
    groups = [
        f"Z{zone.number}.{group.number}" + (f" {group.name}" if group.name else "") for group in zone.vent_groups.all()
    ]
    lamp = [line("fault_lamp", "fault lamp", zone.fault_lamp)] if zone.fault_lamp else []
    return [
        *lamp,
        line("outputs", "circuits", ", ".join(outputs)),
        line("lines", "lines", ", ".join(released_by)),
        line("groups", "vent groups", "; ".join(groups)),
        line("automatic", "automatic detection", "asked for" if zone.needs_automatic_detection else "not asked for"),
        line("lockout_group", "lock-out group", zone.lockout_group or "none recorded"),
    ]
