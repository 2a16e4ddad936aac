"""The wiring of a new small system: terminals from the patterns, each run looped as 'Wire it' does, lengths put on."""

from zones.models import Cable, Terminal
from zones.services.wiring import add_cores
from zones.services.wiring_edits import put_core
from zones.services.wiring_loops import LoopOptions, loop_inputs, loop_run
from zones.services.wiring_patterns import use_panel_pattern

COLOURS = ("BN", "BU", "BK")
MAINS_COLOURS = ("BN", "BU", "GNYE")


def wire(made, answers):
    """Terminals and cables of everything in `made`; `made.loops` holds what each run got. Raises ValidationError."""
    panel = made.panel
    use_panel_pattern(panel=panel, outputs=len(made.circuits), lines=len(made.lines), inputs=len(made.inputs))
    for circuit in made.circuits:
        devices = [one for one in made.positions if one.actuator_circuit_id == circuit.pk]
        made.loops.append((circuit, _looped(made, circuit, devices, answers.output_cable)))
    for line in made.lines:
        devices = [one for one in made.positions if one.detection_line_id == line.pk]
        made.loops.append((line, _looped(made, line, devices, answers.other_cable)))
    blocks = _input_blocks(panel)
    made.not_wired = [one for devices in made.inputs[len(blocks) :] for one in devices]
    for block, devices in zip(blocks, made.inputs, strict=False):
        loop = loop_inputs(panel=panel, block=block, devices=devices, options=_options(answers.other_cable, ()))
        _put_lengths(loop, made.lengths.get(devices[0].pk, ()))
        made.loops.append((f"-{block}", loop))
    if answers.mains_feed:
        _mains(panel)


def _looped(made, owner, devices, cable):
    loop = loop_run(owner=owner, devices=devices, options=_options(cable, COLOURS))
    _put_lengths(loop, made.lengths.get(devices[0].pk, ()))
    return loop


def _options(cable, colours):
    return LoopOptions(
        colours=colours, cable_type=cable.cable_type, area_mm2=cable.area_mm2, fire_rating=cable.fire_rating
    )


def _put_lengths(loop, lengths_m):
    for leg, length_m in zip(loop.legs, lengths_m, strict=False):
        leg.cable.length_m = length_m
        leg.cable.full_clean()
        leg.cable.save()


def _input_blocks(panel):
    """Blocks of the panel's terminals that are inputs, in their order."""
    inputs = Terminal.objects.filter(panel=panel, electrical_kind=Terminal.ElectricalKind.INPUT)
    return list(dict.fromkeys(inputs.order_by("order_key").values_list("block", flat=True)))


def _mains(panel):
    """The feed from the board: its cable, on the terminals that the panel's pattern has for it."""
    kinds = (Terminal.ElectricalKind.SUPPLY, Terminal.ElectricalKind.EARTH)
    found = list(Terminal.objects.filter(panel=panel, electrical_kind__in=kinds).order_by("order_key"))
    supply = [one for one in found if one.electrical_kind == Terminal.ElectricalKind.SUPPLY]
    terminals = [*supply, *(one for one in found if one not in supply)]
    if len(supply) != 2 or len(terminals) != len(MAINS_COLOURS):
        return  # another feed than L, N and earth: nothing is assumed of it
    cable = Cable(
        building=panel.building, tag=f"W{panel.tag.removeprefix('P')}.0", cores_count=len(MAINS_COLOURS),
        from_place=panel.mains_feed.split(",")[0][:80], to_place=panel.tag,
    )  # fmt: skip
    cable.full_clean()
    cable.save()
    add_cores(cable=cable, count=len(MAINS_COLOURS), colours=MAINS_COLOURS)
    for number, terminal in enumerate(terminals, start=1):
        put_core(terminal=terminal, text=f"{cable}.{number}")
