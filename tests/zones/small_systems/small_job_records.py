"""The small two-zone job of tests/zones/engineering/wiring/small_job.py as records, wired right by the services.

Output 1: an addressed actuator. Output 2: a polarity actuator behind a junction box that holds the module, 6 m before
it. Data link 1: CP1, whose line 201 has SD1, and CP2, whose line 202 is unused and whose inputs 203 and 204 have VS1.
VS2 on inputs 1 and 2 of the panel, RS1 on the monitored input 3, SD2 on line 1.
"""

from datetime import UTC, datetime
from types import SimpleNamespace

from tests import builders
from tests.zones.engineering.wiring.small_job import PANEL
from tests.zones.installations import FIGURES
from zones.cause_and_effect.edits import add_usual_rules
from zones.engineering.pattern_texts import TWO_CORE_ACTUATOR
from zones.models import (
    CoreEnd,
    DataLink,
    DetectionLine,
    DeviceKind,
    InputPort,
    LinkEntry,
    Maker,
    Terminal,
    TerminalLink,
)
from zones.units.patterns import use_device_pattern, use_panel_pattern
from zones.wiring.loops import LoopOptions, loop_input_ports, loop_run

CONFIRMED_AT = datetime(2026, 3, 2, 9, tzinfo=UTC)
COLOURS = ("BN", "BU", "BK", "GY", "WH")
CABLE = {"area_mm2": "1.5", "conductor_class": "1"}
INPUTS = ((1, "open", False), (2, "close", False), (3, "rain", True))


def make_small_job(building=None, *, rules=False, tag="P1"):
    """The job with everything in it by its tag: job.devices["CP1"], job.lines[201], job.inputs[3], job.link."""
    building = building or builders.make_building()
    job = SimpleNamespace(building=building, models=_models(), devices={}, lines={}, inputs={})
    job.panel = builders.make_panel(building, tag=tag, battery_coldest_c=15, battery_usual_c=20)
    job.panel.position.product_model = job.models["panel"]
    job.panel.position.save()
    job.zones = [
        builders.make_zone(building, job.panel, number=n, name=f"Stair {word}") for n, word in ((1, "A"), (2, "B"))
    ]
    job.groups = [builders.make_vent_group(zone, number=1) for zone in job.zones]
    job.vents = [builders.make_vent(zone, tag=f"V{zone.number}") for zone in job.zones]
    _make_runs(job)
    _make_devices(job)
    _wire(job)
    if rules:
        add_usual_rules(panel=job.panel)
    return job


def _models():
    maker = Maker.objects.get_or_create(name="Tarn Works")[0]

    def model(kind, name, **figures):
        return builders.make_product_model(kind, maker, **(FIGURES.get(kind, {}) | {"name": name} | figures))

    return {
        "panel": model(DeviceKind.CONTROL_PANEL, "Two Zones", wiring_pattern=PANEL),
        "addressed": model(DeviceKind.ACTUATOR, "Addressed 500", drive="addressed"),
        "polarity": model(DeviceKind.ACTUATOR, "Two Core 500", wiring_pattern=TWO_CORE_ACTUATOR),
        "call point": model(DeviceKind.MANUAL_CALL_POINT, "Link Call Point", line_voltage_v=12, **RANGES),
        "detector": model(DeviceKind.SMOKE_DETECTOR, "Head"),
        "switch": model(DeviceKind.VENTILATION_SWITCH, "Two Keys"),
        "rain": model(DeviceKind.RAIN_SENSOR, "Rain", standby_current_a="0.02"),
    }


# The call point tells the states of its own line by other ranges than the usual ones of a panel.
RANGES = {
    "short_below_ohm": 100,
    "alarm_low_ohm": 300,
    "alarm_high_ohm": 2000,
    "normal_low_ohm": 9000,
    "normal_high_ohm": 11000,
    "open_above_ohm": 20000,
}


def _make_runs(job):
    job.circuits = {
        1: builders.make_circuit(job.panel, number=1, drive="addressed", run_time_s=60, end_place="none_needed"),
        2: builders.make_circuit(
            job.panel, number=2, drive="polarity", run_time_s=60, monitored_by="three", end_place="in_box"
        ),
    }
    for number, function, monitored in INPUTS:
        job.inputs[number] = InputPort.objects.create(
            panel=job.panel,
            number=number,
            function=function,
            is_monitored=monitored,
            end_of_line_ohm=10_000 if monitored else None,
            smoke_zone=None if monitored else job.zones[0],
            long_press="" if monitored else "fully",
            short_press="" if monitored else "stop",
        )
    use_panel_pattern(panel=job.panel, lines=1, links=1, inputs=3)
    for number, circuit in job.circuits.items():
        job.panel.terminals.filter(block=f"XA{number}").update(actuator_circuit=circuit)
    job.link = DataLink.objects.get(panel=job.panel)
    job.link.when_broken = DataLink.WhenBroken.FAULT
    job.link.save()
    line = job.panel.detection_lines.get(number=1)
    line.smoke_zone, line.end_of_line_ohm = job.zones[0], 10_000
    line.save()
    job.lines[1] = line


def _make_devices(job):
    first, second = job.zones
    _device(
        job,
        "M1",
        "actuator",
        "addressed",
        first,
        actuator_circuit=job.circuits[1],
        order_on_line=1,
        vent=job.vents[0],
        vent_group=job.groups[0],
    )
    _device(
        job,
        "M2",
        "actuator",
        "polarity",
        second,
        actuator_circuit=job.circuits[2],
        order_on_line=1,
        vent=job.vents[1],
        vent_group=job.groups[1],
    )
    for order, zone in enumerate(job.zones, start=1):
        device = _device(
            job, f"CP{order}", "manual_call_point", "call point", zone, data_link=job.link, order_on_line=order
        )
        builders.fit(device, builders.make_unit(job.models["call point"], serial=f"TC-0{order}"))
        LinkEntry.objects.create(
            data_link=job.link,
            place=order,
            serial=f"TC-0{order}",
            number_given=10 + order,
            zone_assigned=zone,
            position=device,
            confirmed_how="serial",
            confirmed_at=CONFIRMED_AT,
        )
        use_device_pattern(position=device)
    job.lines |= {line.number: line for line in DetectionLine.objects.filter(panel=job.panel)}
    job.inputs |= {one.number: one for one in InputPort.objects.filter(panel=job.panel)}
    _device(job, "SD1", "smoke_detector", "detector", first, detection_line=job.lines[201], order_on_line=1)
    _device(job, "SD2", "smoke_detector", "detector", first, detection_line=job.lines[1], order_on_line=1)
    _device(job, "VS1", "ventilation_switch", "switch", second)
    _device(job, "VS2", "ventilation_switch", "switch", first)
    _device(job, "RS1", "rain_sensor", "rain", None)
    _device(job, "JB1", "junction_box", None, None)
    for tag in ("G1", "G2"):
        _device(job, tag, "battery", None, None)


def _device(job, tag, kind, model, zone, **fields):
    job.devices[tag] = builders.make_position(
        job.building, kind, tag=tag, panel=job.panel, smoke_zone=zone, product_model=job.models.get(model), **fields
    )
    return job.devices[tag]


def _wire(job):
    devices, options = job.devices, LoopOptions(cores_count=4, colours=COLOURS, cable_type="fire resisting")
    to_box = builders.make_cable(
        job.building,
        tag="W2",
        actuator_circuit=job.circuits[2],
        far_box=devices["JB1"],
        length_m=20,
        cores_count=3,
        from_place="P1",
        to_place="JB1",
        **CABLE,
    )
    builders.make_cable(
        job.building,
        tag="W3",
        actuator_circuit=job.circuits[2],
        upstream=to_box,
        feeds=devices["M2"],
        length_m=6,
        cores_count=3,
        from_place="JB1",
        to_place="M2",
        **CABLE,
    )
    loop_run(owner=job.circuits[1], devices=[devices["M1"]], options=options)
    module = LoopOptions(element_kind="module", colours=COLOURS)
    loop_run(owner=job.circuits[2], devices=[devices["M2"]], options=module)
    loop_run(owner=job.link, devices=[devices["CP1"], devices["CP2"]], options=options)
    loop_run(owner=job.lines[201], devices=[devices["SD1"]], options=options)
    loop_run(owner=job.lines[202], devices=[])
    loop_run(owner=job.lines[1], devices=[devices["SD2"]], options=options)
    loop_input_ports(inputs=[job.inputs[203], job.inputs[204]], device=devices["VS1"], options=options)
    loop_input_ports(inputs=[job.inputs[1], job.inputs[2]], device=devices["VS2"], options=options)
    loop_input_ports(inputs=[job.inputs[3]], device=devices["RS1"], options=options)
    for cable in job.building.cables.filter(length_m=None):
        for name, value in {"length_m": 15, **CABLE}.items():
            setattr(cable, name, value)
        cable.save()
    _supplies(job)


def _supplies(job):
    """Mains with earth to the body of the cabinet; two battery blocks in series."""
    terminals = {
        f"{(one.panel or one.position).tag} {one}": one
        for one in Terminal.objects.filter(building=job.building).select_related("panel__position", "position")
    }
    for tag in ("G1", "G2"):
        for one in use_device_pattern(position=job.devices[tag]).terminals:
            terminals[f"{tag} {one}"] = one
    panel = job.panel.tag
    mains = builders.make_cable(job.building, tag="W0", cores_count=3, from_place="board DB1", to_place=panel)
    for number, (name, colour) in enumerate((("L", "BN"), ("N", "BU"), ("PE", "GNYE")), start=1):
        core = builders.make_core(mains, number=number, colour=colour)
        CoreEnd.objects.create(core=core, end="far", terminal=terminals[f"{panel} -X1:{name}"])
    leads = (
        ("WB1", f"{panel} -X2:1", "G1 -X1:1"),
        ("WB2", f"{panel} -X2:2", "G2 -X1:2"),
        ("WB3", "G1 -X1:2", "G2 -X1:1"),
    )
    for tag, near, far in leads:
        cable = builders.make_cable(job.building, tag=tag, cores_count=1, from_place=near[:2], to_place=far[:2])
        builders.connect(builders.make_core(cable, number=1), terminals[near], terminals[far])
    TerminalLink.objects.create(first=terminals[f"{panel} -X1:PE"], second=terminals[f"{panel} -X1:B"])
