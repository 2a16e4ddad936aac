"""The small two-zone job as a fitter builds it, wired to the last core: the first building of the demo.

Output 1 drives an addressed actuator; output 2 a polarity actuator, three cores to a junction box, two onward, the
module
in the box. Two call points on a data link, one with a detector on its own line, the other with a ventilation switch; a
second switch on two inputs of the panel; a detector on the panel's own line; a rain sensor on a monitored input. Made
through the services that the screens use.
"""

from datetime import datetime, time, timedelta

from django.utils import timezone

from inspections.demo.scenario import SMALL_JOB
from inspections.demo.small_job_wiring import wire_small_job
from zones.models import (
    ActuatorCircuit,
    DataLink,
    DesignBasis,
    DetectionLine,
    DeviceKind,
    InputPort,
    LinkEntry,
    PanelSetting,
    Position,
    SmokeZone,
    Unit,
    Vent,
    VentGroup,
)
from zones.panels.edits import add_panel, change_battery
from zones.positions.edits import number_walk, sorted_by_place
from zones.units.fittings import fit
from zones.units.patterns import use_device_pattern


def build_small_job(made):
    """Build it; `made` is the SystemBuilder of its building."""
    SmallJob(made).build()


class SmallJob:
    def __init__(self, made):
        self.made, self.building, self.save = made, made.building, _checked
        self.places = {}

    def build(self):
        self.save(
            DesignBasis(
                building=self.building,
                standby_basis="en-12101-10-2005-30h",
                operations=1,
                opening_limit_s=60,
                wind_opening_pa=100,
                wind_suction_pa=900,
                snow_pa=400,
                wind_class_pa=1500,
                snow_class_pa=250,
                cold_class_c=-5,
                reliability_class=1000,
                heat_class_c=300,
                source="fire strategy, section 3",
            )
        )
        self.panel = self.add_panel()
        self.zones = [self.zone(number, *spec) for number, spec in enumerate(SMALL_JOB["zones"], start=1)]
        self.runs()
        self.devices()
        number_walk(building=self.building, positions=sorted_by_place(self.building.positions.all()))
        wire_small_job(self)
        self.presses()
        self.list_call_points()
        self.declare()

    def add_panel(self):
        made = self.made
        panel = add_panel(
            building=self.building,
            tag="P1",
            product_model=made.models["panel small"],
            storey="0",
            place=SMALL_JOB["panel_place"],
            walking_order=10,
            serial=made.next_serial("TW"),
            fitted_on=made.fitted_on,
            fitted_by=made.engineer,
            settings_revision="1",
            mains_feed="board DB1, circuit 7, 10 A",
            earth="green-yellow core to X1:PE, link to the body",
            mains_guard=True,
            access_code_changed=True,
            battery_coldest_c="12",
            battery_usual_c="19",
        )
        change_battery(
            panel=panel,
            fitted_on=made.fitted_on,
            product_model=made.models["battery small"],
            blocks=2,
            capacity_ah="7",
            date_code=f"{made.fitted_on:%gW%V}",
            batch=f"BK-{made.fitted_on:%y%m}",
        )
        for name, value, unit in (
            ("Run time, output 1", "68", "s"),
            ("Run time, output 2", "68", "s"),
            ("Rain closes after", "30", "s"),
            ("Language of the display", "English", ""),
        ):
            self.save(
                PanelSetting(
                    panel=panel, name=name, value=value, unit=unit, set_by=made.engineer, set_on=made.fitted_on
                )
            )
        return panel

    def zone(self, number, name, storey):
        zone = self.save(
            SmokeZone(
                building=self.building,
                panel=self.panel,
                number=number,
                name=name,
                storey=storey,
                required_area_m2="0.8",
                required_area_kind="aerodynamic",
                needs_no_inlets=True,
                required_area_source="fire strategy, section 3",
                needs_automatic_detection=number == 1,
                fault_lamp=f"lamp {number} of the door",
            )
        )
        # The panel numbers its groups on over all zones.
        self.save(VentGroup(smoke_zone=zone, number=number, name="roof vent"))
        self.save(
            Vent(
                smoke_zone=zone,
                tag=f"V{number}.1",
                leaf=Vent.Leaf.DOME,
                width_mm=1200,
                height_mm=1200,
                reveal_mm=0,
                sides_blocked=False,
                aerodynamic_area_m2="0.9",
                tested_angle_deg="24",
                declaration_reference="DoP 1211 (invented)",
                leaf_mass_kg="25",
                installed_deg="5",
                hinge_at=Vent.Hinge.UPPER,
                bracket_from_hinge_mm=1200,
                bracket_depth_mm=0,
                wind_class_pa=1500,
                snow_class_pa=500,
                cold_class_c=-15,
                reliability_class=1000,
                heat_class_c=300,
            )
        )
        return zone

    def runs(self):
        first, second = self.zones
        self.circuits = [
            self.save(
                ActuatorCircuit(
                    panel=self.panel,
                    number=1,
                    name=first.name,
                    drive="addressed",
                    expected_actuators=1,
                    found_actuators=1,
                    run_time_s=68,
                    current_limit_a="3",
                    end_place="none_needed",
                )
            ),
            self.save(
                ActuatorCircuit(
                    panel=self.panel,
                    number=2,
                    name=second.name,
                    drive="polarity",
                    expected_actuators=1,
                    run_time_s=68,
                    current_limit_a="3",
                    monitored_by="three",
                    end_place="in_box",
                )
            ),
        ]
        self.line = self.save(
            DetectionLine(
                panel=self.panel,
                number=1,
                name="second line of the front stair",
                smoke_zone=first,
                end_of_line_ohm="10000",
                end_of_line_tolerance_percent="1",
                end_place="last_device",
            )
        )
        self.link = self.save(DataLink(panel=self.panel, number=1, name="call points", when_broken="fault"))
        self.inputs = self.inputs_of_the_panel(first)

    def inputs_of_the_panel(self, zone):
        press = {
            "long_press": "fully",
            "short_press": "stop",
            "smoke_zone": zone,
            "vent_group": zone.vent_groups.get(),
        }
        return [
            self.save(InputPort(panel=self.panel, number=1, name="switch, open", function="open", **press)),
            self.save(InputPort(panel=self.panel, number=2, name="switch, close", function="close", **press)),
            self.save(
                InputPort(
                    panel=self.panel,
                    number=3,
                    name="rain",
                    function="rain",
                    is_monitored=True,
                    end_of_line_ohm="10000",
                    end_place="last_device",
                )
            ),
        ]

    def add(self, tag, kind, model, zone=None, **fields):
        made, of_zone = self.made, self.zones[zone - 1] if zone else None
        if kind in (DeviceKind.ACTUATOR, DeviceKind.VENTILATION_SWITCH):
            fields["vent_group"] = of_zone.vent_groups.get()
        position = self.save(
            Position(
                building=self.building,
                panel=self.panel,
                kind=kind,
                tag=tag,
                smoke_zone=of_zone,
                product_model=made.models.get(model),
                **fields,
            )
        )
        if model:
            batch = f"{made.fitted_on - timedelta(days=60):%y}W07"
            unit = self.save(Unit(product_model=position.product_model, serial=made.next_serial("S"), batch=batch))
            fit(position=position, unit=unit, fitted_on=made.fitted_on, by=made.engineer)
        self.places[tag] = position
        return position

    def devices(self):
        kind, top = DeviceKind, SMALL_JOB["top_storey"]
        roof = {"storey": "roof", "access_need": "roof hatch, ladder, harness"}
        self.add(
            "M1",
            kind.ACTUATOR,
            "chain addressed",
            1,
            vent=self.vent(1),
            actuator_circuit=self.circuits[0],
            order_on_line=1,
            place="vent over the front stair",
            **roof,
        )
        self.add(
            "M2",
            kind.ACTUATOR,
            "chain two-core",
            2,
            vent=self.vent(2),
            actuator_circuit=self.circuits[1],
            order_on_line=1,
            place="vent over the back stair",
            **roof,
        )
        self.add("JB1", kind.JUNCTION_BOX, None, 2, place="beside the vent over the back stair", **roof)
        self.call_points_and_detectors(top)
        self.add("VS1", kind.VENTILATION_SWITCH, "switch", 2, storey="0", place="back stair, at hand height")
        self.add("VS2", kind.VENTILATION_SWITCH, "switch", 1, storey="0", place="front stair, at hand height")
        self.add("RS1", kind.RAIN_SENSOR, "rain", place="mast beside the vents", **roof)
        for number in (1, 2):
            self.add(f"G{number}", kind.BATTERY, "battery small", storey="0", place="inside P1, foot of the cabinet")

    def call_points_and_detectors(self, top):
        kind = DeviceKind
        for number in (1, 2):
            self.add(
                f"CP{number}",
                kind.MANUAL_CALL_POINT,
                "call point link",
                number,
                data_link=self.link,
                order_on_line=number,
                storey="0",
                place=f"{self.zones[number - 1].name}, beside the exit door",
            )
            use_device_pattern(position=self.places[f"CP{number}"])
        own = self.places["CP1"].lines_offered.get()
        self.add(
            "SD1",
            kind.SMOKE_DETECTOR,
            "detector",
            1,
            detection_line=own,
            order_on_line=1,
            storey=top,
            place="front stair, ceiling of the top landing",
        )
        self.add(
            "SD2",
            kind.SMOKE_DETECTOR,
            "detector",
            1,
            detection_line=self.line,
            order_on_line=1,
            storey="0",
            place="front stair, ceiling of the entrance",
        )

    def vent(self, number):
        return self.zones[number - 1].vents.get()

    def presses(self):
        """The inputs of the call points move and stop as those of the panel do."""
        for one in self.panel.input_ports.filter(starts_at__isnull=False):
            one.long_press, one.short_press = "fully", "stop"
            one.vent_group = one.smoke_zone.vent_groups.get()
            self.save(one)

    def list_call_points(self):
        """The list as the panel gives it, each entry confirmed by the serial on the device."""
        at = datetime.combine(self.made.fitted_on, time(11), timezone.get_current_timezone())
        for place, tag in enumerate(("CP1", "CP2"), start=1):
            position = self.places[tag]
            self.save(
                LinkEntry(
                    data_link=self.link,
                    place=place,
                    serial=position.fittings.open().get().unit.serial,
                    number_given=10 + place,
                    zone_assigned=position.smoke_zone,
                    position=position,
                    confirmed_how="serial",
                    confirmed_by=self.made.engineer,
                    confirmed_at=at,
                )
            )

    def declare(self):
        declare_complete(self.panel, by=self.made.engineer, on=self.made.fitted_on)


def declare_complete(panel, *, by, on):
    """Say of a panel and of each of its runs that its wiring is recorded completely."""
    runs = (panel.actuator_circuits, panel.detection_lines, panel.data_links, panel.input_ports)
    for record in (panel, *(one for records in runs for one in records.all())):
        record.refresh_from_db()
        record.wiring_complete_on, record.wiring_complete_by = on, by
        record.save()


def _checked(record):
    record.full_clean()
    record.save()
    return record
