"""The record of a building as it stands now, as plain text and numbers: what a revision freezes.

Sections are named after what they hold; within a section the key is the record's primary key, so that a tag may be
corrected without the thing looking new. A value is text, or None when it is not known. Reading costs a fixed number of
queries, whatever the size of the building.
"""

from sites_registry.words import plain_number
from zones.as_installed.changes import CALLED
from zones.engineering.area_methods import INPUT_QUANTITIES
from zones.models import (
    ActuatorCircuit,
    BatterySet,
    Cable,
    CauseAndEffectRule,
    ControlPanel,
    Core,
    DataLink,
    DetectionLine,
    EndOfLinePart,
    InputPort,
    LinkEntry,
    PanelSetting,
    Position,
    SmokeZone,
    Terminal,
    TerminalLink,
    Vent,
)
from zones.models.vent_loads import CLASSES

RECORD_VERSION = 1


def record_of(building):
    """The record of a building: {"version": 1, "positions": {"12": {"name": "M1", …}}, …}."""
    return {
        "version": RECORD_VERSION,
        "panels": _panels(building),
        "zones": _zones(building),
        "vents": _vents(building),
        "positions": _positions(building),
        "circuits": _circuits(building),
        "lines": _lines(building),
        "data_links": _data_links(building),
        "link_entries": _link_entries(building),
        "inputs": _inputs(building),
        "cables": _cables(building),
        "terminals": _terminals(building),
        "cores": _cores(building),
        "links": _links(building),
        "end_elements": _end_of_line_parts(building),  # the key under which revisions were frozen from the first
        "settings": _settings(building),
        "rules": _rules(building),
    }


def _text(value):
    """A figure or a text as it is read; None when it is not known."""
    if value is None or value == "":
        return None
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value) if isinstance(value, str | int) else plain_number(value)


def _fields(record, names):
    """Fields of a record by their labels, choices in words."""
    shown = {}
    for name in names:
        field = record._meta.get_field(name)
        value = getattr(record, f"get_{name}_display")() if field.choices else getattr(record, name)
        shown[str(field.verbose_name)] = _text(value)
    return shown


def _panels(building):
    batteries = {
        battery.panel_id: battery
        for battery in BatterySet.objects.fitted().filter(panel__building=building).select_related("product_model")
    }
    names = (
        "operation",
        "gap_s",
        "stagger_s",
        "settings_revision",
        "mains_feed",
        "earth",
        "mains_guard",
        "access_code_changed",
        "supply_limit_a",
        "battery_fuse_a",
        "charger_inhibited",
        "after_reset",
    )
    panels = ControlPanel.objects.filter(building=building).select_related("position")
    return {
        str(panel.pk): {
            "name": panel.tag,
            **_fields(panel, names),
            "battery": _battery_words(batteries.get(panel.pk)),
        }
        for panel in panels
    }


def _battery_words(battery):
    if battery is None:
        return None
    words = [str(battery), battery.product_model and str(battery.product_model)]
    words += [battery.date_code and f"date code {battery.date_code}", battery.batch and f"batch {battery.batch}"]
    words += [f"fitted {battery.fitted_on:%-d %b %Y}"]
    return ", ".join(filter(None, words))


def _zones(building):
    names = (
        "name",
        "storey",
        "extent",
        "required_area_m2",
        "required_area_kind",
        "area_method",
        *INPUT_QUANTITIES,
        "inlet_ratio",
        "inlet_ratio_kind",
        "needs_automatic_detection",
        "lockout_group",
        "fault_lamp",
    )
    zones = SmokeZone.objects.filter(building=building).select_related("panel__position")
    return {
        str(zone.pk): {
            CALLED: str(zone),
            "panel": zone.panel and zone.panel.tag,
            **_fields(zone, names),
            # As below: what was frozen before this was asked must not look changed.
            "replacement air": "not asked for" if zone.needs_no_inlets else None,
        }
        for zone in zones
    }


def _vents(building):
    names = (
        "leaf",
        "width_mm",
        "height_mm",
        "geometric_area_m2",
        "aerodynamic_area_m2",
        "tested_angle_deg",
        "declaration_reference",
        "leaf_mass_kg",
        "installed_deg",
        "hinge_at",
        *CLASSES,
    )
    vents = Vent.objects.filter(smoke_zone__building=building).select_related("smoke_zone")
    return {
        str(vent.pk): {
            "name": f"{vent.tag} of zone {vent.smoke_zone.number}",
            "purpose": vent.get_purpose_display() if vent.is_inlet else None,
            "opened by": vent.get_opened_by_display() if vent.is_inlet else None,
            **_fields(vent, names),
        }
        for vent in vents
    }


def _positions(building):
    positions = Position.objects.in_use().filter(building=building).with_wiring().with_fitted_unit()
    return {str(position.pk): _position(position) for position in positions}


def _position(position):
    circuit, line = position.actuator_circuit, position.detection_line
    return {
        "name": position.tag,
        "kind": position.get_kind_display(),
        "zone": position.smoke_zone and str(position.smoke_zone),
        "group": position.vent_group and str(position.vent_group),
        "vent": position.vent and position.vent.tag,
        "panel": position.panel and position.panel.tag,
        "circuit or line": str(circuit or line) if circuit or line else None,
        "data link": position.data_link and str(position.data_link),
        "order on it": _text(position.order_on_line),
        "storey": _text(position.storey),
        "room": _text(position.room),
        "place": _text(position.place),
        "model": position.model_name and f"{position.maker_name} {position.model_name}",
        "serial": position.serial,
    }


def _circuits(building):
    names = (
        "name",
        "drive",
        "expected_actuators",
        "run_time_s",
        "delay_s",
        "sequence_step",
        "current_limit_a",
        "device_a",
        "monitored_by",
        "end_place",
    )
    circuits = ActuatorCircuit.objects.filter(panel__building=building).select_related("panel__position")
    return {str(circuit.pk): {CALLED: str(circuit), **_fields(circuit, names)} for circuit in circuits}


def _lines(building):
    names = ("name", "end_of_line_ohm", "end_of_line_tolerance_percent", "end_place", "line_voltage_v")
    lines = DetectionLine.objects.filter(panel__building=building).select_related(
        "panel__position", "smoke_zone", "starts_at"
    )
    return {
        str(line.pk): {
            CALLED: str(line),
            "zone": line.smoke_zone and str(line.smoke_zone),
            "starts at": line.starts_at and line.starts_at.tag,
            **_fields(line, names),
        }
        for line in lines
    }


def _data_links(building):
    links = DataLink.objects.filter(panel__building=building).select_related("panel__position")
    return {str(link.pk): {CALLED: str(link), **_fields(link, ("name", "when_broken"))} for link in links}


def _link_entries(building):
    entries = LinkEntry.objects.filter(data_link__panel__building=building).select_related(
        "data_link__panel__position", "position", "zone_assigned"
    )
    return {
        str(entry.pk): {
            "name": str(entry),
            **_fields(entry, ("serial", "number_given", "confirmed_how")),
            "zone assigned": entry.zone_assigned and str(entry.zone_assigned),
            "position": entry.position and entry.position.tag,
        }
        for entry in entries
    }


def _inputs(building):
    names = ("name", "function", "long_press", "short_press", "is_monitored", "end_of_line_ohm", "end_place")
    inputs = InputPort.objects.filter(panel__building=building).select_related(
        "panel__position", "starts_at", "smoke_zone", "vent_group__smoke_zone"
    )
    return {
        str(one.pk): {
            CALLED: str(one),
            "starts at": one.starts_at and one.starts_at.tag,
            **_fields(one, names),
            "zone": one.smoke_zone and str(one.smoke_zone),
            "group": one.vent_group and str(one.vent_group),
            "devices": ", ".join(row.position.tag for row in one.wired_devices.all()) or None,
        }
        for one in inputs.prefetch_related("wired_devices__position")
    }


def _cables(building):
    names = (
        "cable_type",
        "cores_count",
        "area_mm2",
        "awg",
        "conductor_class",
        "is_tinned",
        "length_m",
        "hot_length_m",
        "cores_per_pole",
        "insulation",
        "method",
        "grouped_circuits",
        "ambient_c",
        "fire_rating",
        "fire_class",
        "integrity_min",
        "fixing_min",
        "from_place",
        "to_place",
        "route",
    )
    cables = Cable.objects.filter(building=building).select_related(
        "upstream", "feeds", "far_box", "actuator_circuit__panel__position", "detection_line__panel__position"
    )
    return {str(cable.pk): {"name": cable.tag, **_fields(cable, names), **_run(cable)} for cable in cables}


def _run(cable):
    """Of which circuit or line a cable is a run, and between which places."""
    circuit_or_line = cable.actuator_circuit or cable.detection_line
    return {
        "circuit or line": circuit_or_line and str(circuit_or_line),
        "goes on from": cable.upstream and cable.upstream.tag,
        "feeds": cable.feeds and cable.feeds.tag,
        "ends in box": cable.far_box and cable.far_box.tag,
    }


def _terminals(building):
    terminals = Terminal.objects.filter(building=building).select_related("panel__position", "position")
    names = ("function", "electrical_kind", "pole", "passing", "rated_voltage_v")
    return {str(terminal.pk): {"name": _terminal_words(terminal), **_fields(terminal, names)} for terminal in terminals}


def _cores(building):
    cores = Core.objects.filter(cable__building=building).select_related("cable")
    cores = cores.prefetch_related("ends__terminal__panel__position", "ends__terminal__position")
    return {str(core.pk): _core(core) for core in cores}


def _core(core):
    ends = {end.end: end.terminal for end in core.ends.all()}
    return {
        "name": str(core),
        "near end": _terminal_words(ends.get("near")),
        "far end": _terminal_words(ends.get("far")),
        "spare": "yes" if core.is_spare else "no",
    }


def _terminal_words(terminal):
    return terminal and f"{(terminal.panel or terminal.position).tag} {terminal}"


def _between(records, building):
    """Links or ends of line of a building with the owners of their terminals."""
    owners = [f"{end}__{owner}" for end in ("first", "second") for owner in ("panel__position", "position")]
    return records.filter(first__building=building).select_related(*owners)


def _links(building):
    return {
        str(link.pk): {
            "name": f"{_terminal_words(link.first)} to {_terminal_words(link.second)}",
            "inside the device": "yes" if link.is_internal else "no",
        }
        for link in _between(TerminalLink.objects, building)
    }


def _end_of_line_parts(building):
    return {
        str(element.pk): {
            "name": f"across {_terminal_words(element.first)} and {_terminal_words(element.second)}",
            **_fields(element, ("kind", "value_ohm", "tolerance_percent")),
        }
        for element in _between(EndOfLinePart.objects, building)
    }


def _settings(building):
    settings = PanelSetting.objects.filter(panel__building=building).select_related("panel__position")
    return {
        str(setting.pk): {
            "name": f"{setting.panel.tag}: {setting.name}",
            "value": f"{setting.value} {setting.unit}".strip(),
        }
        for setting in settings
    }


def _rules(building):
    rules = CauseAndEffectRule.objects.filter(panel__building=building).select_related(
        "panel__position",
        "position",
        "coincidence",
        "detection_line__panel__position",
        "data_link__panel__position",
        "cause_zone",
        "cause_group__smoke_zone",
        "smoke_zone",
        "vent_group__smoke_zone",
    )
    return {str(rule.pk): {"name": f"{rule.panel.tag}: {rule}", **_rule(rule)} for rule in rules}


def _rule(rule):
    target = rule.vent_group or rule.smoke_zone
    return {
        "cause": rule.cause_words,
        "target": str(target) if target else _text(rule.output),
        "effect": rule.get_effect_display(),
        "delay (s)": str(rule.delay_s),
        "latches": "yes" if rule.is_latching else "no",
        "priority": _text(rule.priority),
    }
