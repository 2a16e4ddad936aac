"""The material list of a job: what its positions and wiring ask for, against what arrived.

Devices are those of the positions, cable the lengths recorded with the firm's allowance, ends of line those of the
lines, of the monitored inputs and of the wiring, alarm resistors those that the models on the lines switch; each has
its label in the language of the job. What is not known (a model not chosen, a length not recorded) is told beside the
list and is not counted.
"""

import math
from collections import Counter
from dataclasses import dataclass, field

from django.db.models import Sum

from sites_registry.words import plain_number
from zones.design_basis.practice import current_practice
from zones.models import (
    Cable,
    DetectionLine,
    EndOfLinePart,
    EndPlace,
    InputDevice,
    InputPort,
    MaterialArrival,
    Position,
)
from zones.models.kinds import WITHOUT_UNIT, kinds_where

EVERYTHING, NOT_FITTED = "all", "open"
NOT_ORDERED = kinds_where(lambda facts: not facts.is_ordered)


@dataclass(frozen=True)
class MaterialLine:
    """One line: `key` names it over time, `needed` and `arrived` in `unit` ("pcs" or "m")."""

    group: str
    key: str
    what: str
    detail: str
    unit: str
    needed: int
    arrived: int = 0

    @property
    def short(self):
        """What still has to come; 0 when all or more is there."""
        return max(0, self.needed - self.arrived)

    @property
    def over(self):
        """What came beyond the need."""
        return max(0, self.arrived - self.needed)


@dataclass(frozen=True)
class MaterialList:
    """The lines in the order of their groups, and sentences on what could not be counted."""

    lines: list
    not_counted: list = field(default_factory=list)

    @property
    def groups(self):
        """[(group, its lines)] in order."""
        found = {}
        for line in self.lines:
            found.setdefault(line.group, []).append(line)
        return list(found.items())

    @property
    def short_count(self):
        return sum(bool(line.short) for line in self.lines)

    def line(self, key):
        """The line of this key, or None."""
        return next((line for line in self.lines if line.key == key), None)


def material_list(job, *, scope=EVERYTHING, since=None):
    """The material list of a job.

    Args:     scope: "all", or "open" for positions without a unit; since: an as-installed revision: only what was
              added after it counts.
    Returns:  a MaterialList; a fixed number of queries.
    """
    practice = current_practice()
    positions, cables, lines, wired = _records(job.building, scope, since)
    not_counted = []
    found = [
        *_device_lines(positions, not_counted),
        *_cable_lines(cables, practice, not_counted),
        *_gland_lines(cables, practice, not_counted),
        *_element_lines(lines, wired, practice, not_counted),
        *_resistor_lines(positions, practice),
        *_label_lines(positions, cables, job, not_counted),
    ]
    arrived = dict(
        MaterialArrival.objects.filter(job=job).order_by().values_list("line").annotate(total=Sum("quantity"))
    )
    return MaterialList([*_with_arrivals(found, arrived), *_came_without_need(job, found, arrived)], not_counted)


def _records(building, scope, since):
    positions = Position.objects.in_use().filter(building=building).exclude(kind__in=NOT_ORDERED)
    cables = Cable.objects.filter(building=building)
    lines = DetectionLine.objects.filter(panel__building=building).select_related("panel__position")
    inputs = InputPort.objects.filter(panel__building=building, is_monitored=True).select_related("panel__position")
    wired = EndOfLinePart.objects.filter(first__building=building).select_related(
        "first__panel__position", "first__position"
    )
    if scope == NOT_FITTED:
        positions = positions.without_unit()
    if since is not None:
        positions = positions.exclude(pk__in=_keys(since, "positions"))
        cables = cables.exclude(pk__in=_keys(since, "cables"))
        lines = lines.exclude(pk__in=_keys(since, "lines"))
        inputs = inputs.exclude(pk__in=_keys(since, "inputs"))
        wired = wired.exclude(pk__in=_keys(since, "end_elements"))
    positions = positions.select_related("product_model__maker").in_walking_order()
    return list(positions), list(cables.order_by("tag")), [*lines, *inputs], list(wired)


def _keys(revision, section):
    return [int(key) for key in revision.record.get(section, {})]


def _device_lines(positions, not_counted):
    counts, named, unknown = Counter(), {}, Counter()
    for position in positions:
        if position.kind in WITHOUT_UNIT and position.product_model is None:
            counts[f"kind:{position.kind}"] += 1
            named[f"kind:{position.kind}"] = (position.get_kind_display(), "")
        elif position.product_model is None:
            unknown[position.get_kind_display()] += 1
        else:
            key = f"model:{position.product_model_id}"
            counts[key] += 1
            named[key] = (str(position.product_model), position.get_kind_display())
    for kind, count in sorted(unknown.items()):
        not_counted.append(f"{count} × {kind}: no model is planned. Choose one at the position{'s' * (count != 1)}.")
    for key in sorted(counts, key=lambda key: (named[key][1], named[key][0])):
        yield MaterialLine("Devices", key, *named[key], "pcs", counts[key])


def _type_of(cable):
    """What to order: type, cores, area or gauge; None where the cores or their size are not known."""
    size = f"AWG {cable.awg}" if cable.awg else cable.area_mm2 and f"{plain_number(cable.area_mm2)} mm²"
    if not size or not cable.cores_count:
        return None
    rating = f", {cable.fire_rating}" if cable.fire_rating else ""
    return f"{cable.cable_type or 'cable'} {cable.cores_count} × {size}{rating}"


def _cable_lines(cables, practice, not_counted):
    metres, unknown_type, unknown_length = Counter(), [], []
    for cable in cables:
        if (words := _type_of(cable)) is None:
            unknown_type.append(cable.tag)
        elif cable.length_m is None:
            unknown_length.append(cable.tag)
        else:
            metres[words] += cable.length_m
    for tags, what in ((unknown_type, "cores or size"), (unknown_length, "length")):
        if tags:
            shown = ", ".join(tags[:6]) + (f" and {len(tags) - 6} more" if len(tags) > 6 else "")
            not_counted.append(f"Cable {shown}: {what} not known. Enter it to have it counted.")
    percent = f"{plain_number(round(practice.cable_allowance * 100, 1))}\u00a0%"
    for words, length_m in sorted(metres.items()):
        detail = f"{plain_number(length_m)} m as recorded, {percent} more"
        # Rounded up: a metre too little stops the work.
        needed = math.ceil(round(float(length_m) * (1 + practice.cable_allowance), 6))
        yield MaterialLine("Cable", f"cable:{words}"[:200], words, detail, "m", needed)


def _gland_lines(cables, practice, not_counted):
    known = Counter(words for cable in cables if (words := _type_of(cable)))
    for words, count in sorted(known.items()):
        needed = math.ceil(count * practice.glands_per_cable)
        yield MaterialLine(
            "Glands", f"gland:{words}"[:200], f"gland for {words}", _counted(count, "cable"), "pcs", needed
        )


def _element_lines(lines, wired, practice, not_counted):
    """One part per line and monitored input, of its own value or else that of its wiring; those across outputs too."""
    of_line, others = _wired_elements(wired)
    counts, unknown = Counter(), []
    has_inputs = any(isinstance(line, InputPort) for line in lines)
    for line in lines:
        if line.end_place == EndPlace.NONE_NEEDED:
            continue
        element, word = of_line.get((type(line), line.pk)), "input" if isinstance(line, InputPort) else "line"
        if element and element.value_ohm and line.end_of_line_ohm and element.value_ohm != line.end_of_line_ohm:
            not_counted.append(
                f"{line}: the {word} asks for {plain_number(line.end_of_line_ohm)} Ω, its wiring shows "
                f"{plain_number(element.value_ohm)} Ω. The {word}'s value is counted; put one of the two right."
            )
        if words := _words_of_element(element, line.end_of_line_ohm):
            counts[words] += 1
        else:
            unknown.append(str(line))
    if unknown:
        shown = ", ".join(unknown[:6]) + (f" and {len(unknown) - 6} more" if len(unknown) > 6 else "")
        not_counted.append(f"{shown}: value of the end-of-line resistor not known. Enter it to have it counted.")
    across = _across_outputs(others, not_counted)
    for words in sorted({*counts, *across}):
        parts = [_counted(counts[words], "line"), _counted(across[words], "output")]
        if has_inputs:
            parts[0] = _counted(counts[words], "line or input", "lines and inputs")
        detail = " and ".join(part for part in parts if not part.startswith("0 ")) + ", with spares"
        count = counts[words] + across[words]
        yield _elements(f"element:{words[1]}", words[0], detail, count, practice)


def _across_outputs(elements, not_counted):
    """How many of each stand at outputs."""
    across = Counter()
    for element in elements:
        if words := _words_of_element(element, None):
            across[words] += 1
        else:
            owner = element.first.panel or element.first.position
            not_counted.append(f"{owner} {element}: its value is not known. Enter it to have it counted.")
    return across


def _wired_elements(wired):
    """({line: its resistor}, the resistors of no line), as recorded between terminals; a module is one too."""
    of_line, others, of_position = {}, [], _monitored_inputs(wired)
    for element in wired:
        first = element.first
        starts = first.detection_line_id or first.input_port_id  # at the terminals where the line or input starts
        owner = first if starts or not first.position_id else first.position
        waiting = [key for key in of_position.get(first.position_id, ()) if (InputPort, key) not in of_line]
        if owner.detection_line_id:
            of_line[DetectionLine, owner.detection_line_id] = element
        elif first.input_port_id:
            of_line[InputPort, first.input_port_id] = element
        elif waiting:
            of_line[InputPort, waiting[0]] = element
        else:
            others.append(element)
    return of_line, others


def _monitored_inputs(wired):
    """Position → the monitored inputs that it is wired to, of positions with an end-of-line part."""
    found = {}
    at = InputDevice.objects.filter(position__in={one.first.position_id for one in wired} - {None})
    at = at.filter(input_port__is_monitored=True).order_by("input_port__number")
    for position, key in at.values_list("position", "input_port"):
        found.setdefault(position, []).append(key)
    return found


def _words_of_element(element, line_ohm):
    """(what to order, its key): by the value of the line, else of its wiring; None where neither is known."""
    if element and element.kind == EndOfLinePart.Kind.MODULE:
        return "end-of-line module", "module"
    value = line_ohm or (element and element.value_ohm)
    return (f"end-of-line resistor {plain_number(value)} Ω", plain_number(value)) if value else None


def _resistor_lines(positions, practice):
    """Resistors that call points and detectors switch on their lines, of the values that their models state."""
    counts = Counter(
        position.product_model.alarm_resistance_ohm
        for position in positions
        if position.detection_line_id and position.product_model and position.product_model.alarm_resistance_ohm
    )
    for ohm, count in sorted(counts.items()):
        detail = f"{_counted(count, 'device')}, with spares; none where it is built in"
        yield _elements(f"alarm:{plain_number(ohm)}", f"alarm resistor {plain_number(ohm)} Ω", detail, count, practice)


def _elements(key, what, detail, count, practice):
    """So many and their spares."""
    needed = count + math.ceil(count * practice.spare_elements)
    return MaterialLine("End-of-line resistors and modules", key, what, detail, "pcs", needed)


def _counted(count, word, several=""):
    return f"{count} {word}" if count == 1 else f"{count} {several or word + 's'}"


def _label_lines(positions, cables, job, not_counted):
    if not job.label_language:
        not_counted.append("The language of the labels is not noted. Add it to the job.")
    language = job.label_language or "language not noted"
    if positions:
        yield MaterialLine("Labels", "label:device", f"device label, {language}", "one each", "pcs", len(positions))
    if cables:
        yield MaterialLine("Labels", "label:cable", "cable label", "one at each end", "pcs", 2 * len(cables))


def _with_arrivals(lines, arrived):
    for line in lines:
        yield MaterialLine(
            line.group, line.key, line.what, line.detail, line.unit, line.needed, arrived.get(line.key, 0)
        )


def _came_without_need(job, lines, arrived):
    """What came and nothing asks for any more: shown, so that it is sent back or the record put right."""
    known = {line.key for line in lines}
    rest = {key: total for key, total in arrived.items() if key not in known and total}
    if not rest:
        return []
    named = dict(MaterialArrival.objects.filter(job=job, line__in=rest).values_list("line", "what"))
    return [
        MaterialLine("Not needed any more", key, named[key], "came, and nothing asks for it now", "", 0, total)
        for key, total in sorted(rest.items())
    ]
