"""Builders of what is fitted and wired."""

from datetime import date

from sites_registry.access import Role
from tests.builders.saving import count, save, small_number
from tests.builders.sites import make_building, make_person
from zones.files.attachments import attach_file
from zones.models import (
    ActuatorCircuit,
    BatterySet,
    Cable,
    CauseAndEffectRule,
    Coincidence,
    ControlPanel,
    Core,
    CoreEnd,
    DataLink,
    DesignBasis,
    DetectionLine,
    DeviceKind,
    Fitting,
    InputDevice,
    InputPort,
    LinkEntry,
    Maker,
    PanelSetting,
    PlaceConfirmation,
    Position,
    ProductModel,
    SmokeZone,
    Terminal,
    Unit,
    Vent,
    VentGroup,
)


def make_product_model(kind=DeviceKind.SMOKE_DETECTOR, maker=None, **fields):
    maker = maker or Maker.objects.get_or_create(name="Tarn Works")[0]
    return save(ProductModel(maker=maker, kind=kind, **{"name": f"Model {next(count)}", **fields}))


def make_position(building=None, kind=DeviceKind.SMOKE_DETECTOR, **fields):
    number = next(count)
    fields = {"tag": f"X-{number:02}", "walking_order": number, **fields}
    return save(Position(building=building or make_building(), kind=kind, **fields))


def make_panel(building=None, tag=None, **fields):
    building = building or make_building()
    position = make_position(building, DeviceKind.CONTROL_PANEL, tag=tag or f"P{next(count)}")
    return save(ControlPanel(building=building, position=position, **fields))


def make_zone(building=None, panel=None, **fields):
    fields = {"number": small_number(), "name": "Stair", **fields}
    return save(SmokeZone(building=building or (panel and panel.building) or make_building(), panel=panel, **fields))


def make_circuit(panel=None, **fields):
    return save(ActuatorCircuit(panel=panel or make_panel(), **{"number": small_number(), **fields}))


def make_line(panel=None, **fields):
    return save(DetectionLine(panel=panel or make_panel(), **{"number": small_number(), **fields}))


def make_data_link(panel=None, **fields):
    return save(DataLink(panel=panel or make_panel(), **{"number": small_number(), **fields}))


def make_link_entry(data_link=None, **fields):
    return save(LinkEntry(data_link=data_link or make_data_link(), **{"place": small_number(), **fields}))


def make_input_port(panel=None, devices=(), **fields):
    """An input with the devices wired to it, in this order."""
    input_port = save(InputPort(panel=panel or make_panel(), **{"number": small_number(), **fields}))
    for order, position in enumerate(devices, start=1):
        save(InputDevice(input_port=input_port, position=position, order=order))
    return input_port


def make_battery_set(panel=None, **fields):
    fields = {"blocks": 2, "capacity_ah": 12, "fitted_on": date(2024, 4, 8), **fields}
    return save(BatterySet(panel=panel or make_panel(), **fields))


def make_setting(panel=None, **fields):
    fields = {"name": f"Setting {next(count)}", "value": "1", **fields}
    return save(PanelSetting(panel=panel or make_panel(), **fields))


def make_vent(zone=None, **fields):
    return save(Vent(smoke_zone=zone or make_zone(), **{"tag": f"V{next(count)}", **fields}))


def make_vent_group(zone=None, **fields):
    return save(VentGroup(smoke_zone=zone or make_zone(), **{"number": small_number(), **fields}))


def make_rule(panel=None, **fields):
    fields = {"cause": "device" if "position" in fields else "rain", "effect": "C", **fields}
    return save(CauseAndEffectRule(panel=panel or make_panel(), **fields))


def make_coincidence(panel=None, positions=(), **fields):
    """Two of two new detectors of the panel's building, unless `positions` says otherwise."""
    panel = panel or make_panel()
    coincidence = save(Coincidence(panel=panel, **{"name": f"coincidence {next(count)}", "needed": 2, **fields}))
    coincidence.positions.set(positions or [make_position(panel.building, "smoke_detector") for _ in range(2)])
    return coincidence


def make_design_basis(building=None, **fields):
    fields = {"standby_basis": "en-12101-10-2005-72h", "operations": 2, **fields}
    return save(DesignBasis(building=building or make_building(), **fields))


def make_terminal(panel=None, position=None, **fields):
    owner = {"position": position} if position else {"panel": panel or make_panel()}
    terminal = Terminal(**owner, **{"block": "X1", "number": str(next(count)), **fields})
    terminal.building = (terminal.panel or terminal.position).building
    return save(terminal)


def make_cable(building=None, **fields):
    return save(Cable(building=building or make_building(), **{"tag": f"W{next(count)}", **fields}))


def make_core(cable=None, **fields):
    return save(Core(cable=cable or make_cable(), **{"number": small_number(), **fields}))


def connect(core, near=None, far=None):
    """Put the ends of a core on terminals."""
    for end, terminal in (("near", near), ("far", far)):
        if terminal:
            save(CoreEnd(core=core, end=end, terminal=terminal))
    return core


def make_unit(product_model=None, **fields):
    fields = {"serial": f"S-{next(count):05}", **fields}
    return save(Unit(product_model=product_model or make_product_model(), **fields))


def fit(position, unit=None, fitted_on=date(2025, 3, 3), **fields):
    unit = unit or make_unit(make_product_model(kind=position.kind))
    return save(Fitting(position=position, unit=unit, fitted_on=fitted_on, **fields))


def prove_place(fitting, by=None, **fields):
    """The serial of a fitting was read at its place, unless `method` says otherwise."""
    return save(
        PlaceConfirmation(fitting=fitting, by=by or make_person(Role.ENGINEER), **{"method": "serial", **fields})
    )


def make_attachment(content=b"A file kept for tests.", name="note.txt", added_by=None, **owner):
    """A file kept with a record, through the service; give the owner as `building=`, `unit=` …"""
    (field, record), *_ = owner.items() or {"building": make_building()}.items()
    return attach_file(
        owner_field=field, owner=record, name=name, content=content, kind="other", by=added_by or make_person()
    )
