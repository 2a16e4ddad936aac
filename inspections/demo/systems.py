"""Builds what is fitted and wired in the buildings of the scenario, through the services that the screens use."""

from datetime import timedelta

from dateutil.relativedelta import relativedelta

from inspections.demo.design_faults import spoil
from inspections.demo.product_models import MODELS, SMALL_MODELS
from inspections.demo.small_job import build_small_job, declare_complete
from inspections.demo.wiring import LAID, WITH_FAULTS, is_wired, plant_faults, wire_fully
from zones.engineering.vents import opening_angle_deg
from zones.models import (
    ActuatorCircuit,
    Cable,
    Core,
    CoreEnd,
    DesignBasis,
    DetectionLine,
    DeviceKind,
    Maker,
    PanelSetting,
    Position,
    ProductModel,
    SmokeZone,
    Terminal,
    Unit,
    Vent,
    VentGroup,
)
from zones.panels.edits import add_panel, change_battery
from zones.positions.edits import number_walk, sorted_by_place
from zones.units.fittings import fit


def save(record):
    """Save with the rules checked that need the model; the database itself holds relations, uniqueness, constraints.

    Asking for each of those before every one of thousands of records would cost half of the time of a load.
    """
    relations = [field.name for field in record._meta.concrete_fields if field.is_relation]
    record.full_clean(exclude=relations, validate_unique=False, validate_constraints=False)
    record.save()
    return record


def make_models():
    models = {}
    for key, (maker, name, kind, figures) in (MODELS | SMALL_MODELS).items():
        maker = Maker.objects.get_or_create(name=maker)[0]
        models[key] = save(ProductModel(maker=maker, name=name, kind=kind, **figures))
    for key in ("spindle old", "detector old"):
        models[key].is_current = False
        models[key].save()
    return models


class SystemBuilder:
    """Builds one building: panels, zones, circuits, lines, positions, units.

    `serials` numbers the units over all buildings.
    """

    def __init__(self, building, site, models, fitted_on, engineer, serials, today):
        self.building, self.site, self.models = building, site, models
        self.fitted_on, self.engineer, self.serials, self.today = fitted_on, engineer, serials, today
        self.zone_number = self.walk = 0
        self.tags = {}
        self.is_take_over = "take_over" in site.story

    def build(self):
        if "small_job" in self.site.story:
            build_small_job(self)
            return
        if not self.is_take_over:
            save(
                DesignBasis(
                    building=self.building,
                    standby_basis="en-12101-10-2005-30h",
                    operations=1,
                    opening_limit_s=60,
                    source="fire strategy, section 7",
                )
            )
        for number, spec in enumerate(self.site.panels, start=1):
            self.build_panel(number, spec)
        number_walk(building=self.building, positions=sorted_by_place(self.building.positions.all()))
        spoil(self.building)

    def build_panel(self, number, spec):
        large = sum(zone.vents for zone in spec.zones) > 9
        self.walk += 10
        panel = add_panel(
            building=self.building,
            tag=f"P{number}",
            product_model=self.models["panel large" if large else "panel"],
            storey=spec.storey,
            place=spec.place,
            walking_order=self.walk,
            serial=self.next_serial("TW"),
            fitted_on=self.fitted_on,
            fitted_by=self.engineer,
            settings_revision="1",
            mains_feed=f"board DB{number}, circuit {number + 4}, 10 A",
            access_code_changed=not self.is_take_over,
            **({} if self.is_take_over else {"battery_coldest_c": "10", "battery_usual_c": "18"}),
        )
        age_months = 52 if "overdue" in self.site.story else 20
        battery_on = max(self.fitted_on, self.today_minus(age_months))
        change_battery(
            panel=panel,
            fitted_on=battery_on,
            product_model=self.models["battery"],
            blocks=2,
            capacity_ah="24",
            date_code=f"{battery_on:%gW%V}",  # ISO 8601: New Year may lie in week 53 of the year before
            batch=f"BK-{battery_on:%y%m}",
        )
        for name, value, unit in (("Run time, all circuits", "75", "s"), ("Rain closes after", "30", "s")):
            save(
                PanelSetting(
                    panel=panel, name=name, value=value, unit=unit, set_by=self.engineer, set_on=self.fitted_on
                )
            )
        for zone_number, zone in enumerate(spec.zones, start=1):
            self.build_zone(panel, spec, zone_number, zone)
        self.add(panel, DeviceKind.RAIN_SENSOR, "rain", storey="roof", place="mast beside the smoke vents")
        self.add(panel, DeviceKind.FIRE_ALARM_INTERFACE, "interface", storey=spec.storey, place=f"inside {panel.tag}")
        self.wire(panel)

    def today_minus(self, months):
        return self.today - relativedelta(months=months)

    def next_serial(self, prefix):
        return f"{prefix}-{next(self.serials):06}"

    def build_zone(self, panel, spec, circuit_number, zone):
        self.zone_number += 1
        smoke_zone = save(
            SmokeZone(
                building=self.building,
                panel=panel,
                number=self.zone_number,
                name=zone.name,
                storey=zone.storey,
                required_area_m2=None if self.is_take_over else zone.required_m2,
                required_area_kind="" if self.is_take_over else "aerodynamic",
                required_area_source="" if self.is_take_over else "fire strategy, section 5",
                needs_no_inlets=not self.is_take_over,
                lockout_group=zone.lockout,
            )
        )
        group = save(VentGroup(smoke_zone=smoke_zone, number=1, name="all vents"))
        circuit = save(
            ActuatorCircuit(
                panel=panel,
                number=circuit_number,
                name=zone.name,
                drive=spec.drive,
                expected_actuators=zone.vents,
                found_actuators=zone.vents if spec.drive == "addressed" else None,
                run_time_s=75,
                current_limit_a="12" if zone.vents > 8 else "8",
                end_place="last_device",
            )
        )
        line = save(
            DetectionLine(
                panel=panel,
                number=circuit_number,
                name=zone.name,
                smoke_zone=smoke_zone,
                end_of_line_ohm="10000",
                end_place="last_device",
            )
        )
        self.place_devices(panel, spec, zone, smoke_zone, group, circuit, line)

    def place_devices(self, panel, spec, zone, smoke_zone, group, circuit, line):
        detector = "detector old" if self.is_take_over else "detector"
        storeys = storeys_of(zone.storey)
        # Call points stand before detectors on the line: a head taken off does not cut them off.
        for index in range(zone.call_points):
            self.add(
                panel,
                DeviceKind.MANUAL_CALL_POINT,
                "call point",
                smoke_zone=smoke_zone,
                detection_line=line,
                order_on_line=index + 1,
                storey=storeys[index * len(storeys) // zone.call_points],
                place=f"{zone.name}, beside the exit door",
            )
        for index in range(zone.detectors):
            self.add(
                panel,
                DeviceKind.SMOKE_DETECTOR,
                detector,
                smoke_zone=smoke_zone,
                detection_line=line,
                order_on_line=zone.call_points + index + 1,
                storey=storeys[index * len(storeys) // zone.detectors],
                place=f"{zone.name}, ceiling",
            )
        for index in range(zone.vents):
            self.place_vent(panel, spec, zone, smoke_zone, group, circuit, index)
        for _ in range(zone.switches):
            self.add(
                panel,
                DeviceKind.VENTILATION_SWITCH,
                "switch",
                smoke_zone=smoke_zone,
                vent_group=group,
                storey=storeys[0],
                place=f"{zone.name}, at hand height",
            )

    def place_vent(self, panel, spec, zone, smoke_zone, group, circuit, index):
        actuator = "spindle old" if self.is_take_over else "chain addressed" if spec.drive == "addressed" else "chain"
        vent = save(
            Vent(
                smoke_zone=smoke_zone,
                tag=f"V{smoke_zone.number}.{index + 1}",
                leaf=zone.leaf,
                width_mm=1600,
                height_mm=700 if "due_soon" in self.site.story and index == 0 else 1300,
                aerodynamic_area_m2=None if self.is_take_over else self.area_of(zone),
                declaration_reference="" if self.is_take_over else "DoP 1207 (invented)",
                reveal_mm=0,
                sides_blocked=False,
                **self.opening_of(zone, actuator, index),
            )
        )
        self.add(
            panel,
            DeviceKind.ACTUATOR,
            actuator,
            smoke_zone=smoke_zone,
            vent_group=group,
            vent=vent,
            actuator_circuit=circuit,
            order_on_line=index + 1,
            storey=storeys_of(zone.storey)[-1],
            place=f"{zone.name}, vent {index + 1}",
            access_need="tower or roof access",
        )

    def opening_of(self, zone, actuator, index):
        """The angle to which its declaration holds: as far as its actuator opens it, blades 80°."""
        if self.is_take_over or zone.leaf == Vent.Leaf.SLIDING:
            return {}
        if zone.leaf == Vent.Leaf.LOUVRE:
            return {"blade_angle_deg": "80", "tested_angle_deg": "80"}
        height_m = 0.7 if "due_soon" in self.site.story and index == 0 else 1.3
        depth_m = {Vent.Leaf.SIDE_HUNG: 1.6, Vent.Leaf.DOUBLE_LEAF: height_m / 2}.get(zone.leaf, height_m)
        stroke_m = float(self.models[actuator].stroke_mm) / 1000
        return {"tested_angle_deg": f"{int(opening_angle_deg(stroke_m, depth_m))}"}

    def area_of(self, zone):
        """A little more than the share of each vent; in one building too little, so that the register shows it."""
        share = float(zone.required_m2) / zone.vents
        return f"{share * (0.9 if 'open_degraded' in self.site.story else 1.08):.2f}"

    def add(self, panel, kind, model_key, **fields):
        prefix = kind.facts.tag_prefix
        self.tags[prefix] = self.tags.get(prefix, 0) + 1
        self.walk += 10
        model = self.models[model_key]
        position = save(
            Position(
                building=self.building,
                panel=panel,
                kind=kind,
                tag=f"{prefix}{self.tags[prefix]}",
                product_model=model,
                walking_order=self.walk,
                **fields,
            )
        )
        if self.is_take_over and self.walk % 70 == 0:
            return position  # a serial that nobody could read yet
        batch = f"{self.fitted_on - timedelta(days=60):%y}W{1 + self.tags[prefix] % 3:02}"
        unit = save(Unit(product_model=model, serial=self.next_serial(str(model.maker)[0] + prefix), batch=batch))
        fit(position=position, unit=unit, fitted_on=self.fitted_on, by=self.engineer)
        return position

    def wire(self, panel):
        """Each circuit and line run by run to its last device; where little is recorded, cores of the first cables."""
        wired = is_wired(self.building)
        for circuit in panel.actuator_circuits.all():
            thin = "overdue" in self.site.story
            first = self.run_cable(
                circuit,
                f"W{panel.tag[1:]}.{circuit.number}",
                area_mm2="1.5" if thin else "6",
                first_m=45 if thin else 12 + 2 * circuit.number,
                each_m=6,
                actuator_circuit=circuit,
            )
            if not wired:
                self.land_cores(panel, circuit, first)
        for line in panel.detection_lines.all():
            self.run_cable(
                line, f"W{panel.tag[1:]}.L{line.number}", area_mm2="0.75", first_m=15, each_m=8, detection_line=line
            )
        if wired:
            wire_fully(panel)
            declare_complete(panel, by=self.engineer, on=self.fitted_on)
        if (self.building.name, panel.tag) == WITH_FAULTS:
            plant_faults(panel)

    def run_cable(self, owner, tag, *, area_mm2, first_m, each_m, **of):
        """A cable from the panel to the first device and one from each device to the next; returns the first."""
        first = before = None
        laid = LAID if "actuator_circuit" in of else {}
        for number, device in enumerate(owner.positions.order_by("order_on_line"), start=1):
            before = save(
                Cable(
                    building=self.building,
                    tag=tag if number == 1 else f"{tag}-{number}",
                    cable_type="fire resisting",
                    cores_count=3,
                    area_mm2=area_mm2,
                    conductor_class="1",
                    length_m=str(first_m if number == 1 else each_m),
                    fire_rating="30 min",
                    from_place=before.to_place if before else owner.panel.tag,
                    to_place=device.tag,
                    upstream=before,
                    feeds=device,
                    **laid,
                    **of,
                )
            )
            first = first or before
        return first

    def land_cores(self, panel, circuit, cable):
        """Two cores on the panel's output terminals, the third spare and parked."""
        for number, colour in enumerate(("BN", "BU", "BK"), start=1):
            core = save(Core(cable=cable, number=number, colour=colour, is_spare=number == 3))
            if core.is_spare:
                continue
            terminal = save(
                Terminal(
                    panel=panel,
                    block=f"X{circuit.number}",
                    number=str(number),
                    electrical_kind="output",
                    function=f"circuit {circuit.number} {'+' if number == 1 else '−'}",
                )
            )
            save(CoreEnd(core=core, end="near", terminal=terminal))


def storeys_of(text):
    """The storeys that "0–4" spans, as texts."""
    if "–" not in text:
        return [text]
    first, last = text.split("–")
    return [str(n) for n in range(int(first), int(last) + 1)]
