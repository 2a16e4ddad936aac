"""The buildings of the demo that are wired to the last core, and the faults planted in one panel.

Everything goes through the services of the screens: terminals from patterns, each run looped in one step.
"""

from zones.models import Cable, Core, DetectionLine, DeviceKind, EndOfLinePart
from zones.units.patterns import use_panel_pattern
from zones.wiring.edits import put_core
from zones.wiring.loops import LoopOptions, loop_inputs, loop_run
from zones.wiring.terminals import add_cores

# Building and panel: the one with faults of wiring.
WITH_FAULTS = ("Kiln Street Depot", "P1")
# Rewired by others or taken over: of these the register knows little, and says so.
HARDLY_RECORDED = ("Station Arcade", "Mariner House", "Lantern Library", "Old Customs House")

COLOURS = ("BN", "BU", "BK")
# How the cables of actuators are laid where nothing else is said.
LAID = {"insulation": "thermosetting", "method": "C", "grouped_circuits": 3, "ambient_c": "30"}
FOR_LINES = LoopOptions(cores_count=3, colours=COLOURS, cable_type="fire resisting", fire_rating="30 min")
FOR_INPUTS = LoopOptions(cores_count=5, cable_type="control, numbered cores", area_mm2="0.75", fire_rating="30 min")

# The base of the invented detector: another block and the marks of its maker in place of the usual pattern.
DETECTOR_PATTERN = """B1:1 line in + 24 V, base
B1:2 line in - 24 V, base
B1:3 line out + 24 V, base
B1:4 line out - 24 V, base
link B1:1 B1:3
link B1:2 B1:4"""


def is_wired(building):
    return building.name not in HARDLY_RECORDED


def wire_fully(panel):
    """Terminals, cores, links and ends of line of a panel whose runs are recorded; one line more stays unused."""
    circuits = list(panel.actuator_circuits.order_by("number"))
    lines = list(panel.detection_lines.order_by("number"))
    inputs = _inputs(panel)
    use_panel_pattern(panel=panel, outputs=len(circuits), lines=len(lines) + 1, inputs=len(inputs))
    spare = panel.detection_lines.get(number=len(lines) + 1)
    spare.name, spare.end_of_line_ohm = "spare, terminated", "10000"
    spare.full_clean()
    spare.save()
    for run in (*circuits, *lines, spare):
        loop_run(owner=run, devices=list(run.positions.order_by("order_on_line")), options=FOR_LINES)
    for number, devices in enumerate(inputs, start=1):
        loop_inputs(panel=panel, block=f"XS{number}", devices=devices, options=FOR_INPUTS)
    _mains(panel)


def _inputs(panel):
    """Devices on no run, as they share a block of the panel: the switches of a zone together, each other one alone."""
    loose = panel.positions.in_use().filter(actuator_circuit=None, detection_line=None)
    loose = loose.exclude(kind__in=(DeviceKind.CONTROL_PANEL, DeviceKind.JUNCTION_BOX)).order_by("walking_order")
    together = {}
    for position in loose:
        is_switch = position.kind == DeviceKind.VENTILATION_SWITCH
        together.setdefault(position.smoke_zone_id if is_switch else position.tag, []).append(position)
    return list(together.values())


def _mains(panel):
    """The feed from the board, which is no part of the record."""
    board = panel.mains_feed.split(",")[0]
    cable = Cable(
        building=panel.building,
        tag=f"W{panel.tag.removeprefix('P')}.0",
        cable_type="fire resisting",
        cores_count=3,
        area_mm2="2.5",
        fire_rating="30 min",
        from_place=board,
        to_place=panel.tag,
    )
    cable.full_clean()
    cable.save()
    add_cores(cable=cable, count=3, colours=("BN", "BU", "GNYE"))
    for number, name in enumerate(("L", "N", "PE"), start=1):
        put_core(terminal=panel.terminals.get(block="X1", number=name), text=f"{cable}.{number}")


# Faults ---------------------------------------------------------------------------------------------------------------


def plant_faults(panel):
    """What happens on site: crossed poles, a resistor left before the last device, a loose core, a forgotten one."""
    lines = list(panel.detection_lines.order_by("number"))
    _cross(lines[0].cables.order_by("pk")[1])
    _move_element(lines[1])
    _loosen(lines[2].cables.order_by("pk")[1])
    _second_element(lines[0])


def _cross(cable):
    """wiring.polarity: the two cores of a cable changed over at its far end."""
    first, second = cable.cores.order_by("number")[:2]
    one, other = (core.ends.get(end="far").terminal for core in (first, second))
    put_core(terminal=one, text="")
    put_core(terminal=other, text=str(first))
    put_core(terminal=one, text=str(second))


def _move_element(line: DetectionLine):
    """wiring.element_place: the resistor was left at the device before the last one."""
    element = EndOfLinePart.objects.get(first__position__detection_line=line)
    before = list(line.positions.order_by("order_on_line"))[-2]
    element.first, element.second = before.terminals.filter(passing="out").order_by("pk")[:2]
    element.full_clean()
    element.save()


def _loosen(cable):
    """wiring.core_open: a core that came off its terminal."""
    core = Core.objects.filter(cable=cable, is_spare=False).order_by("number").first()
    put_core(terminal=core.ends.get(end="far").terminal, text="")


def _second_element(line: DetectionLine):
    """wiring.element_two: the resistor at the panel was not taken out when the line was connected."""
    plus, minus = line.terminals.order_by("order_key")
    element = EndOfLinePart(first=plus, second=minus, value_ohm=line.end_of_line_ohm)
    element.full_clean()
    element.save()
