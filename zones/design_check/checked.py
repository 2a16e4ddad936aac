"""Records → engineering's plain data → findings; the only bridge between the two. Computed when read, never stored.

`checked_panel(panel)` gives the data and what the check says of it, `checked_portfolio()` all panels of the register,
one after another. Findings of the record itself (a figure that cannot be, a line whose element nobody recorded) stand
beside those of engineering.
"""

from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from functools import lru_cache
from itertools import islice

from sites_registry.read_once import is_reading_once, read_once
from zones import engineering
from zones.design_basis.practice import current_practice, practice_of_panel
from zones.design_check import leaves, parts, ports
from zones.design_check import supply as design_supply
from zones.design_check.other_panels import add_others
from zones.design_check.records import PanelRecords, read_panels
from zones.design_check.smoke_causes import add_causes
from zones.design_check.vents import vent_of
from zones.engineering.consistency import check_numbering
from zones.engineering.copies import renamed
from zones.engineering.editions import check_editions
from zones.engineering.findings import Finding, Severity, fail, listed, missing
from zones.engineering.in_step import check_in_step
from zones.engineering.load_kinds import over_kinds
from zones.engineering.panel_check import check_panel, operation_of_panel
from zones.engineering.quantities import QuantityError
from zones.engineering.sources import DATA_SHEET, RECORD
from zones.engineering.trade_practice import TradePractice
from zones.models import ControlPanel, DeviceKind, EndPlace, SmokeZone
from zones.models.kinds import DRIVES, WITHOUT_UNIT

BUILDINGS_AT_ONCE = 50
KIND_LABELS = dict(DeviceKind.choices)
NOTHING_OF_SUPPLY, NOTHING_OF_BATTERY = engineering.PowerSupply(), engineering.BatterySet()


@dataclass(frozen=True, slots=True)
class CheckedPanel:
    """A panel with its records, its design, the practice used, and what the check says of it.

    `of_record` are those of the findings that the record itself gives; another design would have them too.
    """

    records: PanelRecords
    design: engineering.PanelDesign
    practice: TradePractice
    findings: tuple[Finding, ...]
    of_record: tuple[Finding, ...] = ()

    @property
    def panel(self):
        return self.records.panel


@dataclass(frozen=True, slots=True)
class CheckedBuilding:
    """A building's panels, and the findings that belong to no panel of it."""

    building: object
    panels: tuple[CheckedPanel, ...] = ()
    findings: tuple[Finding, ...] = ()

    @property
    def all_findings(self):
        """Findings of the building and of all its panels."""
        return [*self.findings, *(finding for checked in self.panels for finding in checked.findings)]


@dataclass
class _Made:
    """Engineering's data of one panel, with what the making of it found."""

    design: engineering.PanelDesign
    findings: list = field(default_factory=list)


@read_once
def checked_panel(panel) -> CheckedPanel:
    """The whole design check of one panel; eleven queries for any size of panel."""
    if is_reading_once():
        return next(one for one in checked_building(panel.building).panels if one.panel == panel)
    (records,) = read_panels(ControlPanel.objects.filter(pk=panel.pk))
    add_causes([records])
    add_others([records])
    return check_records(records, current_practice())


@read_once
def checked_building(building) -> CheckedBuilding:
    """The design check of all panels of a building; a fixed number of queries for any number of panels."""
    (checked,) = _checked([building], current_practice())
    return checked


def checked_portfolio(buildings) -> Iterator[CheckedBuilding]:
    """Buildings (a queryset) one after another, by name; only a handful is in memory at a time.

    Their records lead to no pages: `read_panels` with `only_counted`.
    """
    practice = current_practice()
    # Read some at a time: the asking costs as much as the checking of several panels.
    rows = buildings.select_related("design_basis").order_by("name", "pk").iterator(chunk_size=200)
    while some := list(islice(rows, BUILDINGS_AT_ONCE)):
        yield from _checked(some, practice, only_counted=True)


def _checked(buildings, practice, *, only_counted=False) -> Iterator[CheckedBuilding]:
    """The design check of these buildings; a fixed number of queries for any number of them."""
    keys = [building.pk for building in buildings]
    panels, zones = defaultdict(list), defaultdict(list)
    found = read_panels(ControlPanel.objects.filter(building__in=keys), whole_buildings=True, only_counted=only_counted)
    add_causes(found)
    add_others(found)
    for records in found:
        panels[records.panel.building_id].append(records)
    of_zone = SmokeZone.objects.filter(building__in=keys).order_by("number")
    for zone in of_zone.values_list("building_id", "panel_id", "number", "name", named=True):
        zones[zone.building_id].append(zone)
    for building in buildings:
        checked = tuple(check_records(records, practice) for records in panels.pop(building.pk, ()))
        findings = tuple(_building_findings(building, checked, zones[building.pk]))
        yield CheckedBuilding(building, checked, findings)


def check_records(records: PanelRecords, practice: TradePractice) -> CheckedPanel:
    """The design check of a panel whose records are read already; no query."""
    made = _made(records, with_others=True)
    basis = records.basis
    if basis and basis.opening_limit_s:
        practice = _with_limit(practice, basis.opening_limit_s)
    try:
        practice = practice_of_panel(practice, records.model)
    except QuantityError as error:
        made.findings.append(parts.not_used(f"Data sheet of {records.panel.tag}", error.in_words()))
    of_record = tuple(made.findings)
    findings = (*of_record, *check_panel(made.design, practice))
    return CheckedPanel(records, made.design, practice, findings, of_record)


@lru_cache(maxsize=64)  # all of a practice is checked again when it is made
def _with_limit(practice, opening_limit_s):
    return replace(practice, opening_limit_s=float(opening_limit_s))


def _made(records: PanelRecords, *, with_others=False) -> _Made:
    findings = []
    names = parts.vent_names(records.vents)
    zones = {zone.pk: parts.zone_name(zone) for zone in records.zones}
    basis_loads = leaves.loads_of(records.basis)

    def each(rows, make, what):
        """Make every row; one that engineering refuses as a whole is told and left out."""
        made = []
        for row in rows:
            try:
                made.append(make(row))
            except QuantityError as error:
                findings.append(parts.not_used(what(row), error.in_words()))
        return tuple(made)

    def one(make, what, otherwise):
        """Make the supply or the battery; refused as a whole it is told, and `otherwise` stands for not known."""
        try:
            return make(findings, records)
        except QuantityError as error:
            findings.append(parts.not_used(f"{what} of {records.panel.tag}", error.in_words()))
            return otherwise

    lines, inputs = (
        [one for one in runs if one.end_place not in ("", EndPlace.NONE_NEEDED)]
        for runs in (records.lines, records.inputs)
    )
    design = engineering.PanelDesign(
        name=records.panel.tag,
        supply=one(design_supply.supply_of, "Supply", NOTHING_OF_SUPPLY),
        battery=one(design_supply.battery_of, "Battery", NOTHING_OF_BATTERY),
        circuits=each(
            records.circuits, lambda row: parts.circuit_of(findings, row, records, names), parts.circuit_name
        ),
        lines=each(
            lines, lambda row: ports.line_of(findings, row, records), lambda row: f"Line {parts.line_name(row)}"
        ),
        inputs=each(
            inputs, lambda row: ports.input_of(findings, row, records), lambda row: f"Input {ports.input_name(row)}"
        ),
        links=each(records.links, lambda row: ports.link_of(findings, row, records), ports.link_name),
        zones=each(records.zones, lambda row: parts.zone_of(findings, row), lambda row: f"Zone {parts.zone_name(row)}"),
        vents=each(
            records.vents,
            lambda row: vent_of(
                findings, row, names[row.pk], zones[row.smoke_zone_id], records.movers[row.pk], basis_loads
            ),
            lambda row: f"Vent {names[row.pk]}",
        ),
        classes_asked=leaves.classes_of(records.basis),
        releases=tuple(_releases(records, zones)),
        groups=_groups(records),
        units=tuple(_units(records, zones)),
        opening_causes=records.causes,
        others=tuple(_made(one).design for one in records.others) if with_others else (),
        assessed_on=records.read_on,
    )
    return _Made(design, [*findings, *_record_findings(records)])


def _releases(records, zones):
    loose = [position for position in records.positions if position.smoke_zone_id is None]
    for position in [*records.in_zones, *loose]:
        if position.kind not in DRIVES:  # what moves a vent releases nothing
            yield engineering.ReleaseDevice(position.tag, KIND_LABELS[position.kind], _zone_at(position, zones))


def _zone_at(position, zones):
    """Name of the zone of a position, or None; `zones`: those of the panel, by key."""
    key = position.smoke_zone_id
    return zones.get(key) or (parts.zone_name(position.smoke_zone) if key else None)


def _groups(records):
    members, own = {}, {circuit.pk for circuit in records.circuits}
    for position in records.in_zones:
        # Only actuators of a circuit of this panel: a switch belongs to a group too, but moves nothing.
        if position.vent_group_id and position.actuator_circuit_id in own:
            members.setdefault(position.vent_group_id, []).append(position.tag)
    return tuple(
        engineering.VentGroup(str(group), parts.zone_name(group.smoke_zone), tuple(members.get(group.pk, ())))
        for group in records.groups
    )


def _units(records, zones):
    """The units that the panel's voltage is for; blocks of the battery are several in series, a box has no unit."""
    without = (DeviceKind.BATTERY.value, *WITHOUT_UNIT)
    of_sheet = {None: engineering.FittedUnit("")}  # a unit of each model: many positions share one
    for position in records.positions:
        if position.kind in without:
            continue
        model = position.model_here
        key = model and model.id
        if key not in of_sheet:
            rated_voltage_v = parts.of_model([], position.tag, model, "rated_voltage_v")
            of_sheet[key] = engineering.FittedUnit("", str(model), rated_voltage_v=rated_voltage_v)
        serial, zone = position.serial_here or None, _zone_at(position, zones)
        yield renamed(of_sheet[key], tag=position.tag, serial=serial, zone=zone)


def _record_findings(records):
    """What the record alone tells: elements, drives and battery blocks that engineering cannot know of."""
    findings = []
    for line in records.lines:
        findings += parts.line_findings(line, records)
    for one in records.inputs:
        findings += ports.input_findings(one)
    for circuit in records.circuits:
        on_it = records.on_circuit[circuit.pk]
        if not circuit.drive and on_it:
            name = parts.circuit_name(circuit)
            what, unchecked = "drive (addressed or polarity)", f"kind of {name}"
            findings.append(missing("consistency.drive", name, what, [], RECORD, not_checked=unchecked))
        findings += _other_drives(circuit, on_it)
    return findings + _group_numbers(records) + _blocks_findings(records)


def _other_drives(circuit, actuators):
    """An addressed actuator answers to no reversed polarity, and the other way round."""
    right = "", circuit.drive
    wrong = [one for one in actuators if circuit.drive and getattr(one.model_here, "drive", "") not in right]
    if not wrong:
        return []
    name = parts.circuit_name(circuit)
    words = (
        f"{name} drives by {circuit.drive}, but {listed(one.tag for one in wrong)} "
        f"{'is' if len(wrong) == 1 else 'are'} {wrong[0].model_here.drive} by the data sheet. Fit the right model, or "
        "correct the drive of the circuit."
    )
    return [fail("consistency.drive", name, words, DATA_SHEET)]


def _group_numbers(records):
    """Groups are numbered in each zone from 1, or on over all zones of the panel."""
    over_panel = tuple(group.number for group in records.groups)
    if len(over_panel) > 1 and sorted(over_panel) == list(range(1, len(over_panel) + 1)):
        return check_numbering("group", records.panel.tag, over_panel)
    findings, of_zones = [], defaultdict(list)
    for group in records.groups:
        of_zones[group.smoke_zone_id].append(group.number)
    for zone in records.zones:
        if numbers := of_zones.get(zone.pk):
            findings += check_numbering("group", f"Zone {parts.zone_name(zone)}", tuple(numbers))
    return findings


def _blocks_findings(records):
    """Blocks in series give the voltage of the panel, or the set does not belong there."""
    battery, tag = records.battery, records.panel.tag
    block_v = getattr(getattr(battery, "product_model", None), "rated_voltage_v", None)
    system_v = getattr(records.model, "rated_voltage_v", None)
    if not block_v or not system_v:
        return []
    in_series = round(system_v / block_v)
    if in_series < 1 or battery.blocks % in_series or abs(in_series * block_v / system_v - 1) > 0.1:
        words = (
            f"{tag}: {battery.blocks} blocks of {block_v.normalize():f} V cannot give its {system_v.normalize():f} V. "
            f"Correct the number of blocks or the model."
        )
        return [fail("consistency.battery_blocks", tag, words, DATA_SHEET)]
    return []


def _building_findings(building, checked, zones):
    """What belongs to no panel: zones and devices that hang on none, numbers with holes."""
    findings = []
    for zone in zones:
        if zone.panel_id is not None:
            continue
        name = parts.zone_name(zone)
        findings.append(
            missing("consistency.zone", name, f"panel of zone {name}", [], RECORD, not_checked=f"zone {name}")
        )
    if zones:
        findings += check_numbering("zone", str(building), tuple(zone.number for zone in zones))
    if not checked:
        what = "control panel"
        findings.append(
            missing("consistency.panel", str(building), what, [], RECORD, not_checked=f"design of {building}")
        )
    for panel in checked:
        findings += _unwired(panel)
    findings += check_editions(str(building), _stated(building, checked))
    return findings + _in_step(_sharing_a_vent(checked))


def _in_step(panels):
    """Actuators of one vent that several panels drive, whatever the kinds of load that are not known."""

    def judge(circuits):
        of_design = iter(circuits)
        designs = [replace(one.design, circuits=tuple(islice(of_design, len(one.design.circuits)))) for one in panels]
        solved = zip(designs, panels, strict=True)
        return check_in_step([operation_of_panel(design, one.practice) for design, one in solved], over_panels=True)

    return over_kinds(judge, tuple(circuit for one in panels for circuit in one.design.circuits))


def _stated(building, checked):
    """Where a building names the documents that it is designed by; the basis is read with its panels."""
    basis = checked[0].records.basis if checked else None
    yield "design basis", basis.basis.name if basis and basis.basis else ""
    yield "standard named by the client", building.standards_applied


def _sharing_a_vent(checked):
    """The panels that move a vent together with another: they are rare, and only they are solved once more."""
    if len(checked) < 2:
        return []
    vents = [
        {one.vent_key for circuit in panel.design.circuits for one in circuit.actuators} - {None} for panel in checked
    ]
    times = Counter(vent for of_panel in vents for vent in of_panel)
    return [panel for panel, own in zip(checked, vents, strict=True) if any(times[vent] > 1 for vent in own)]


def _unwired(checked):
    """Actuators of the panel that are on no circuit are in no check of cable, supply or time."""
    tags = [
        position.tag
        for position in checked.records.positions
        if position.actuator_circuit_id is None and position.kind in DRIVES
    ]
    if not tags:
        return []
    tag = checked.panel.tag
    unchecked = f"their cable, current and time on {tag}"
    return [missing("consistency.circuit", tag, "circuit", tags, RECORD, not_checked=unchecked)]


def counts_of(findings) -> dict[Severity, int]:
    """How many findings there are of each severity, worst first; every severity named."""
    return engineering.findings.by_severity(findings)
