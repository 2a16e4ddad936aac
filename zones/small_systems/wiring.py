"""The wiring of a new small system: terminals from the patterns, each run looped as 'Wire it' does, lengths put on."""

from dataclasses import dataclass

from zones.models import ActuatorCircuit, Cable, DataLink, DetectionLine, DeviceKind, InputPort, Terminal, TerminalLink
from zones.small_systems.answers import CableAnswer
from zones.units.patterns import use_device_pattern, use_panel_pattern
from zones.wiring.edits import put_core
from zones.wiring.loops import LoopOptions, loop_input_ports, loop_inputs, loop_run
from zones.wiring.terminals import add_cores

COLOURS = ("BN", "BU", "BK")
MAINS_COLOURS = ("BN", "BU", "GNYE")
Kind = Terminal.ElectricalKind


@dataclass(eq=False)
class ToRun:
    """A circuit, line or data link and its devices in order; `box`: a junction box before the last of them."""

    owner: object
    devices: list
    lengths_m: tuple = ()
    cable: CableAnswer | None = None  # None: type and size are not known
    box: object = None


@dataclass(eq=False)
class ToInputs:
    """Devices and the inputs to which they go; without inputs: to the next free block of the panel's."""

    inputs: list
    devices: list
    lengths_m: tuple = ()
    cable: CableAnswer | None = None  # None: type and size are not known
    owner = None


def wire(made, ports, system, answers):
    """Terminals and cables of everything in `made.to_wire`; `made.loops` holds what each got."""
    panel = made.panel
    to_blocks = [one for one in made.to_wire if isinstance(one, ToInputs) and not one.inputs]
    use_panel_pattern(
        panel=panel,
        outputs=len(made.runs_of(ActuatorCircuit)),
        links=len(made.runs_of(DataLink)),
        lines=sum(line.starts_at_id is None for line in made.runs_of(DetectionLine)),
        inputs=len(to_blocks) or sum(one.starts_at_id is None for one in made.runs_of(InputPort)),
    )
    blocks = iter(_input_blocks(panel))
    for one in made.to_wire:
        if isinstance(one, ToRun):
            loop = _loop_run(one, system.settings["circuit_end"])
        elif one.inputs:
            loop = loop_input_ports(inputs=one.inputs, device=one.devices[0], options=_options(one.cable, COLOURS))
        else:
            loop = loop_inputs(panel=panel, block=next(blocks), devices=one.devices, options=_options(one.cable, ()))
        _put_lengths(loop, one.lengths_m)
        made.loops.append((one, loop))
    made.other_cables = [*(_mains(panel) if answers.mains_feed else ()), *_batteries(made)]


def _loop_run(one, circuit_end):
    element_kind = circuit_end if isinstance(one.owner, ActuatorCircuit) else "resistor"
    if one.box:
        _legs_with_box(one)
    return loop_run(owner=one.owner, devices=one.devices, options=_options(one.cable, COLOURS, element_kind))


def _options(cable, colours, element_kind="resistor"):
    cable = cable or CableAnswer()
    return LoopOptions(
        colours=colours,
        cable_type=cable.cable_type,
        area_mm2=cable.area_mm2,
        conductor_class=cable.conductor_class,
        element_kind=element_kind,
    )


def _legs_with_box(one):
    """The cables of a circuit with a junction box before its last actuator; the loop puts their cores on."""
    circuit, before, upstream = one.owner, one.owner.panel.position, None
    for number, device in enumerate([*one.devices[:-1], one.box, one.devices[-1]], start=1):
        end = {"far_box": device} if device is one.box else {"feeds": device}
        upstream = _cable(
            circuit.panel,
            f"W{circuit.panel.tag.removeprefix('P')}.{circuit.number}-{number}",
            before.tag,
            device.tag,
            cable_type=one.cable.cable_type,
            area_mm2=one.cable.area_mm2,
            conductor_class=one.cable.conductor_class,
            actuator_circuit=circuit,
            upstream=upstream,
            **end,
        )
        before = device


def _cable(panel, tag, near, far, **fields):
    cable = Cable(building=panel.building, tag=tag, from_place=near[:80], to_place=far, **fields)
    cable.full_clean()
    cable.save()
    return cable


def _put_lengths(loop, lengths_m):
    for leg, length_m in zip(loop.legs, lengths_m, strict=False):
        if length_m is not None:
            leg.cable.length_m = length_m
            leg.cable.full_clean()
            leg.cable.save()


def _input_blocks(panel):
    """Blocks of the panel's terminals that are inputs, in their order."""
    inputs = Terminal.objects.filter(panel=panel, electrical_kind=Kind.INPUT)
    return list(dict.fromkeys(inputs.order_by("order_key").values_list("block", flat=True)))


def _at_panel(panel, kind):
    return list(Terminal.objects.filter(panel=panel, electrical_kind=kind).order_by("order_key"))


def _mains(panel):
    """The feed from the board on the terminals that the panel's pattern has for it, and the body on its earth."""
    supply = _at_panel(panel, Kind.SUPPLY)
    # The protective earth of the feed, then the body of the cabinet.
    earth = sorted(_at_panel(panel, Kind.EARTH), key=lambda one: "protective" not in one.function.casefold())
    if len(supply) != 2 or not earth:
        return []  # another feed than L, N and earth: nothing is assumed of it
    cable = _cable(
        panel,
        f"W{panel.tag.removeprefix('P')}.0",
        panel.mains_feed.split(",")[0],
        panel.tag,
        cores_count=len(MAINS_COLOURS),
    )
    add_cores(cable=cable, count=len(MAINS_COLOURS), colours=MAINS_COLOURS)
    for number, terminal in enumerate([*supply, earth[0]], start=1):
        put_core(terminal=terminal, text=f"{cable}.{number}")
    for body in earth[1:]:
        first, second = sorted((earth[0], body), key=lambda one: one.pk)
        TerminalLink.objects.create(first=first, second=second)
    return [cable]


def _batteries(made):
    """Blocks in series: a lead from + of the panel to the first, links from − to +, a lead from the last back to −."""
    panel, blocks, cables = made.panel, made.of_kind(DeviceKind.BATTERY), []
    poles = {one.pole: one for one in _at_panel(panel, Kind.BATTERY)}
    if not blocks or len(poles) != 2:
        return cables
    ends = [poles[Terminal.Pole.PLUS]]
    for block in blocks:
        use_device_pattern(position=block)
        own = {one.pole: one for one in block.terminals.filter(electrical_kind=Kind.BATTERY)}
        ends += [own[Terminal.Pole.PLUS], own[Terminal.Pole.MINUS]]
    ends.append(poles[Terminal.Pole.MINUS])
    last = len(ends) // 2
    for number, (near, far) in enumerate(zip(ends[::2], ends[1::2], strict=True), start=1):
        words = "red lead" if number == 1 else "black lead" if number == last else "link of the blocks"
        owners = [(one.panel or one.position).tag for one in (near, far)]
        cable = _cable(panel, f"W{panel.tag.removeprefix('P')}.B{number}", *owners, cable_type=words, cores_count=1)
        add_cores(cable=cable, count=1)
        for terminal in (near, far):
            put_core(terminal=terminal, text=f"{cable}.1")
        cables.append(cable)
    return cables
