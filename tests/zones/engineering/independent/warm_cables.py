"""Cables at the temperature at which they work, networks and trends: values that others published."""

from tests.zones.engineering.independent.value import Value
from zones.engineering import CableRun, Conductor, Load, solve_tree
from zones.engineering.conductors import factor_to_20c, warm_factor
from zones.engineering.insulation import conductor_ohm
from zones.engineering.networks import PANEL, Network, node_voltages, solve
from zones.engineering.trends import robust_slope

FOOT_M = 0.3048
# At which temperature, of which conductor; by section, mm²: millivolts for each ampere and metre, both cores.
DROPS = {
    (70, 2, False): (
        "BS 7671:2018, table 4D1B, d.c., reprinted by a cable distributor",
        ((1, 44), (1.5, 29), (2.5, 18), (4, 11), (6, 7.3), (10, 4.4), (16, 2.8)),
    ),
    (90, 2, False): (
        "BS 7671:2018, table 4E1B, d.c., reprinted by a cable distributor",
        ((1, 46), (1.5, 31), (2.5, 19), (4, 12), (6, 7.9), (10, 4.7), (16, 2.9)),
    ),
    (60, 5, True): (
        "BS 7671:2018, table 4F3B, d.c., flexible cables, reprinted by a cable distributor",
        ((0.5, 93), (0.75, 62), (1, 46), (1.5, 32), (2.5, 19), (4, 12)),
    ),
}
# By section, mm²: ohm/km at 45, 60, 75 and 90 °C.
WARM_OHM_PER_KM = (
    (2.5, 8.14, 8.57, 9.01, 9.45),
    (4, 5.06, 5.33, 5.61, 5.88),
    (6, 3.38, 3.56, 3.75, 3.93),
    (10, 2.01, 2.12, 2.23, 2.33),
    (16, 1.26, 1.33, 1.40, 1.47),
)
# Line and protective conductor, mm²; ohm of 50 m of both.
LOOPS_OF_50_M = ((1.5, 1, 1.51), (2.5, 1.5, 0.98), (4, 1.5, 0.84), (6, 2.5, 0.52), (10, 4, 0.32), (16, 6, 0.211))
BEYOND_70_C = ((75, 0.820), (80, 0.806), (85, 0.794), (90, 0.781), (95, 0.769), (100, 0.758))


def drops_of_warm_cables():
    for (celsius, conductor_class, tinned), (source, rows) in DROPS.items():
        for area_mm2, theirs in rows:
            run = CableRun("C", 1.0, Conductor(area_mm2, conductor_class, tinned))
            volts = solve_tree([run], [Load("A", "C", 1.0)], 24.0, temperature_c=celsius)
            what = f"{area_mm2} mm² class {conductor_class} at {celsius} °C, mV/A/m"
            # Two digits are printed, not always rounded to the nearest.
            yield Value(what, theirs, max(0.022 * theirs, 0.05), "S2", source, 1000 * (24 - volts["C"]))


def warm_resistances():
    source = "AS/NZS 3008.1.2:2010, multicore cables, circular conductors, reprinted by a cable maker"
    for area_mm2, *row in WARM_OHM_PER_KM:
        for celsius, theirs in zip((45, 60, 75, 90), row, strict=True):
            ours = Conductor(area_mm2, 2).ohm_per_km * warm_factor(celsius)
            yield Value(f"{area_mm2} mm² at {celsius} °C, ohm/km", theirs, 0.0065, "S2", source, ours)
    source = "correction factors to 20 °C printed beside IEC 60228; the exact form differs by up to 0.5 %"
    for celsius, theirs in BEYOND_70_C:
        yield Value(f"{celsius} °C to 20 °C", theirs, 0.005 * theirs, "S2", source, factor_to_20c(celsius))


def loops():
    source = "Locke (2008), Guide to the Wiring Regulations, Wiley, table 4.3"
    for line_mm2, other_mm2, theirs in LOOPS_OF_50_M:
        ours = sum(conductor_ohm(Conductor(area_mm2, 2), 50) for area_mm2 in (line_mm2, other_mm2))
        within = 0.0051 if theirs > 0.3 else 0.00051
        yield Value(f"50 m of {line_mm2} and {other_mm2} mm², ohm", theirs, within, "S2", source, ours)
    source = (
        "worked example of a training course for electricians: 100 feet of AWG 16, stranded, 4 A, by NFPA 70 table 8"
    )
    run = CableRun("C", 100 * FOOT_M, Conductor(awg="16"))
    # The table is of 75 °C.
    volts = solve_tree([run], [Load("A", "C", 4.0)], 24.0, temperature_c=75)
    yield Value("100 ft of AWG 16, 4 A, V", 4.0, 0.05, "S2", source, 24 - volts["C"])
    yield Value("100 ft of AWG 16, 4 A, % of 24 V", 16.7, 0.2, "S2", source, 100 * (24 - volts["C"]) / 24)


def networks():
    source = "worked example of a textbook on circuit analysis: ladder of 5, 6, 4, 6, 1 and 2 ohm on 240 V"
    ladder = Network((PANEL, 0, 1), (5.0, 4.0, 1.0), (0.0,) * 3, (0.0,) * 3, (1 / 6, 1 / 6, 1 / 2))
    point = solve(ladder, 240.0)
    # 9 ohm × I6 and 3 ohm × I6 with I6 = 10 A, and V6.
    for k, (volts, amps) in enumerate(((90, 30), (30, 15), (20, 10))):
        yield Value(f"ladder, V at {k + 1}", volts, 1e-6, "S2", source, point.node_v[k])
        yield Value(f"ladder, A to {k + 1}", amps, 1e-6, "S2", source, point.run_a[k])
    source = "worked example of a calculus course: most power of 12 V behind 0.5 ohm is 72 W at 12 A"

    def of(watts):
        return Network((PANEL,), (0.5,), (0.0,), (watts,), (0.0,))

    yield Value("A at the most power", 12, 0.01, "S2", source, solve(of(71.99999), 12.0).run_a[0])
    beyond = [watts for watts in (71.9, 71.99, 72.01, 72.1) if node_voltages(of(watts), 12.0) is None]
    yield Value("least W of these that nothing delivers", 72, 0.011, "S2", source, min(beyond))


def trends():
    source = "statpsych for R, ci.theil: its example, 95 %, after Hollander and Wolfe (1999)"
    days = (67, 28, 30, 28, 52, 40, 25, 37, 44, 10, 14, 20, 28, 40, 51)
    values = (21, 4, 9, 12, 35, 18, 10, 22, 24, 1, 6, 8, 13, 16, 19)
    found = robust_slope(days, values, 0.95)
    yield Value("robust slope", 0.5, 1e-9, "S2", source, found.per_day)
    yield Value("robust slope, least", 0.3243243, 5e-8, "S2", source, found.low)
    yield Value("robust slope, most", 0.75, 5e-8, "S2", source, found.high)


GROUPS = (drops_of_warm_cables, warm_resistances, loops, networks, trends)
