"""What was made of a small system, as plain rows: read before it is rolled back, or after it is kept."""

import hashlib
from dataclasses import asdict, dataclass, field

from sites_registry.words import plain_number
from zones.design_check.checked import checked_panel
from zones.design_check.findings import SHOWN
from zones.engineering.findings import Severity, by_severity, counted
from zones.models import ActuatorCircuit, Core, DataLink, DetectionLine, InputPort, Terminal
from zones.panel_settings.sheet import settings_sheet
from zones.panel_settings.words import rule_words
from zones.wiring.check import findings_of_wiring, shown
from zones.wiring.core_writing import CoreRow
from zones.wiring.terminals import full_name

SHOWN_FINDINGS = 12
TERMINAL_OWNERS = ("terminal__panel__position", "terminal__position")


@dataclass
class Preview:
    """Rows of texts; `digest` tells whether another making would come to the same."""

    counts: list = field(default_factory=list)
    positions: list = field(default_factory=list)  # tag, kind, model, zone, run and place, storey
    runs: list = field(default_factory=list)  # name, drive or resistor, run time, devices, end of line
    cables: list = field(default_factory=list)  # tag, from, to, type, size, metres, cores in words
    rules: list = field(default_factory=list)
    settings: list = field(default_factory=list)  # (section, [(name, value)])
    not_wired: list = field(default_factory=list)
    wiring: list = field(default_factory=list)
    wiring_count: int = 0
    design_counts: list = field(default_factory=list)  # (state, words)

    @property
    def digest(self):
        return hashlib.sha256(repr(asdict(self)).encode()).hexdigest()


def preview_of(made) -> Preview:
    """Everything in words; asks the database, so call it while the records are there."""
    legs = [leg for _, loop in made.loops for leg in loop.legs]
    panel = made.panel
    found = findings_of_wiring(panel)
    return Preview(
        counts=_counts(made, legs),
        positions=[_position(one) for one in [panel.position, *made.positions]],
        runs=[_run(one, loop) for one, loop in made.loops],
        cables=[_cable(leg.cable, leg.near, leg.far, map(_core, leg.cores)) for leg in legs]
        + [_cable(one, one.from_place, one.to_place, _cores_of(one)) for one in made.other_cables],
        rules=[(rule.cause_words, rule_words(rule)) for rule in made.rules],
        settings=[
            (section, [(line.name, line.value_with_unit, line.is_known) for line in lines])
            for section, lines in settings_sheet(panel).sections
        ],
        not_wired=[one.tag for one in made.not_wired],
        # Without the keys of records: the next making of the same has others.
        wiring=[
            {name: shown(finding)[name] for name in ("state", "word", "sentence")} for finding in found[:SHOWN_FINDINGS]
        ],
        wiring_count=len(found),
        design_counts=_design_counts(panel),
    )


def _counts(made, legs):
    panel, cables = made.panel, [leg.cable for leg in legs] + made.other_cables
    terminals = Terminal.objects.filter(panel=panel) | Terminal.objects.filter(position__in=made.positions)
    counts = [
        (len(made.zones), "zone"),
        (len(made.vents), "vent"),
        (len(made.runs_of(ActuatorCircuit)), "circuit"),
        (len(made.runs_of(DataLink)), "data link"),
        (len(made.runs_of(DetectionLine)), "line"),
        (len(made.runs_of(InputPort)), "input"),
        (len(made.positions), "position"),
        (len(cables), "cable"),
        (Core.objects.filter(cable__in=cables).count(), "core"),
        (terminals.count(), "terminal"),
        (len(made.rules), "rule"),
    ]
    return [
        f"panel {panel.tag}",
        *(["its battery"] if made.battery else []),
        *(counted(number, noun) for number, noun in counts if number),
    ]


def _position(position):
    run = position.actuator_circuit or position.detection_line or position.data_link
    return {
        "tag": position.tag,
        "kind": position.get_kind_display(),
        "model": str(position.product_model or ""),
        "zone": str(position.smoke_zone or ""),
        "storey": position.storey,
        "vent": str(position.vent or ""),
        "run": f"{run}, place {position.order_on_line}" if run else "",
    }


def _run(one, loop):
    """A run, or the inputs of a device: what it is, what is on it, how it is set, where it ends."""
    owner = one.owner or (one.inputs[0] if one.inputs else None)
    row = {"devices": ", ".join(device.tag for device in one.devices), "end": loop.element, "how": "", "of": ""}
    if isinstance(owner, ActuatorCircuit):
        run_time = f"{owner.run_time_s} s" if owner.run_time_s else "run time not known"
        row |= {"of": owner.name, "how": f"{owner.get_drive_display() or 'drive not known'}, {run_time}"}
        row["end"] = loop.element or owner.get_end_place_display()
    elif isinstance(owner, DetectionLine):
        start = f"starts at {owner.starts_at.tag}, " if owner.starts_at_id else ""
        ohm = f"{plain_number(owner.end_of_line_ohm)} Ω" if owner.end_of_line_ohm else "resistor not known"
        row |= {"of": f"{owner.smoke_zone}, {owner.name}", "how": f"{start}{ohm}"}
    elif isinstance(owner, InputPort):
        start = f"start at {owner.starts_at.tag}, " if owner.starts_at_id else ""
        functions = ", ".join(each.get_function_display() for each in one.inputs)
        row |= {"of": str(owner.smoke_zone or ""), "how": f"{start}{functions}"}
    elif owner is not None:
        row["of"] = owner.name
    names = [str(each) for each in getattr(one, "inputs", ())]
    return row | {"name": ", ".join(names) if names else str(owner) if owner else "inputs of the panel"}


def _cable(cable, near, far, cores):
    size = f"{cable.cores_count} × {plain_number(cable.area_mm2)} mm²" if cable.area_mm2 else ""
    if size and cable.conductor_class:
        size += f", class {cable.conductor_class}"
    return {
        "tag": cable.tag,
        "near": near,
        "far": far,
        "type": cable.cable_type,
        "size": size or counted(cable.cores_count, "core"),
        "cores": list(cores),
        "length_m": plain_number(cable.length_m) if cable.length_m is not None else "",
    }


def _core(core):
    colour = f" {core.colour}" if core.colour else ""
    return f"{core.number}{colour}: {core.near} – {core.far}" if core.near else f"{core.number}{colour}: spare, parked"


def _cores_of(cable):
    for core in cable.cores.order_by("number"):
        ends = {end.end: full_name(end.terminal) for end in core.ends.select_related(*TERMINAL_OWNERS)}
        yield _core(CoreRow(core.number, core.colour, ends.get("near", "outside"), ends.get("far", "outside")))


def _design_counts(panel):
    findings = checked_panel(panel).findings
    counts = by_severity(one for one in findings if one.severity != Severity.NOTE)
    return [(SHOWN[severity][0], f"{number} {SHOWN[severity][1]}") for severity, number in counts.items() if number]
