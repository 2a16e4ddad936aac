"""What was made of a small system, as plain rows: read before it is rolled back, or after it is kept."""

import hashlib
from dataclasses import asdict, dataclass, field

from sites_registry.templatetags.register_tags import plain_number
from zones.design_check import checked_panel
from zones.engineering.findings import Severity, counted
from zones.models import Core, Terminal
from zones.settings_sheet import settings_sheet
from zones.settings_words import rule_words
from zones.wiring_check import findings_of_wiring, shown

SHOWN_FINDINGS = 12


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
        runs=[_circuit(made, one) for one in made.circuits] + [_line(made, one) for one in made.lines],
        cables=[_cable(leg) for leg in legs],
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
    )  # fmt: skip


def _counts(made, legs):
    panel = made.panel
    terminals = Terminal.objects.filter(panel=panel) | Terminal.objects.filter(position__in=made.positions)
    cores = Core.objects.filter(cable__in=[leg.cable for leg in legs])
    return [
        f"panel {panel.tag}", *(["its battery"] if made.battery else []),
        counted(len(made.zones), "zone"), counted(len(made.vents), "vent"), counted(len(made.circuits), "circuit"),
        counted(len(made.lines), "line"), counted(len(made.positions), "position"), counted(len(legs), "cable"),
        counted(cores.count(), "core"), counted(terminals.count(), "terminal"), counted(len(made.rules), "rule"),
    ]  # fmt: skip


def _position(position):
    run = position.actuator_circuit or position.detection_line
    return {
        "tag": position.tag, "kind": position.get_kind_display(), "model": str(position.product_model or ""),
        "zone": str(position.smoke_zone or ""), "storey": position.storey, "vent": str(position.vent or ""),
        "run": f"{run}, place {position.order_on_line}" if run else "",
    }  # fmt: skip


def _tags(made, attribute, record):
    return ", ".join(one.tag for one in made.positions if getattr(one, f"{attribute}_id") == record.pk)


def _circuit(made, circuit):
    run_time = f"{circuit.run_time_s} s" if circuit.run_time_s else "run time not known"
    return {
        "name": str(circuit), "zone": circuit.name, "devices": _tags(made, "actuator_circuit", circuit),
        "how": f"{circuit.get_drive_display() or 'drive not known'}, {run_time}", "end": _end(made, circuit),
    }  # fmt: skip


def _line(made, line):
    ohm = f"{plain_number(line.end_of_line_ohm)} Ω" if line.end_of_line_ohm else "resistor not known"
    return {
        "name": str(line), "zone": f"{line.smoke_zone}, {line.name}", "devices": _tags(made, "detection_line", line),
        "how": ohm, "end": _end(made, line),
    }  # fmt: skip


def _end(made, run):
    loop = next((loop for owner, loop in made.loops if owner is run), None)
    return (loop.element if loop else "") or run.get_end_place_display()


def _cable(leg):
    cable = leg.cable
    size = f"{cable.cores_count} × {plain_number(cable.area_mm2)} mm²" if cable.area_mm2 else ""
    return {
        "tag": cable.tag, "near": leg.near, "far": leg.far, "type": cable.cable_type,
        "size": size or counted(cable.cores_count, "core"),
        "length_m": plain_number(cable.length_m) if cable.length_m is not None else "",
        "cores": [
            f"{core.number}{f' {core.colour}' if core.colour else ''}: {core.near} – {core.far}" if core.near
            else f"{core.number}: spare, parked"
            for core in leg.cores
        ],
    }  # fmt: skip


_SEVERITIES = (
    (Severity.FAIL, "fail", "not met"), (Severity.MISSING, "not_known", "not known"),
    (Severity.QUESTION, "question", "needs review"), (Severity.MEETS, "meets", "within the entered limit"),
)  # fmt: skip


def _design_counts(panel):
    findings = checked_panel(panel).findings
    return [
        (state, f"{sum(one.severity == severity for one in findings)} {words}")
        for severity, state, words in _SEVERITIES
        if any(one.severity == severity for one in findings)
    ]
