"""The small job, wired: every run looped, the mains, the leads of the battery, the lengths."""

from inspections.demo.wiring import LAID
from zones.models import Cable, TerminalLink
from zones.units.patterns import use_device_pattern, use_panel_pattern
from zones.wiring.edits import put_core
from zones.wiring.loops import LoopOptions, loop_input_ports, loop_run
from zones.wiring.terminals import add_cores

THREE = LoopOptions(
    cores_count=3,
    colours=("BN", "BU", "BK"),
    cable_type="fire resisting",
    fire_rating="30 min",
    area_mm2="1.5",
    element_kind="module",
)
LINE = LoopOptions(
    cores_count=2, colours=("BN", "BU"), cable_type="fire resisting", fire_rating="30 min", area_mm2="0.75"
)
SWITCH = LoopOptions(cores_count=3, colours=("BN", "BU", "BK"), cable_type="control, numbered cores", area_mm2="0.75")
RAIN = LoopOptions(cores_count=4, colours=("BN", "BU", "BK", "GY"), cable_type="control, outdoors", area_mm2="0.75")


def wire_small_job(job):
    use_panel_pattern(panel=job.panel, outputs=2, lines=1, links=1, inputs=3)
    at = job.places
    loop_run(owner=job.circuits[0], devices=[at["M1"]], options=THREE)
    _box_on_the_way(job)
    loop_run(owner=job.circuits[1], devices=[at["M2"]], options=THREE)
    loop_run(owner=job.link, devices=[at["CP1"], at["CP2"]], options=THREE)
    loop_run(owner=at["CP1"].lines_offered.get(), devices=[at["SD1"]], options=LINE)
    loop_run(owner=at["CP2"].lines_offered.get(), devices=[], options=LINE)
    loop_run(owner=job.line, devices=[at["SD2"]], options=LINE)
    loop_input_ports(inputs=list(at["CP2"].inputs_offered.order_by("number")), device=at["VS1"], options=SWITCH)
    loop_input_ports(inputs=job.inputs[:2], device=at["VS2"], options=SWITCH)
    loop_input_ports(inputs=job.inputs[2:], device=at["RS1"], options=RAIN)
    _mains(job)
    _batteries(job)
    _lengths(job)


def _box_on_the_way(job):
    """Three cores to the box, two onward: the stub that nothing monitors is a metre long."""
    of = {
        "building": job.building,
        "actuator_circuit": job.circuits[1],
        "cable_type": "fire resisting",
        "fire_rating": "30 min",
        "area_mm2": "1.5",
        "conductor_class": "1",
    }
    before = job.save(
        Cable(
            tag="W1.2-1",
            cores_count=3,
            from_place="P1",
            to_place="JB1",
            far_box=job.places["JB1"],
            length_m="24",
            **of,
        )
    )
    job.save(
        Cable(
            tag="W1.2-2",
            cores_count=2,
            from_place="JB1",
            to_place="M2",
            upstream=before,
            feeds=job.places["M2"],
            length_m="1",
            **of,
        )
    )


def _mains(job):
    cable = job.save(
        Cable(
            building=job.building,
            tag="W1.0",
            cable_type="fire resisting",
            cores_count=3,
            area_mm2="2.5",
            fire_rating="30 min",
            from_place="board DB1",
            to_place="P1",
            length_m="18",
        )
    )
    add_cores(cable=cable, count=3, colours=("BN", "BU", "GNYE"))
    for number, name in enumerate(("L", "N", "PE"), start=1):
        put_core(terminal=job.panel.terminals.get(block="X1", number=name), text=f"{cable}.{number}")
    earth, body = (job.panel.terminals.get(block="X1", number=name) for name in ("PE", "B"))
    job.save(TerminalLink(first=earth, second=body))


def _batteries(job):
    """Red lead, black lead, link of the two blocks."""
    at = job.places
    for tag in ("G1", "G2"):
        use_device_pattern(position=at[tag])
    plus, minus = (job.panel.terminals.get(block="X2", number=number) for number in ("1", "2"))
    poles = {(tag, number): at[tag].terminals.get(number=number) for tag in ("G1", "G2") for number in ("1", "2")}
    for tag, words, near, far in (
        ("W1.B1", "red lead", plus, poles["G1", "1"]),
        ("W1.B2", "black lead", minus, poles["G2", "2"]),
        ("W1.B3", "link of the blocks", poles["G1", "2"], poles["G2", "1"]),
    ):
        start, end = ((one.panel or one.position).tag for one in (near, far))
        cable = job.save(
            Cable(
                building=job.building,
                tag=tag,
                cable_type=words,
                cores_count=1,
                area_mm2="4",
                length_m="0.5",
                from_place=start,
                to_place=end,
            )
        )
        add_cores(cable=cable, count=1)
        for terminal in (near, far):
            put_core(terminal=terminal, text=f"{tag}.1")


def _lengths(job):
    for cable in job.building.cables.filter(length_m=None):
        cable.length_m, cable.conductor_class = "16", "1"
        job.save(cable)
    for cable in job.building.cables.exclude(actuator_circuit=None):
        for name, value in LAID.items():
            setattr(cable, name, value)
        job.save(cable)
