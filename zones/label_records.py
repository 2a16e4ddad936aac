"""Records → what device, cable and core labels say. Addresses are those of the records, without the site."""

import re
from collections import defaultdict
from dataclasses import dataclass

from django.urls import reverse

from zones.models import Cable, CoreEnd, Position, Terminal
from zones.natural_order import natural_key


@dataclass(frozen=True)
class LabelRecord:
    """A label before it is drawn: its tag, further lines, and the address that its code holds."""

    tag: str
    lines: tuple[str, ...]
    address: str
    needs_code: bool = True


def labels_of_devices(positions) -> list[LabelRecord]:
    """One label per position, in natural order of tags; six queries for any number."""
    positions = list(positions.with_wiring().order_by("tag_key"))
    terminals = _terminals_at_panels(positions)
    return [
        LabelRecord(each.tag, _lines_of_device(each, terminals[each.pk]), reverse("position-detail", args=[each.pk]))
        for each in positions
    ]


def _lines_of_device(position, terminals):
    zone, group = position.smoke_zone, position.vent_group
    circuit, line = position.actuator_circuit, position.detection_line
    lines = [f"zone {zone.number}" if zone else ""]
    if circuit:
        lines.append(f"{circuit.panel.tag} circuit {circuit.number}")
    elif line:
        lines.append(f"{line.panel.tag} line {line.number}")
    elif position.panel:
        lines.append(position.panel.tag)
    moved_with = f"group {group.smoke_zone.number}.{group.number}" if group else ""
    lines += [*terminals, moved_with, position.get_kind_display(), position.place or position.room]
    return tuple(line for line in lines if line)


def _terminals_at_panels(positions):
    """Position → designations at the panel: those of its output or line, else those that its own cores lead to."""
    ids = [each.pk for each in positions]
    circuits = {each.actuator_circuit_id for each in positions} - {None}
    lines = {each.detection_line_id for each in positions} - {None}
    of_circuit, of_line = defaultdict(list), defaultdict(list)
    for terminal in Terminal.objects.filter(actuator_circuit__in=circuits, panel__isnull=False).order_by("order_key"):
        of_circuit[terminal.actuator_circuit_id].append(terminal)
    for terminal in Terminal.objects.filter(detection_line__in=lines, panel__isnull=False).order_by("order_key"):
        of_line[terminal.detection_line_id].append(terminal)
    own = _direct(ids)
    return {
        each.pk: designations(of_circuit[each.actuator_circuit_id] or of_line[each.detection_line_id] or own[each.pk])
        for each in positions
    }


def _direct(ids):
    """Position → terminals of panels at the other ends of its cores."""
    ends = CoreEnd.objects.filter(core__ends__terminal__position__in=ids).select_related("terminal").distinct()
    by_core = defaultdict(list)
    for end in ends.order_by("terminal__order_key"):
        by_core[end.core_id].append(end.terminal)
    found = defaultdict(list)
    for terminals in by_core.values():
        for here in terminals:
            if here.position_id:
                found[here.position_id] += [other for other in terminals if other.panel_id]
    return found


def designations(terminals) -> list[str]:
    """Terminals block by block, runs of numbers drawn together: "-X3:1…3, PE"."""
    blocks: dict[str, list[str]] = {}
    for terminal in sorted(terminals, key=lambda each: each.order_key):
        blocks.setdefault(terminal.block, []).append(terminal.number)
    return [f"-{block}:{', '.join(_runs(numbers))}" for block, numbers in blocks.items()]


def _runs(numbers):
    runs: list[list[str]] = []
    for number in dict.fromkeys(numbers):
        follows = runs and re.fullmatch("[0-9]{1,9}", number) and re.fullmatch("[0-9]{1,9}", runs[-1][-1])
        if follows and int(number) == int(runs[-1][-1]) + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return [run[0] if len(run) == 1 else f"{run[0]}{'…' if len(run) > 2 else ', '}{run[-1]}" for run in runs]


def labels_of_cables(cables) -> list[LabelRecord]:
    """Two labels per cable, one for each end, with what it is and where it runs."""
    found = []
    for cable in _in_order(
        cables.select_related("actuator_circuit__panel__position", "detection_line__panel__position")
    ):
        size = f"{float(cable.area_mm2):g} mm²" if cable.area_mm2 else cable.awg and f"AWG {cable.awg}"
        cores = f"{cable.cores_count} ×" if cable.cores_count else ""
        run = cable.actuator_circuit or cable.detection_line
        word = "circuit" if cable.actuator_circuit else "line"
        way = " to ".join(place for place in (cable.from_place, cable.to_place) if place)
        lines = [
            f"{run.panel.tag} {word} {run.number}" if run else "",
            " ".join(part for part in (cores, size) if part),
            way, cable.cable_type, cable.fire_rating,
        ]  # fmt: skip
        found += [LabelRecord(cable.tag, tuple(line for line in lines if line), cable.get_absolute_url(), False)] * 2
    return found


def labels_of_cores(cables) -> list[LabelRecord]:
    """Two labels per core, one for each end: first the terminal at this end, then that at the other."""
    cables = _in_order(
        cables.prefetch_related("cores__ends__terminal__panel__position", "cores__ends__terminal__position")
    )
    found = []
    for cable in cables:
        for core in sorted(cable.cores.all(), key=lambda each: each.number):
            places = {end.end: _place(end.terminal) for end in core.ends.all()}
            missing = "spare, parked" if core.is_spare else "end not recorded"
            near, far = (places.get(end, missing) for end in (CoreEnd.End.NEAR, CoreEnd.End.FAR))
            tag = f"{cable.tag}.{core.number}" + (f" {core.colour}" if core.colour else "")
            for here, there in ((near, far), (far, near)):
                found.append(LabelRecord(tag, (here, f"to {there}"), cable.get_absolute_url(), needs_code=False))
    return found


def _in_order(cables):
    return sorted(cables, key=lambda cable: natural_key(cable.tag))


def _place(terminal):
    owner = terminal.panel.tag if terminal.panel_id else terminal.position.tag
    return f"{owner} {terminal}"


def chosen_devices(building, chosen):
    """Positions in use that a label form chose: `panel`, `zone`, `storey`, `tags` (those left empty do not count)."""
    positions = building.positions.in_use()
    if panel := chosen.get("panel"):
        positions = positions.filter(panel=panel) | positions.filter(control_panel=panel)
    if zone := chosen.get("zone"):
        positions = positions.filter(smoke_zone=zone)
    if storey := chosen.get("storey"):
        positions = positions.filter(storey=storey)
    if tags := chosen.get("tags"):
        positions = positions.filter(tag__in=tags)
    return positions


def chosen_cables(building, chosen):
    """Cables that a label form chose: `panel` by their circuit or line, `tags`."""
    cables = Cable.objects.filter(building=building)
    if panel := chosen.get("panel"):
        cables = cables.filter(actuator_circuit__panel=panel) | cables.filter(detection_line__panel=panel)
    if tags := chosen.get("tags"):
        cables = cables.filter(tag__in=tags)
    return cables


def known_tags(building, what):
    """Tags as stored by their capitals, of devices or of cables."""
    records = Position.objects.in_use() if what == "devices" else Cable.objects.all()
    return {tag.upper(): tag for tag in records.filter(building=building).values_list("tag", flat=True)}
