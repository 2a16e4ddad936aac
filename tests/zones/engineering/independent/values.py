"""Values found by others, each with where it stands, in the order of the handbook (see value.py)."""

from tests.zones.engineering.independent import warm_cables
from tests.zones.engineering.independent.value import Value
from zones.engineering import (
    STANDBY_BASES,
    Actuator,
    ActuatorCircuit,
    CableRun,
    Conductor,
    Load,
    LoadModel,
    PowerSupply,
    required_capacity,
    solve_tree,
)
from zones.engineering.actuators import least_speed_mm_per_s, opening_time_s
from zones.engineering.batteries import peukert_nameplate_h, standby_hours_left
from zones.engineering.battery_life import charger_current_a, float_voltage_v, life_years
from zones.engineering.cables import smallest_area_mm2
from zones.engineering.conductors import (
    awg_area_mm2,
    awg_diameter_mm,
    awg_ohm_per_km,
    factor_to_20c,
    resistance_ohm_per_km,
    standard_fire_temperature_c,
    warm_factor,
)
from zones.engineering.insulation import (
    INSULATION_LIMITS,
    CircuitVoltage,
    conductor_ohm,
    for_length_megohm,
    in_parallel_megohm,
)
from zones.engineering.operation import operation_of
from zones.engineering.plumes import (
    axisymmetric_plume_kg_per_s,
    greatest_outlet_flow_m3_per_s,
    large_fire_plume_kg_per_s,
    layer_rise_k,
    limiting_height_m,
)
from zones.engineering.solved_circuits import MAINS
from zones.engineering.vents import aerodynamic_area_m2, hinged_area_m2, opening_angle_deg, stroke_for_area_m


def conductors():
    source = "IEC 60228:2004, tables 1 to 3"
    for area_mm2, *row in (
        (0.5, 36.0, 36.7, 39.0, 40.1),
        (0.75, 24.5, 24.8, 26.0, 26.7),
        (1, 18.1, 18.2, 19.5, 20.0),
        (1.5, 12.1, 12.2, 13.3, 13.7),
        (2.5, 7.41, 7.56, 7.98, 8.21),
        (4, 4.61, 4.70, 4.95, 5.09),
        (6, 3.08, 3.11, 3.30, 3.39),
        (10, 1.83, 1.84, 1.91, 1.95),
        (16, 1.15, 1.16, 1.21, 1.24),
    ):
        for (conductor_class, tinned), ohm in zip(((2, False), (2, True), (5, False), (5, True)), row, strict=True):
            what = f"{area_mm2} mm² class {conductor_class}{' tinned' if tinned else ''}, ohm/km"
            yield Value(
                what, ohm, 0, "S2", source, resistance_ohm_per_km(area_mm2, conductor_class, tinned=tinned), True
            )
    source = "rounded correction to 20 °C printed beside IEC 60228; the exact form differs by up to 0.5 %"
    for celsius, factor in enumerate(
        (1.064, 1.042, 1.020, 1.000, 0.980, 0.962, 0.943, 0.926, 0.909, 0.893, 0.877, 0.862, 0.847, 0.833), start=1
    ):
        yield Value(f"{5 * celsius} °C to 20 °C", factor, 0.005 * factor, "S2", source, factor_to_20c(5 * celsius))
    for celsius, ohm in ((40, 13.051), (70, 14.478)):
        yield Value(
            f"1.5 mm² at {celsius} °C, ohm/km",
            ohm,
            5e-4,
            "calc",
            "IEC 60028, alpha 0.00393",
            12.1 * warm_factor(celsius),
        )


AWG = (  # size, diameter mm, cross-section mm², ohm/km at 20 °C
    (10, 2.588, 5.26, 3.28),
    (11, 2.305, 4.17, 4.13),
    (12, 2.053, 3.31, 5.21),
    (13, 1.828, 2.62, 6.57),
    (14, 1.628, 2.08, 8.28),
    (15, 1.450, 1.65, 10.44),
    (16, 1.291, 1.31, 13.17),
    (17, 1.150, 1.04, 16.61),
    (18, 1.024, 0.823, 20.94),
    (19, 0.912, 0.653, 26.41),
    (20, 0.812, 0.518, 33.29),
    (21, 0.723, 0.410, 41.98),
    (22, 0.644, 0.326, 52.94),
    (23, 0.573, 0.258, 66.78),
    (24, 0.511, 0.205, 84.20),
    (25, 0.455, 0.162, 106.17),
    (26, 0.405, 0.129, 133.86),
    (27, 0.361, 0.102, 168.82),
    (28, 0.321, 0.0810, 212.87),
    (29, 0.286, 0.0642, 268.40),
    (30, 0.255, 0.0509, 338.50),
)
STRANDED_75_C = ((18, 26.1, 27.7), (16, 16.4, 17.3), (14, 10.3, 10.7), (12, 6.50, 6.73), (10, 4.070, 4.226))


def wire_gauges():
    source = "tables of the American wire gauge (ASTM B258), solid copper"
    for size, diameter_mm, area_mm2, ohm_per_km in AWG:
        yield Value(f"AWG {size}, mm", diameter_mm, 6e-4, "S2", source, awg_diameter_mm(size))
        yield Value(f"AWG {size}, mm²", area_mm2, 0.005 * area_mm2, "S2", source, awg_area_mm2(size))
        yield Value(f"AWG {size}, ohm/km", ohm_per_km, 0.003 * ohm_per_km, "S2", source, awg_ohm_per_km(size))


def stranded_wire_gauges():
    source = "NFPA 70, chapter 9, table 8: stranded copper at 75 °C, and its note 2"
    to_75_c = 1 / (1 - 0.00323 * 55)
    for size, *row in STRANDED_75_C:
        for tinned, theirs in zip((False, True), row, strict=True):
            what = f"AWG {size} stranded{' tinned' if tinned else ''} at 75 °C, ohm/km"
            ours = Conductor(awg=str(size), tinned=tinned).ohm_per_km * to_75_c
            yield Value(what, theirs, 0.005 * theirs, "S2", source, ours, True)


def standard_fire():
    source = "time-temperature table of ISO 834 in °F, published beside ASTM E 119"
    fahrenheit = (
        *(1069, 1254, 1360, 1438, 1499, 1546, 1589, 1625, 1656, 1684, 1710, 1733, 1755, 1774, 1794, 1810, 1827),
        *(1842, 1857, 1872, 1884, 1897, 1909, 1920),
    )
    for minutes, theirs in zip(range(5, 125, 5), fahrenheit, strict=True):
        ours = standard_fire_temperature_c(minutes) * 1.8 + 32
        yield Value(f"standard fire after {minutes} min, °F", theirs, 2.0, "S2", source, ours)


def single_loads():
    source = "Ohm's law over IEC 60228"
    for area_mm2, loads in (
        (1.5, ((Load("A", "C", 4.0), 20.128), (Load("A", "C", 96, LoadModel.CONSTANT_POWER), 19.146))),
        (2.5, ((Load("A", "C", 4.0), 21.629), (Load("A", "C", 96, LoadModel.CONSTANT_POWER), 21.332))),
        (1.5, ((Load("A", "C", 6, LoadModel.RESISTIVE), 20.666),)),
        (2.5, ((Load("A", "C", 6, LoadModel.RESISTIVE), 21.842),)),
    ):
        for load, volts in loads:
            ours = solve_tree([CableRun("C", 40, Conductor(area_mm2, 2))], [load], 24.0)["C"]
            yield Value(f"40 m of {area_mm2} mm², {load.model}, V", volts, 6e-4, "calc", source, ours)
    for area_mm2, volts in ((1.5, 17.728), (2.5, 19.229)):
        ours = solve_tree([CableRun("C", 40, Conductor(area_mm2, 2))], [Load("A", "C", 4.0)], 21.6)["C"]
        yield Value(f"40 m of {area_mm2} mm², 4 A from 21.6 V", volts, 6e-4, "calc", source, ours)
    yield Value("5 A, 30 m, 2.4 V, mm²", 2.5, 0, "calc", source, smallest_area_mm2(30, 5, 2.4, 2))


def trees():
    source = "Kirchhoff's laws over IEC 60228"
    runs = [CableRun(f"C{k}", 10, Conductor(1.5, 2), f"C{k - 1}" if k > 1 else None) for k in range(1, 5)]
    steady = solve_tree(runs, [Load(f"A{k}", f"C{k}", 1.0) for k in range(1, 5)], 24.0)
    power = solve_tree(runs, [Load(f"A{k}", f"C{k}", 24, LoadModel.CONSTANT_POWER) for k in range(1, 5)], 24.0)
    for k, (drop, volts) in enumerate(((0.968, 22.943), (1.694, 22.140), (2.178, 21.598), (2.420, 21.326)), start=1):
        yield Value(f"four of 1 A, drop at {k}, V", drop, 6e-4, "calc", source, 24 - steady[f"C{k}"])
        yield Value(f"four of 24 W, volts at {k}", volts, 6e-4, "calc", source, power[f"C{k}"])
    fork = [
        CableRun("T", 20, Conductor(2.5, 2)),
        CableRun("A", 15, Conductor(1.5, 2), "T"),
        CableRun("B", 10, Conductor(1.5, 2), "T"),
    ]
    volts = solve_tree(fork, [Load("one", "A", 1.0), Load("two", "B", 2.0)], 24.0)
    for name, drop in (("T", 0.889), ("A", 1.252), ("B", 1.373)):
        yield Value(f"fork, drop at {name}, V", drop, 6e-4, "calc", source, 24 - volts[name])


def batteries():
    def ah(key, quiescent_a, operating_a, **more):
        return required_capacity(
            STANDBY_BASES[key], quiescent_a=quiescent_a, operating_a=operating_a, **more
        ).capacity_ah

    yield Value(
        "0.25 A, 0.75 A, Ah", 8.32, 5e-3, "S2", "BS 5839-1, annex, worked example", ah("bs-5839-1-2025", 0.25, 0.75)
    )
    yield Value("1.5 A, 7.5 A, Ah", 48.75, 1e-9, "S2", "VDE 0833, worked example", ah("vde-0833-30h", 1.5, 7.5))
    nfpa = "worked example of NFPA 72"
    yield Value("0.42 A, 3.8 A, Ah", 12.48, 5e-3, "S2", nfpa, ah("nfpa-72-2019", 0.42, 3.8))
    yield Value("0.42 A, 3.8 A before the factor, Ah", 10.397, 5e-4, "S2", nfpa, ah("nfpa-72-2019", 0.42, 3.8) / 1.2)
    yield Value("0.25 A, 1.5 A before the factor, Ah", 6.125, 5e-4, "S2", nfpa, ah("nfpa-72-2019", 0.25, 1.5) / 1.2)
    for key, operating_a, theirs in (("nfpa-72-2022", 1.5, 7.66), ("nfpa-72-2019-voice", 0.75, 7.43)):
        yield Value(f"{key}, Ah", theirs, 6e-3, "calc", nfpa, ah(key, 0.25, operating_a))
    vents = "BS 5839-1 method for 72 h and 180 s"
    yield Value("0.15 A, 8 A, Ah", 14.38, 6e-3, "calc", vents, ah("en-12101-10-2005-72h", 0.15, 8))
    yield Value("0.5 A 72 h, 1 A, Ah", 45.63, 6e-3, "calc", vents, ah("bs-5839-1-2025", 0.5, 1.0, standby_h=72))
    peukert = "published example of Peukert's law"
    for amperes, theirs, constant, exponent in ((5, 14.50, 100, 1.2), (20, 5.088631644, 250, 1.3)):
        # Their constant counts at one ampere: as many ampere-hours in as many hours.
        ours = peukert_nameplate_h(constant, constant, amperes, exponent)
        yield Value(f"{constant}, {amperes} A, exponent {exponent}, h", theirs, 5e-3, "S2", peukert, ours)
    for ampere_hours, amperes, exponent, theirs in ((100, 10, 1.2, 8.71), (17, 8, 1.15, 1.518), (2.2, 8, 1.15, 0.145)):
        ours = peukert_nameplate_h(ampere_hours, 20, amperes, exponent)
        yield Value(f"{ampere_hours} Ah in 20 h, {amperes} A, h", theirs, 5e-3, "calc", "Peukert's law", ours)


def battery_life():
    for ampere_hours, theirs in ((7, 0.275), (17, 0.667), (38, 1.490)):
        source = "EN 54-4 5.3.1 b: 80 % in 24 h"
        yield Value(f"charger for {ampere_hours} Ah, A", theirs, 6e-4, "calc", source, charger_current_a(ampere_hours))
    for celsius, theirs in ((10, 28.14), (25, 27.60), (40, 27.06)):
        source = "2.30 V a cell, -3 mV/K"
        yield Value(f"float at {celsius} °C, V", theirs, 5e-3, "calc", source, float_voltage_v(celsius))
    for celsius, theirs in ((35, 2.27), (15, 2.33)):
        source = "float voltage of a cell as published"
        yield Value(f"a cell at {celsius} °C, V", theirs, 5e-3, "S2", source, float_voltage_v(celsius, cells=1))
    for celsius, theirs in ((20, 10.0), (25, 7.07), (30, 5.0), (40, 2.5)):
        yield Value(f"life at {celsius} °C, years", theirs, 5e-3, "calc", "half for 10 K", life_years(10, celsius))
    for ampere_hours, theirs in ((7, 32.7), (12, 59.3), (17, 86.0)):
        ours = standby_hours_left(ampere_hours, quiescent_a=0.15, operating_a=8, operation_s=180)
        yield Value(f"standby of {ampere_hours} Ah, h", theirs, 0.06, "calc", "BS 5839-1 method turned round", ours)


def vents():
    for width, depth, stroke, angle, area in (
        (1.0, 1.0, 0.50, 28.96, 0.984),
        (1.0, 1.0, 0.60, 34.92, 1.000),
        (1.2, 0.8, 0.50, 36.42, 0.960),
        (1.0, 1.5, 0.80, 30.93, 1.500),
    ):
        what = f"{width} × {depth} m, {stroke} m"
        yield Value(f"{what}, degrees", angle, 6e-3, "calc", "geometry", opening_angle_deg(stroke, depth))
        yield Value(f"{what}, m²", area, 6e-4, "calc", "geometry", hinged_area_m2(width, depth, stroke))
    for reveal, area in ((0.10, 0.895), (0.20, 0.656)):
        ours = hinged_area_m2(1.0, 1.0, 0.60, reveal_m=reveal)
        yield Value(f"reveal of {reveal} m, m²", area, 6e-4, "calc", "geometry", ours)
    for width, depth in ((1.2, 1.0), (1.1, 1.1)):
        ours = stroke_for_area_m(width, depth, 1.0)
        yield Value(f"stroke for 1 m², {width} × {depth} m", 0.460, 6e-4, "calc", "geometry", ours)
    for coefficient, area in ((0.4, 0.60), (0.6, 0.90), (0.65, 0.975)):
        ours = aerodynamic_area_m2(1.5, coefficient)
        yield Value(f"1.5 m² at {coefficient}, m²", area, 1e-9, "calc", "EN 12101-2, Aa = Av Cv", ours)


def times():
    for stroke, speed, theirs in ((500, 8.3, 60.24), (500, 10, 50.0), (590, 8.1667, 72.2)):
        ours = opening_time_s(stroke, speed)
        yield Value(f"{stroke} mm at {speed} mm/s, s", theirs, 0.06, "calc", "stroke / speed", ours)
    for stroke, delay, theirs in ((500, 0, 8.33), (800, 0, 13.33), (1000, 0, 16.67), (800, 2, 13.79)):
        ours = least_speed_mm_per_s(stroke, delay)
        yield Value(f"least speed for {stroke} mm, delay {delay} s", theirs, 6e-3, "calc", "60 s of EN 12101-2", ours)
    two, six = PowerSupply(sequential=True), PowerSupply(stagger_s=0.5)
    yield Value("two groups of 55 s", 110, 1e-9, "calc", "sum of steps", _open_s(two, 2, 55))
    yield Value("six of 50 s, stagger 0.5 s", 52.5, 1e-9, "calc", "last start + stroke", _open_s(six, 6, 50))


def _open_s(supply, outputs, stroke_s):
    """Until the last of outputs alike is open, each a step of its own."""
    actuator = Actuator("A", stroke_mm=10 * stroke_s, speed_mm_per_s=10, holds_speed=True)
    circuits = [ActuatorCircuit(f"C{k}", actuators=(actuator,), sequence_step=k) for k in range(1, outputs + 1)]
    return operation_of("panel", supply, circuits).sequence_s(MAINS)


def insulation():
    source = "IEC 60364-6 / BS 7671, table 64"
    for kind, volts, megohm in zip(CircuitVoltage, (250, 500, 1000), (0.5, 1.0, 1.0), strict=True):
        yield Value(f"{kind}, test V", volts, 0, "S2", source, INSULATION_LIMITS[kind].test_v, True)
        yield Value(f"{kind}, megohm", megohm, 0, "S2", source, INSULATION_LIMITS[kind].least_megohm, True)
    yield Value("2, 3 and 6 megohm together", 1.0, 1e-9, "calc", "in parallel", in_parallel_megohm([2, 3, 6]))
    yield Value("20 megohm of 100 m on 1000 m", 2.0, 1e-9, "calc", "as 1/length", for_length_megohm(20, 100, 1000))
    loop = conductor_ohm(Conductor(1.5, 1), 30) + conductor_ohm(Conductor(1.0, 1), 30)
    yield Value("R1 + R2 of 30 m, ohm", 0.906, 6e-4, "calc", "IEC 60228", loop)
    yield Value("50 m of 2.5 mm², ohm", 0.371, 6e-4, "calc", "IEC 60228", conductor_ohm(Conductor(2.5, 1), 50))


def plumes():
    sheet = "published sheet of an axisymmetric plume"
    plume = axisymmetric_plume_kg_per_s(4800.5, 16.154)
    yield Value("4550 Btu/s at 53 ft, kg/s", 291.7 * 0.45359237, 0.14, "S2", sheet, plume)
    yield Value("its flame tip, m", 15.5 * 0.3048, 0.24, "S2", sheet, limiting_height_m(4800.5))
    for share, fahrenheit in ((0.5, 104.5), (1.0, 137.0)):
        ours = 72 + 1.8 * layer_rise_k(share * 4800.5, plume)
        yield Value(f"its layer with {share:.0%} of the heat, °F", fahrenheit, 1.8, "S2", sheet, ours)
    flow = greatest_outlet_flow_m3_per_s((104.5 - 32) / 1.8, (72 - 32) / 1.8, 3.048, at_wall=True)
    yield Value("its greatest outlet flow, m³/s", 17_662 * 0.0283168 / 60, 0.04, "S2", sheet, flow)
    sheet = "published sheet of a large-fire plume"
    yield Value("12 m, 4 m, kg/s", 32.35, 6e-3, "S2", sheet, large_fire_plume_kg_per_s(12, 4, 0.337))
    yield Value("its layer, K", 113.8, 0.05, "S2", sheet, layer_rise_k(4050, 32.35, 1.1))
    for perimeter, height, theirs in ((12, 3, 11.72), (14, 5, 29.43)):
        ours = large_fire_plume_kg_per_s(perimeter, height, 0.188)
        yield Value(f"{perimeter} m, {height} m, kg/s", theirs, 6e-3, "calc", "0.188 P Y^1.5 [S]", ours)


def every_value():
    """All of them, in the order of the handbook, and after them what was found since."""
    of = (
        conductors,
        wire_gauges,
        stranded_wire_gauges,
        standard_fire,
        single_loads,
        trees,
        batteries,
        battery_life,
        vents,
        times,
    )
    return [value for group in (*of, insulation, plumes, *warm_cables.GROUPS) for value in group()]
