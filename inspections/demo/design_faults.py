"""What is wrong with the design of some buildings of the demo, so that it shows every kind of finding once.

Each fault is one thing that happens on site, made through the records; its docstring says which finding it gives.
Other buildings stay sound: a person who looks for "all meets the values entered" finds them too.
"""

from dateutil.relativedelta import relativedelta
from django.utils import timezone

from inspections.demo.fault_making import circuit_of, devices_of, line_of, panel_of, refit, save, variant
from inspections.demo.protection_faults import fuses_on_long_cables, outputs_not_described, warm_bunch
from zones.models import Cable, CauseAndEffectRule, Vent, VentGroup
from zones.models.kinds import EndPlace

# Mariner House: a hotel that grew --------------------------------------------------------------------------------


def small_battery(building):
    """battery.capacity, battery.duration, battery.rate, battery.charger: blocks that fit the cupboard, not the load."""
    panel = panel_of(building, "P1")
    small = variant(
        panel.battery_sets.get().product_model, "Example battery, 4.5 Ah", capacity_ah="4.5", discharge_limit_a="30"
    )
    save(panel.battery_sets.get(), product_model=small, capacity_ah="4.5")
    save(panel, charger_current_a="0.25")


def weak_fuse(building):
    """battery.current: a fuse below what the motors take; battery.age: a date code that can be read two ways."""
    panel = panel_of(building, "P2")
    save(panel, battery_fuse_a="2")
    save(panel.battery_sets.get(), date_code="2507")


def a_third_block(building):
    """consistency.battery_blocks: three blocks of 12 V in a 24 V panel."""
    save(panel_of(building, "P2").battery_sets.get(), blocks=3)


def long_thin_cable(building):
    """cable.large_drop, figure.unusual: the first run of a circuit goes through the whole house."""
    first = circuit_of(building, "P2", 1).cables.get(upstream=None)
    save(first, length_m="310", area_mm2="16")
    save(circuit_of(building, "P1", 2).cables.get(upstream=None), length_m="45", area_mm2="2.5")


def call_point_behind_a_detector(building):
    """line.call_point_order: taking out the head cuts off the call point behind it."""
    line = line_of(building, "P1", 2)
    call_points = [device for device in devices_of(line) if device.kind == "manual_call_point"]
    for number, device in enumerate([d for d in devices_of(line) if d not in call_points[:1]] + call_points[:1], 1):
        save(device, order_on_line=number)


def weak_resistors(building):
    """line.alarm_together: two detectors of 470 Ω at once leave the alarm range, and the panel keeps no first alarm."""
    line = line_of(building, "P1", 1)
    model = line.panel.position.product_model
    refit(line.panel.position, variant(model, "Example panel, without memory of alarms", keeps_first_alarm=False))
    for device in devices_of(line):
        if device.kind == "smoke_detector":
            refit(device, variant(device.product_model, "Example detector, 470 Ω", alarm_resistance_ohm="470"))


def wrong_resistor(building):
    """line.alarm: a call point with 200 Ω is seen as neither alarm nor short."""
    device = devices_of(line_of(building, "P2", 1))[0]
    refit(device, variant(device.product_model, "Example call point, 200 Ω", alarm_resistance_ohm="200"))


def a_tee_on_the_line(building):
    """line.branch: a detector taken off a tee; its branch is not monitored."""
    runs = list(line_of(building, "P2", 2).cables.order_by("pk"))
    save(runs[-1], upstream=runs[-2].upstream)


def element_not_recorded(building):
    """consistency.line_end, line.no_element: nobody knows where one resistor sits; another line needs none."""
    save(line_of(building, "P2", 3), end_place=EndPlace.NONE_NEEDED)
    save(line_of(building, "P2", 2), end_place=EndPlace.MISSING)


def power_beyond_the_cable(building):
    """cable.voltage: actuators with switching electronics behind so much thin cable that no operating point exists."""
    circuit = circuit_of(building, "P2", 3)
    for position in circuit.positions.all():
        refit(position, variant(position.product_model, "Example chain, electronic", load_kind="constant power"))
    save(circuit.cables.get(upstream=None), length_m="290", area_mm2="1.5")


# Lantern Library: changed by others ------------------------------------------------------------------------------


def cables_in_the_fire(building):
    """cable.voltage_fire, cable.voltage_fire_starting, cable.fire_rating: metres that burn for 30 minutes."""
    save(building.design_basis, fire_minutes=30)
    for panel, metres in (("P1", "12"), ("P2", "4")):
        for cable in circuit_of(building, panel, 1).cables.all():
            proved = {"fire_class": "ph", "integrity_min": 30, "fixing_min": 30 if panel == "P1" else None}
            save(cable, hot_length_m=metres if cable.upstream_id is None else "0", **proved)


def one_after_another(building):
    """supply.sequence: outputs that open one after another are open too late."""
    panel = panel_of(building, "P1")
    save(panel, operation="sequential", supply_limit_a="9", gap_s="2")
    for step, circuit in enumerate(panel.actuator_circuits.order_by("number"), 1):
        save(circuit, sequence_step=step)


def unequal_pair(building):
    """time.in_step, consistency.vent_actuator: two unlike actuators on one leaf, and a leaf that none moves."""
    first, second = circuit_of(building, "P2", 1).positions.order_by("order_on_line")[:2]
    refit(second, variant(second.product_model, "Example chain, slow", speed_mm_s="8", lower_speed_mm_s="7.4"))
    save(second, vent=first.vent)


def impossible_fixing(building):
    """area.vent: the chain is fixed nearer to the hinge than the stroke allows."""
    vent = Vent.objects.filter(smoke_zone__building=building, leaf="top_hung").first()
    save(vent, fixing_distance_mm=200)


def undeclared_vent(building):
    """area.estimate: a vent without a declared area gives an estimate, no verdict."""
    louvres = Vent.objects.filter(smoke_zone__building=building, leaf="louvre").order_by("pk")
    for louvre in louvres:
        save(louvre, blades=10, blade_pitch_mm=130, blade_thickness_mm=4, blade_angle_deg="80")
    save(louvres[0], aerodynamic_area_m2=None)


LEAF = {"leaf_mass_kg": "45", "installed_deg": "90", "bracket_from_hinge_mm": 1300, "bracket_depth_mm": 0}
LOADS = {"wind_opening_pa": 80, "wind_suction_pa": 900}


def vent_of(building, tag):
    return Vent.objects.get(smoke_zone__building=building, tag=tag)


def leaves_under_load(building):
    """force.opening, force.closing, force.holding, force.geometry, force.not_computed: leaves against wind."""
    save(vent_of(building, "V1.1"), wind_opening_pa=80)
    save(vent_of(building, "V2.2"), **(LEAF | {"leaf_mass_kg": "160"}), **(LOADS | {"wind_suction_pa": 2400}))
    save(vent_of(building, "V3.3"), leaf=Vent.Leaf.BOTTOM_HUNG, **LEAF, **LOADS)
    save(vent_of(building, "V3.1"), **(LEAF | {"leaf_mass_kg": None}), **LOADS)
    save(vent_of(building, "V3.4"), **(LEAF | {"bracket_from_hinge_mm": 100}), **LOADS)


def classes_too_low(building):
    """class.asked, class.snow_slope: classes that are too low, not declared, or for a steeper slope."""
    asked = {"wind_class_pa": 1500, "snow_class_pa": 0, "cold_class_c": -5, "reliability_class": 1000}
    save(building.design_basis, **asked)
    save(vent_of(building, "V1.1"), **(asked | {"cold_class_c": -15}), installed_deg="30")
    save(vent_of(building, "V1.2"), **asked)
    for vent in Vent.objects.filter(smoke_zone__building=building, tag__startswith="V2."):
        save(vent, **(asked | {"cold_class_c": 0}))


def slow_actuators(building):
    """time.opening, time.run_time: 70 s to open, switched off after 60 s."""
    circuit = circuit_of(building, "P1", 2)
    for position in circuit.positions.all():
        refit(
            position,
            variant(
                position.product_model, "Example chain, long", stroke_mm="560", speed_mm_s="8", lower_speed_mm_s="7.4"
            ),
        )
    save(circuit, run_time_s=60)


def thirsty_detectors(building):
    """line.break, line.normal: detectors that draw so much that a break is hidden behind them."""
    for device in devices_of(line_of(building, "P2", 1)):
        if device.kind == "smoke_detector":
            refit(device, variant(device.product_model, "Example detector, thirsty", standby_current_a="0.0006"))


def bases_that_bridge(building):
    """line.removal: a base that carries the line on when its head is taken out."""
    for device in devices_of(line_of(building, "P1", 2)):
        if device.kind == "smoke_detector":
            refit(device, variant(device.product_model, "Example detector, bridged base", removal_opens_line=False))


def battery_soon_due(building):
    """battery.age: four years are over within half a year."""
    made = timezone.localdate() - relativedelta(years=4, days=-90)
    save(panel_of(building, "P2").battery_sets.get(), date_code=f"{made:%Y-%m-%d}")


def twelve_volts(building):
    """consistency.voltage: a rain sensor of 12 V on a 24 V panel."""
    sensor = building.positions.filter(kind="rain_sensor").first()
    refit(sensor, variant(sensor.product_model, "Example rain sensor, 12 V", rated_voltage_v="12"))


def numbers_with_holes(building):
    """consistency.group_numbers: group 3 without a group 2."""
    zone = building.smoke_zones.order_by("number").first()
    save(VentGroup(smoke_zone=zone, number=3, name="side vents"))


# Station Arcade: half rewired ------------------------------------------------------------------------------------


def overloaded_output(building):
    """supply.output, supply.panel: limits below what hangs on them."""
    save(circuit_of(building, "P1", 1), current_limit_a="5")
    save(panel_of(building, "P1"), supply_limit_a="11")


def overloaded_at_the_start(building):
    """supply.starting: enough for running, not for starting all at once."""
    panel = panel_of(building, "P2")
    motors = sum(
        position.product_model.rated_current_a
        for circuit in panel.actuator_circuits.all()
        for position in circuit.positions.select_related("product_model")
    )
    alarm_a = panel.position.product_model.alarm_current_a
    model = panel.position.product_model
    weak = variant(model, "Example panel, soft supply", supply_peak_a=round(motors + alarm_a + 1, 1))
    refit(panel.position, weak)
    save(panel, supply_limit_a=round(motors + alarm_a + 1, 1))


def end_of_line_part_missing(building):
    """consistency.circuit_end: no resistor at the end of a polarity circuit."""
    save(circuit_of(building, "P1", 2), end_place=EndPlace.MISSING)


def drive_not_recorded(building):
    """consistency.drive: nobody entered how the output drives."""
    save(circuit_of(building, "P2", 1), drive="")


def one_does_not_report(building):
    """consistency.addressed: the panel finds one actuator less than it expects."""
    circuit = circuit_of(building, "P2", 2)
    save(circuit, drive="addressed", found_actuators=circuit.expected_actuators - 1)


def loose_actuator(building):
    """consistency.circuit: an actuator on no circuit is in no check of cable or supply."""
    position = circuit_of(building, "P1", 1).positions.order_by("order_on_line").last()
    Cable.objects.get(feeds=position).delete()
    save(position, actuator_circuit=None, order_on_line=None)


def battery_overdue(building):
    """battery.age: blocks from a shelf, older than the four years that are common."""
    battery = panel_of(building, "P1").battery_sets.get()
    made = timezone.localdate() - relativedelta(years=4, months=5)
    save(battery, date_code=f"{made:%Y-%m-%d}")


def runs_for_minutes(building):
    """time.run_time: an output that stays on long after its actuators are open."""
    save(circuit_of(building, "P2", 1), run_time_s=400)


def zone_without_call_point(building):
    """consistency.zone: a zone that nobody can release by hand."""
    zone = building.smoke_zones.order_by("number").last()
    for position in zone.positions.filter(kind="manual_call_point"):
        save(position, smoke_zone=None)


def method_beside_the_strategy(building):
    """area.method, air.method: the workplace rule asks for an area of the other kind, and for inlets."""
    zone = building.smoke_zones.get(name="Arcade north")
    save(zone, area_method="fr-workplace", floor_area_m2="900")


def small_vents_of_a_shaft(building):
    """area.each: two vents that together open what is asked of each."""
    zone = building.smoke_zones.get(name="Service stair")
    save(zone, area_method="en-shaft")
    zone.vents.update(width_mm=800, height_mm=800)


def plume_alone(building):
    """area.plume: no figure of the strategy, and vents that are small against the smoke of the fire assumed."""
    zone = building.smoke_zones.get(name="Food court")
    save(zone, required_area_m2=None, required_area_kind="", required_area_source="")
    save(zone, area_method="axisymmetric", heat_release_kw="2500", clear_height_m="3.5", layer_depth_m="1.5")


def too_little_air(building):
    """air.inlets, air.opens, air.time, air.cause: a vent on the same output and a door, too small."""
    zone = building.smoke_zones.get(name="Arcade south")
    save(zone, needs_no_inlets=False, inlet_ratio="1", inlet_ratio_kind="geometric")
    save(zone.vents.order_by("tag").last(), purpose="inlet")
    save(Vent(smoke_zone=zone, tag="I1", purpose="inlet", opened_by="door", geometric_area_m2="2.1"))


def inlet_without_a_test(building):
    """air.estimate: a leaf that lets air in, of which nobody declared an aerodynamic area."""
    zone = building.smoke_zones.get(name="Lobby")
    save(zone, needs_no_inlets=False, inlet_ratio="0.5", inlet_ratio_kind="aerodynamic")
    leaf = zone.vents.order_by("tag").last()
    save(leaf, purpose="inlet", height_mm=800, aerodynamic_area_m2=None, declaration_reference="")


def air_from_another_panel(building):
    """air.signal: the inlet of a zone opens on an output of the building's other panel, by the same causes."""
    zone = building.smoke_zones.get(name="Arcade north")
    save(zone, needs_no_inlets=False, inlet_ratio="0.5", inlet_ratio_kind="geometric")
    outlet = zone.vents.order_by("tag").first()
    inlet = (
        Vent.objects.filter(smoke_zone__building=building).exclude(smoke_zone__panel=zone.panel).order_by("pk").last()
    )
    save(inlet, smoke_zone=zone, purpose="inlet", tag="I1")
    group = outlet.actuators.first().vent_group
    for position in inlet.actuators.all():
        save(position, smoke_zone=zone, vent_group=group)
    for one in zone.vent_groups.all():
        save(CauseAndEffectRule(panel=zone.panel, cause="zone_in_alarm", cause_zone=zone, vent_group=one, effect="O"))


FAULTS = {
    "Mariner House": (
        small_battery,
        weak_fuse,
        a_third_block,
        long_thin_cable,
        call_point_behind_a_detector,
        weak_resistors,
        wrong_resistor,
        a_tee_on_the_line,
        element_not_recorded,
        power_beyond_the_cable,
        classes_too_low,
        inlet_without_a_test,
        outputs_not_described,
    ),
    "Lantern Library": (
        cables_in_the_fire,
        one_after_another,
        unequal_pair,
        impossible_fixing,
        undeclared_vent,
        leaves_under_load,
        slow_actuators,
        thirsty_detectors,
        bases_that_bridge,
        battery_soon_due,
        twelve_volts,
        numbers_with_holes,
    ),
    "Station Arcade": (
        overloaded_output,
        overloaded_at_the_start,
        fuses_on_long_cables,
        warm_bunch,
        end_of_line_part_missing,
        drive_not_recorded,
        one_does_not_report,
        loose_actuator,
        battery_overdue,
        runs_for_minutes,
        zone_without_call_point,
        method_beside_the_strategy,
        small_vents_of_a_shaft,
        plume_alone,
        too_little_air,
        air_from_another_panel,
    ),
}


def spoil(building):
    """Put the faults of this building into its records; other buildings are left alone."""
    for fault in FAULTS.get(building.name, ()):
        fault(building)
