"""A run looped in one step: terminals, one cable per leg with its cores on their terminals, and the end of line.

What is recorded already is used: terminals, cables with their junction boxes, cores that are free or on the very
terminals. Anything that stands against it refuses the whole step with a sentence.
"""

from dataclasses import dataclass, field

from django.core.exceptions import ValidationError
from django.db import transaction

from zones.engineering.wiring.matching import pairs_of
from zones.engineering.wiring.wired_panel import Passing, Polarity, TerminalKind
from zones.models import (
    ActuatorCircuit,
    Cable,
    Core,
    DataLink,
    DetectionLine,
    Drive,
    EndPlace,
    InputDevice,
    Terminal,
)
from zones.units.patterns import use_device_pattern
from zones.wiring.boxes import legs_through_boxes
from zones.wiring.core_writing import CoreWriter
from zones.wiring.end_parts import put_element
from zones.wiring.records import drive_of

MOST_CORES = 61
SIGNAL = "signal"
# Functions of inputs that a contact carries as its own word.
CONTACT_FUNCTIONS = ("open", "close", "stop")


@dataclass(frozen=True)
class LoopOptions:
    """What is typed for all new cables of a loop; empty means: as recorded, or not known."""

    cores_count: int | None = None
    colours: tuple[str, ...] = ()
    cable_type: str = ""
    area_mm2: object = None
    conductor_class: str = ""
    fire_rating: str = ""
    element_kind: str = "resistor"
    element_ohm: object = None


@dataclass
class Leg:
    """One cable of the loop with its cores in words."""

    cable: Cable
    is_new: bool
    near: str
    far: str
    cores: list = field(default_factory=list)


@dataclass
class Loop:
    """What a loop did, or will do: shown before it is kept."""

    legs: list = field(default_factory=list)
    terminals_made: int = 0
    element: str = ""
    is_moved: bool = False
    changes: list = field(default_factory=list)  # what else the record says differently afterwards, in sentences

    @property
    def new_cables(self):
        return sum(leg.is_new for leg in self.legs)


class _Seen:
    """A terminal as the matching reads it; the signal terminal of an input stands for the function of that input."""

    def __init__(self, terminal):
        self.kind, self.polarity = TerminalKind(terminal.electrical_kind), Polarity(terminal.pole)
        self.passing, self.function = Passing(terminal.passing), terminal.function
        if terminal.input_port_id and self.kind == TerminalKind.INPUT and self.function.casefold() == SIGNAL:
            function = terminal.input_port.function
            self.function = function if function in CONTACT_FUNCTIONS else self.function


@transaction.atomic
def loop_run(*, owner, devices, options=None):
    """Wire the devices of an output, a line or a data link, in this order, from where it starts to the last. → Loop

    Without devices a line is unused: its resistor is put at its own terminals. What was set on purpose stays: a run
    that
    needs no end-of-line part gets none, and one that ends in a junction box has it there.
    Raises ValidationError: sentences that say what stands against it; nothing is changed then.
    """
    options = options or LoopOptions()
    type(owner).objects.select_for_update(of=("self",)).get(pk=owner.pk)
    start = getattr(owner, "starts_at", None)
    starts = _terminals(owner.terminals, **({"position": start} if start else {"panel": owner.panel}))
    if not starts:
        where = f"{start}: its page, Terminals" if start else "panel, Wiring, Terminals from the pattern"
        raise ValidationError(f"{owner} has no terminals where it starts. Make them first: {where}.")
    run, stem = _run_and_stem(owner)
    in_box = getattr(owner, "end_place", "") == EndPlace.IN_BOX
    loop, outs = _loop(start or owner.panel.position, owner.panel, starts, devices, options, run, stem, in_box=in_box)
    if _needs_element(owner, devices):
        put_element(loop, owner, outs, devices, options)
    return loop


def _run_and_stem(owner):
    """By what field a cable knows its run (a data link: by its cores alone), and how its tag begins."""
    name, letter = {
        ActuatorCircuit: ("actuator_circuit", ""),
        DetectionLine: ("detection_line", "L"),
        DataLink: ("", "D"),
    }[type(owner)]
    return ({name: owner} if name else {}), f"W{owner.panel.tag.removeprefix('P')}.{letter}{owner.number}"


def _needs_element(owner, devices):
    if isinstance(owner, DataLink) or owner.end_place == EndPlace.NONE_NEEDED:
        return False
    return isinstance(owner, DetectionLine) or _is_monitored(owner, devices)


@transaction.atomic
def loop_input_ports(*, inputs, device, options=None):
    """Wire a device to these inputs of one panel or one device with one cable; a monitored input's resistor goes to it.

    Without a device each monitored input is unused: its resistor is put at its own terminals. Returns Loop.
    """
    options = options or LoopOptions()
    inputs = list(inputs)
    if not inputs:
        raise ValidationError("Choose the inputs to wire.")
    if len({(one.panel_id, one.starts_at_id) for one in inputs}) > 1:
        raise ValidationError("These inputs start at different devices. Wire those of one panel or device at a time.")
    start, panel = inputs[0].starts_at, inputs[0].panel
    owner = {"position": start} if start else {"panel": panel}
    starts = _terminals(Terminal.objects.filter(input_port__in=inputs), **owner)
    if not starts:
        raise ValidationError(f"{inputs[0]} has no terminals where it starts. Make them from the wiring pattern first.")
    by_key = {one.pk: one for one in inputs}
    for terminal in starts:
        terminal.input_port = by_key[terminal.input_port_id]
    stem = f"W{panel.tag.removeprefix('P')}.S{inputs[0].number}"
    before = start or panel.position
    loop, _ = _loop(before, panel, starts, [device] if device else [], options, {}, stem)
    if device:
        for one in inputs:
            made = InputDevice.objects.get_or_create(input_port=one, position=device)[1]
            loop.changes += [f"{device} is on {one}."] if made else []
    for one in inputs:
        if one.is_monitored and one.end_place != EndPlace.NONE_NEEDED:
            own = [terminal for terminal in starts if terminal.input_port_id == one.pk]
            ends = _joined_at(device, own) if device else own
            put_element(loop, one, ends, [device] if device else [], options)
    return loop


def _joined_at(device, starts):
    """The terminals of a device that cores join to these, in their order."""
    cores = Core.objects.filter(ends__terminal__in=starts)
    return _terminals(device.terminals.filter(core_ends__core__in=cores).distinct(), position=device)


@transaction.atomic
def loop_inputs(*, panel, block, devices, options=None):
    """Wire devices that are on no output and no line (switches, sensors, interfaces) from a block of the panel on."""
    starts = _terminals(panel.terminals.filter(block__iexact=block), panel=panel)
    if not starts:
        raise ValidationError(f"{panel} has no terminals of block {block}. Choose one that it has.")
    if not devices:
        raise ValidationError("Choose the devices to wire, in their order from the panel.")
    stem = f"W{panel.tag.removeprefix('P')}.{starts[0].block.removeprefix('X')}"
    return _loop(panel.position, panel, starts, devices, options or LoopOptions(), {}, stem)[0]


def _terminals(terminals, **owner):
    """Terminals in order, each with the owner that is at hand, so that its name costs no query."""
    found = list(terminals.select_related("input_port").order_by("order_key"))
    for terminal in found:
        for name, record in owner.items():
            setattr(terminal, name, record)
    return found


def _cable_between(outs, ins):
    """The cable that is on both sides already, as a list; [] if there is none."""
    here = Cable.objects.filter(cores__ends__terminal__in=outs)
    return list(here.filter(cores__ends__terminal__in=ins).distinct()[:1])


def _is_monitored(circuit, devices):
    return drive_of(circuit, devices) == Drive.POLARITY and circuit.end_place != EndPlace.NONE_NEEDED


def _loop(origin, panel, starts, devices, options, run, stem, *, in_box=False):
    """The legs from the origin to each device; returns the loop and the terminals that go on from the last one."""
    loop, outs, before, upstream = Loop(), starts, origin, None
    writer = CoreWriter(starts)
    for device in devices:
        made = use_device_pattern(position=device, drive=_drive(run))
        loop.terminals_made += len(made.terminals)
        ins = _terminals(device.terminals, position=device)
        if not outs:
            raise ValidationError(
                f"{before} has no outgoing terminal, so nothing goes on from it to {device}. Put {before} last, or add "
                "outgoing terminals to its wiring pattern."
            )
        chain = legs_through_boxes(device=device, before=before, upstream=upstream, run=run)
        chain = chain or _cable_between(outs, ins)
        is_new = not chain
        if is_new:
            chain = [_new_cable(panel.building, before, device, upstream, run, stem, options)]
        pairs = [(outs[a], ins[b]) for a, b in pairs_of([*map(_Seen, outs)], [*map(_Seen, ins)])]
        ending = [one for one in outs if in_box and device == devices[-1] and _is_monitor(one)]
        pairs = [pair for pair in pairs if pair[0] not in ending]
        _check_pairs(pairs, before, device, [one for one in ins if not (ending and _is_monitor(one))])
        for cable, near, far, joined in writer.through(chain, before, device, pairs, ending):
            leg = Leg(cable, is_new, near.tag, far.tag)
            leg.cores = writer.put(cable, joined, options)
            loop.legs.append(leg)
        outs, before, upstream = [one for one in ins if one.passing == Passing.OUT], device, chain[-1]
    writer.finish()
    return loop, outs


def _is_monitor(terminal):
    return terminal.electrical_kind == Terminal.ElectricalKind.MONITOR


def _drive(run):
    circuit = run.get("actuator_circuit")
    return circuit.drive if circuit else ""


def _check_pairs(pairs, before, device, ins):
    """Every pole that comes into the device must find its terminal."""
    joined = {into.pk for _, into in pairs}
    open_ones = [one for one in ins if one.passing == Passing.IN and one.pk not in joined]
    if not pairs or open_ones:
        which = ", ".join(str(one) for one in open_ones) or "its terminals"
        raise ValidationError(
            f"{device}: no terminal of {before} fits {which}. Correct kind, pole and way of the terminals, or the "
            "wiring pattern of the model."
        )


def _new_cable(building, before, device, upstream, run, stem, options):
    taken = set(Cable.objects.filter(building=building, tag__startswith=stem).values_list("tag", flat=True))
    tag = next(tag for n in range(1, len(taken) + 2) if (tag := f"{stem}-{n}") not in taken)
    cable = Cable(
        building=building,
        tag=tag,
        cable_type=options.cable_type,
        cores_count=options.cores_count,
        area_mm2=options.area_mm2,
        conductor_class=options.conductor_class,
        fire_rating=options.fire_rating,
        from_place=before.tag,
        to_place=device.tag,
        **(run and {"upstream": upstream, "feeds": device, **run}),
    )
    cable.full_clean()
    cable.save()
    return cable
