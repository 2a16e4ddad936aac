"""Records → what device, cable and core labels say. Addresses are those of the records, without the site."""

import re
from collections import defaultdict
from dataclasses import dataclass

from django.db.models import Q
from django.urls import reverse

from zones.engineering.natural_order import natural_key
from zones.labels.words import LabelWords
from zones.models import Cable, CoreEnd, EndOfLinePart, LinkEntry, Position, Terminal
from zones.wiring.port_words import run_with_panel, runs_of_cables

IN_ENGLISH = LabelWords()


@dataclass(frozen=True)
class LabelRecord:
    """A label before it is drawn: its tag, further lines, and the address that its code holds."""

    tag: str
    lines: tuple[str, ...]
    address: str
    needs_code: bool = True


def labels_of_devices(positions, words=IN_ENGLISH) -> list[LabelRecord]:
    """One label per position, in natural order of tags; a fixed number of queries."""
    positions = list(positions.with_wiring().with_inputs().order_by("tag_key"))
    starts, given, ends = _starts(positions), _numbers_given(positions), _ends_of_lines(positions)
    return [
        LabelRecord(
            each.tag,
            _lines_of_device(each, starts[each.pk], given.get(each.pk), ends.get(each.pk, ""), words),
            reverse("position-at", args=[each.pk]),
        )
        for each in positions
    ]


def _numbers_given(positions):
    """Position → the number that the panel gave it on its data link, where that place is confirmed."""
    on_links = [each.pk for each in positions if each.data_link_id]
    entries = LinkEntry.objects.filter(position__in=on_links).exclude(number_given=None) if on_links else ()
    return {entry.position_id: entry.number_given for entry in entries}


def _ends_of_lines(positions):
    """Position → "resistor" or "module" where one sits across its terminals."""
    rows = EndOfLinePart.objects.filter(first__position__in=[each.pk for each in positions])
    return dict(rows.order_by("-pk").values_list("first__position", "kind"))


def _lines_of_device(position, terminals, number_given, end, words):
    """In the order of their weight: what does not fit is left out from the end."""
    zone, group = position.smoke_zone, position.vent_group
    lines = [f"{words('zone')} {zone.number}" if zone else ""]
    run = words.in_text(run_with_panel(position))
    # Where the run starts stands beside the run: after "end-of-line resistor here" it would read as where that sits.
    lines += [run or (position.panel.tag if position.panel else ""), *terminals]
    if number_given is not None:
        lines.append(words.number_at_the_panel(number_given))
    moved_with = f"{words('group')} {group.smoke_zone.number}.{group.number}" if group else ""
    lines += [words(f"end-of-line {end} here") if end else "", moved_with]
    lines += [words(position.get_kind_display()), position.place or position.room]
    return tuple(line for line in lines if line)


def _starts(positions):
    """Position → designations where its run starts, at the panel or at the device that offers it; of a device on no
    run, those that its own cores lead to."""
    keys = {
        name: {getattr(each, f"{name}_id") for each in positions} - {None}
        for name in ("actuator_circuit", "detection_line", "data_link")
    }
    keys["input_port"] = {wired.input_port_id for each in positions for wired in each.at_inputs}
    runs = Q(pk__in=())
    for name, numbers in keys.items():
        runs |= Q(**{f"{name}__in": numbers})
    of_run = defaultdict(list)
    for terminal in Terminal.objects.filter(runs).select_related("position").order_by("order_key"):
        name = next(name for name in keys if getattr(terminal, f"{name}_id"))
        of_run[name, getattr(terminal, f"{name}_id")].append(terminal)
    own = _direct([each.pk for each in positions])
    return {each.pk: _designated(_of_run(each, of_run) or own[each.pk]) for each in positions}


def _of_run(position, of_run):
    for name in ("actuator_circuit", "detection_line", "data_link"):
        if key := getattr(position, f"{name}_id"):
            return of_run[name, key]
    return [terminal for wired in position.at_inputs for terminal in of_run["input_port", wired.input_port_id]]


def _designated(terminals):
    """Terminals of the panel as they are, those of a device with its tag: "-XL1:1, 2", "CP1 -X3:1, 2"."""
    owners = dict.fromkeys(terminal.position.tag if terminal.position_id else "" for terminal in terminals)
    return [
        f"{owner} {words}".strip()
        for owner in owners
        for words in designations(one for one in terminals if (one.position.tag if one.position_id else "") == owner)
    ]


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


def labels_of_cables(cables, words=IN_ENGLISH) -> list[LabelRecord]:
    """Two labels per cable, one for each end, with what it is and where it runs."""
    found = []
    cables = _in_order(cables.select_related("actuator_circuit__panel__position", "detection_line__panel__position"))
    others = runs_of_cables(cables)
    for cable in cables:
        size = f"{float(cable.area_mm2):g} mm²" if cable.area_mm2 else cable.awg and f"AWG {cable.awg}"
        cores = f"{cable.cores_count} ×" if cable.cores_count else ""
        run = cable.actuator_circuit or cable.detection_line
        word = words("circuit" if cable.actuator_circuit else "line")
        way = f" {words('to')} ".join(place for place in (cable.from_place, cable.to_place) if place)
        lines = [
            f"{run.panel.tag} {word} {run.number}" if run else words.in_text(others.get(cable.pk, "")),
            " ".join(part for part in (cores, size) if part),
            way,
            cable.cable_type,
            cable.fire_rating,
        ]
        found += [LabelRecord(cable.tag, tuple(line for line in lines if line), cable.get_absolute_url(), False)] * 2
    return found


def labels_of_cores(cables, words=IN_ENGLISH) -> list[LabelRecord]:
    """Two labels per core, one for each end: first the terminal at this end, then that at the other."""
    cables = _in_order(
        cables.prefetch_related("cores__ends__terminal__panel__position", "cores__ends__terminal__position")
    )
    found = []
    for cable in cables:
        for core in sorted(cable.cores.all(), key=lambda each: each.number):
            places = {end.end: _place(end.terminal) for end in core.ends.all()}
            missing = words("spare, parked" if core.is_spare else "end not recorded")
            near, far = (places.get(end, missing) for end in (CoreEnd.End.NEAR, CoreEnd.End.FAR))
            tag = f"{cable.tag}.{core.number}" + (f" {core.colour}" if core.colour else "")
            for here, there in ((near, far), (far, near)):
                found.append(
                    LabelRecord(tag, (here, f"{words('to')} {there}"), cable.get_absolute_url(), needs_code=False)
                )
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
        positions = positions.hanging_on(panel) | positions.filter(control_panel=panel)
    if zone := chosen.get("zone"):
        positions = positions.filter(smoke_zone=zone)
    if storey := chosen.get("storey"):
        positions = positions.filter(storey=storey)
    if tags := chosen.get("tags"):
        positions = positions.filter(tag__in=tags)
    return positions


def chosen_cables(building, chosen):
    """Cables that a label form chose: `panel` by their circuit, line, data link or input, `tags`."""
    cables = Cable.objects.filter(building=building)
    if panel := chosen.get("panel"):
        on_ports = CoreEnd.objects.filter(
            Q(terminal__data_link__panel=panel)
            | Q(terminal__input_port__panel=panel)
            | Q(terminal__position__data_link__panel=panel, terminal__electrical_kind="link")
        ).values("core__cable")
        cables = cables.filter(Q(actuator_circuit__panel=panel) | Q(detection_line__panel=panel) | Q(pk__in=on_ports))
    if tags := chosen.get("tags"):
        cables = cables.filter(tag__in=tags)
    return cables


def known_tags(building, what):
    """Tags as stored by their capitals, of devices or of cables."""
    records = Position.objects.in_use() if what == "devices" else Cable.objects.all()
    return {tag.upper(): tag for tag in records.filter(building=building).values_list("tag", flat=True)}
