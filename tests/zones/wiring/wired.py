"""A wired line at Ropewalk Hall for the pages that draw it."""

from tests import builders
from zones.models import CoreEnd, EndOfLinePart, Position
from zones.units.patterns import use_panel_pattern
from zones.wiring.loops import LoopOptions, loop_run


def wire_town(town):
    """Line 1 of P1 with SD1 on it: two cores and an end element; a circuit with M1 on vent V1 of the zone."""
    line = builders.make_line(town.panel, number=1)
    Position.objects.filter(pk=town.detector.pk).update(detection_line=line, order_on_line=1)
    cable = builders.make_cable(town.hall, tag="W1", detection_line=line)
    for number in (1, 2):
        near = builders.make_terminal(town.panel, block="X5", number=str(number), detection_line=line)
        far = builders.make_terminal(position=town.detector, block="X1", number=str(number))
        out = builders.make_terminal(position=town.detector, block="X2", number=str(number))
        builders.connect(builders.make_core(cable, number=number, colour="BN"), near, far)
    first = town.detector.terminals.get(block="X2", number="1")
    EndOfLinePart.objects.create(first=first, second=out, value_ohm=10_000)
    circuit = builders.make_circuit(town.panel, number=1)
    vent = builders.make_vent(town.zone, tag="V1")
    group = builders.make_vent_group(town.zone, number=1)
    builders.make_position(
        town.hall,
        "actuator",
        tag="M1",
        panel=town.panel,
        smoke_zone=town.zone,
        actuator_circuit=circuit,
        vent=vent,
        vent_group=group,
    )
    return town


def wire_completely(town):
    """Every terminal of P1 and of its devices wired, nothing found: line 1 with CP1 and SD1, and the mains."""
    line = builders.make_line(town.panel, number=1, end_of_line_ohm=10_000, end_place="last_device")
    devices = [town.call_point, town.detector]
    for number, device in enumerate(devices, start=1):
        device.detection_line, device.order_on_line = line, number
        device.save()
    use_panel_pattern(panel=town.panel, lines=1)
    loop_run(owner=line, devices=devices, options=LoopOptions(cores_count=2, colours=("BN", "BU")))
    mains = builders.make_cable(
        town.hall, tag="W0", cores_count=3, from_place="board DB1", to_place="P1", actuator_circuit=None
    )
    for number, (name, colour) in enumerate((("L", "BN"), ("N", "BU"), ("PE", "GNYE")), start=1):
        core = builders.make_core(mains, number=number, colour=colour)
        CoreEnd.objects.create(core=core, end="far", terminal=town.panel.terminals.get(block="X1", number=name))
    town.line = line
    return town
