"""The tables that checks go by and the rules for readings, as a person reads them: no figure of them changes unseen.

Tables of standards are tested against the standards elsewhere, line by line where the lines are known; here it is that
no line is lost and no slip of a key goes by. After a change on purpose: read what is new in `approved/`, then have it
written (`APPROVE=1 pytest` with this file).
"""

from dataclasses import fields, replace

import pytest

from tests.zones.engineering.approval import compare
from tests.zones.engineering.designs import make_actuator, make_circuit
from zones.engineering.actuators import Actuator
from zones.engineering.area_methods import METHODS
from zones.engineering.cable_ratings import AMBIENT_FACTORS, GROUPING_FACTORS, TABULATED_A
from zones.engineering.editions import DOCUMENTS
from zones.engineering.fuses import DEVICE_KINDS
from zones.engineering.insulation import CircuitVoltage
from zones.engineering.quantities import QUANTITIES
from zones.engineering.readings import actuators, lines, supplies
from zones.engineering.readings.rule import Term
from zones.engineering.sources import every_source
from zones.engineering.trade_practice import TRADE_PRACTICE
from zones.engineering.travels import travel

TABLES = {
    "sources": lambda: (f"{one.in_full} [{one.tag}]" for one in every_source()),
    "editions": lambda: (
        f"{one.designation} | {one.title} | {one.standing} | {one.remark}" for one in DOCUMENTS.values()
    ),
    "methods": lambda: (
        f"{one.key} | {one.name} | {one.family} | {one.applies} | {one.source} | {one.kind} | {one.percent} % | "
        f"{one.least_m2} | {one.fixed_m2} m² | each: {one.of_each} | {one.plume} | {one.inlet_ratio} {one.inlet_kind}"
        for one in METHODS.values()
    ),
    "cable_ratings": lambda: (
        *(f"{insulation}, {method}: {amperes}" for (insulation, method), amperes in TABULATED_A.items()),
        *(f"{insulation} in warm air: {factors}" for insulation, factors in AMBIENT_FACTORS.items()),
        f"bunched: {GROUPING_FACTORS}",
    ),
    "protective_devices": lambda: (
        f"{one.key} | {one.name} | {one.lines} | {one.source} | melts: {one.melts}" for one in DEVICE_KINDS.values()
    ),
    "trade_practice": lambda: (f"{one.name}: {getattr(TRADE_PRACTICE, one.name)}" for one in fields(TRADE_PRACTICE)),
    "quantities": lambda: (
        f"{name}: {one.accepted}; usual {one.usual_low:g} to {one.usual_high:g}; {[unit for unit, _ in one.slips]}"
        for name, one in QUANTITIES.items()
    ),
}


@pytest.mark.parametrize("name", TABLES)
def test_a_table_is_told_as_approved(name):
    compare(f"table_{name}", TABLES[name]())


DRIVE = make_actuator("A1", stroke_mm=500.0, starting_current_a=1.6)
CIRCUIT = make_circuit(run_time_s=90.0, expected_actuators=3)
LIMITS = (Term("design check", 9.4), Term("design check, at most", 10.6))


def rules():
    """Made when asked, not when this file is read: what a test does not run itself, it is not known to notice."""
    return {
        "running current": actuators.running_current(
            DRIVE, "AK 1", ((Term("protocol", 0.4),), (Term("protocol", 2.0),))
        ),
        "running current of a model without data": actuators.running_current(Actuator("A1"), "AK 2"),
        "starting current": actuators.starting_current(DRIVE, "AK 1"),
        "voltage at the actuator": actuators.voltage_at_actuator(DRIVE, "AK 1", 20.36),
        "voltage at the actuator, not computed": actuators.voltage_at_actuator(DRIVE, "AK 1"),
        "opening time": actuators.opening_time(
            *(DRIVE, "AK 1"),
            **{"delay_s": 2.0, "run_time_s": 90.0, "limit": Term("EN 12101-2", 60.0)},
            solved=travel(DRIVE, "end of discharge", "at the end of battery discharge", 20.0),
        ),
        "opening time without a speed": actuators.opening_time(replace(DRIVE, speed_mm_per_s=None), "AK 1"),
        "run time": actuators.run_time(DRIVE, "AK 1", CIRCUIT),
        "run time, staggered": actuators.run_time(DRIVE, "AK 1", CIRCUIT, stagger_s=10.0),
        "run time, alone and not set": actuators.run_time(
            replace(DRIVE, name="A1.1"), "AK 1", make_circuit(count=1, run_time_s=None)
        ),
        "actuators found": actuators.actuators_found(CIRCUIT),
        "actuators found, none set": actuators.actuators_found(make_circuit()),
        "line": lines.line_resistance(LIMITS[:1], LIMITS[1:], resistor_ohm=10_000.0, computed_ohm=10_020.0),
        "line of an unknown resistor": lines.line_resistance((), LIMITS[1:], resistor_ohm=None, ohm_per_unit=1.0),
        "charger": supplies.charger_voltage(24.0, "P 1"),
        "charger of a warm battery": supplies.charger_voltage(24.0, "P 1", 35.0),
        "charger of a cold battery": supplies.charger_voltage(24.0, "P 1", 5.0),
        "charger alone": supplies.charger_alone(24.0, "P 1"),
        "battery on the charger": supplies.battery_connected(24.0, "P 1"),
        "battery at rest": supplies.battery_at_rest(24.0, "P 1"),
        "battery under load": supplies.battery_loaded(24.0, "P 1"),
        "supply": supplies.supply_voltage(24.0, "P 1"),
        "supply of a panel without data": supplies.supply_voltage(None, "P 1"),
        "quiescent current": supplies.quiescent_current(0.12),
        "age of the battery": supplies.battery_years(3.5, "date code"),
        "mains": supplies.mains_voltage(),
        "proven dead": supplies.proven_dead(),
        **{f"insulation, {kind}": supplies.insulation(kind) for kind in CircuitVoltage},
    }


def rules_in_words():
    for name, rule in rules().items():
        limits, needed = rule.limits(), [one.name for one in rule.asks if one.is_needed]
        yield f"{name}: {limits.lower} to {limits.upper} [{limits.source}]"
        yield f"    computed {rule.computed_value()} [{rule.computed and rule.computed.source}]"
        yield f"    asks {rule.asked_in_words() or 'nothing'}; needed: {needed}"
        for sign in rule.signs:
            yield f"    {_end(sign.low, rule)} to {_end(sign.high, rule)}: {sign.words}"


def _end(term, rule):
    value = None if term is None else term.value(rule.figures)
    return "open" if term is None else "not known" if value is None else f"{value:g}"


def test_the_rules_for_readings_are_told_as_approved():
    compare("reading_rules", rules_in_words())
