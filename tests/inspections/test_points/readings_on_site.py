"""Readings planted as faults, and right ones, over the rules of readings: one table for server and phone.

The things: an actuator of 0.8 A (1.1 A starting), 24 V down to 17 V, 500 mm at 12.5 mm/s, which is 40 s; its circuit
runs 60 s and expects 2; a line of 10 kΩ at 1 % and 30 m of 0.75 mm² (9.90 to 10.10 kΩ by Ohm's law); a set of two
blocks of 12 V, twelve cells.
"""

from zones.engineering import Actuator, ActuatorCircuit
from zones.engineering.readings import actuators, lines, supplies
from zones.engineering.readings.rule import Term

WHOSE, PANEL = "Tarn Works A 1", "Tarn Works P 1"
ACTUATOR = Actuator(
    "M1.2", rated_current_a=0.8, starting_current_a=1.1, rated_voltage_v=24.0, minimum_voltage_v=17.0,
    stroke_mm=500.0, speed_mm_per_s=12.5,
)  # fmt: skip
CIRCUIT = ActuatorCircuit(
    "Circuit 1", actuators=(Actuator("M1.1", stroke_mm=300.0, speed_mm_per_s=12.5), ACTUATOR), run_time_s=60.0,
    expected_actuators=2,
)  # fmt: skip
DESIGNED = (Term("design check", 9.9),), (Term("design check", 10.1),)
LIMIT_60_S = Term("EN 12101-2:2017", 60.0)

RULES = {
    "current": actuators.running_current(ACTUATOR, WHOSE),
    "starting": actuators.starting_current(ACTUATOR, WHOSE),
    "voltage": actuators.voltage_at_actuator(ACTUATOR, WHOSE, computed_v=20.1),
    "opening": actuators.opening_time(ACTUATOR, WHOSE, run_time_s=60.0, limit=LIMIT_60_S),
    "run time": actuators.run_time(ACTUATOR, WHOSE, CIRCUIT),
    "found": actuators.actuators_found(CIRCUIT),
    "line": lines.line_resistance(*DESIGNED, resistor_ohm=10_000),
    "supply": supplies.supply_voltage(24.0, PANEL),
    "charger": supplies.charger_voltage(24.0, PANEL),
    "charger alone": supplies.charger_alone(24.0, PANEL),
    "connected": supplies.battery_connected(24.0, PANEL),
    "rest": supplies.battery_at_rest(24.0, PANEL),
    "loaded": supplies.battery_loaded(24.0, PANEL),
    "quiescent": supplies.quiescent_current(0.12),
    "age": supplies.battery_years(1.2, "date code"),
    "mains": supplies.mains_voltage(),
    "dead": supplies.proven_dead(),
    "insulation": supplies.insulation(),
}

# rule, reading, how it stands, what the sentence names
FAULTS = [
    ("current", 5, "outside", "More than its rated current"),
    ("current", 0.02, "attention", "does this actuator move"),
    ("current", -0.7, "attention", "turn the clamp"),
    ("starting", 2.3, "outside", "More than its starting current"),
    ("voltage", 9, "outside", "least voltage that Tarn Works A 1 runs at"),
    ("voltage", 16.9, "outside", "least voltage"),
    ("voltage", 18.2, "attention", "20.1 V that the design check leaves here"),
    ("voltage", 35, "outside", "rated voltage"),
    ("voltage", -23.8, "outside", "open and close may be exchanged"),
    ("voltage", 0, "outside", "a broken core"),
    ("opening", 15, "outside", "not the full stroke"),
    ("opening", 30, "outside", "Too soon for its stroke"),
    ("opening", 58, "outside", "Slow for its stroke"),
    ("opening", 71, "outside", "Slow for its stroke"),
    ("run time", 30, "outside", "the vent stops part open"),
    ("run time", 42, "outside", "Hardly longer than the stroke"),
    ("run time", 90, "attention", "The record has 60 s set"),
    ("run time", 150, "attention", "against its stop"),
    ("run time", 300, "outside", "against its stop"),
    ("found", 1, "outside", "Fewer than expected"),
    ("found", 0, "outside", "Fewer than expected"),
    ("found", 3, "outside", "More than expected"),
    ("line", 0.01, "outside", "short circuit"),
    ("line", 0.64, "outside", "takes it for an alarm"),
    ("line", 5.02, "outside", "the one at the terminals where it begins not removed"),
    ("line", 3.35, "outside", "three resistors"),
    ("line", 4.7, "outside", "or another value"),
    ("line", 6.8, "outside", "another resistor"),
    ("line", 9.6, "outside", "another resistor"),
    ("line", 12, "outside", "a joint that does not hold"),
    ("line", 20.1, "outside", "open line"),
    ("line", 999, "outside", "resistor is missing"),
    ("supply", 20.9, "outside", "Sags under load"),
    ("supply", 0, "outside", "mains, fuse or supply is off"),
    ("supply", 31.5, "outside", "rated voltage of Tarn Works P 1"),
    ("supply", -24.2, "outside", "polarity"),
    ("loaded", 20.3, "outside", "end of discharge"),
    ("charger", 25.4, "outside", "charger off"),
    ("charger", 28.8, "outside", "Boost"),
    ("charger", 13.6, "outside", "one block alone"),
    ("charger", -27.3, "outside", "leads are exchanged"),
    ("charger alone", 0, "outside", "charger off or its fuse"),
    ("connected", 12.9, "outside", "the link missing"),
    ("rest", 23.6, "outside", "a cell is dead"),
    ("rest", 12.6, "outside", "one block alone"),
    ("rest", 27.3, "outside", "the charger is on"),
    ("loaded", 20.2, "outside", "end of discharge"),
    ("loaded", 27.1, "outside", "the charger carries the load"),
    ("quiescent", 0.19, "outside", "standby time falls short"),
    ("quiescent", 0.003, "attention", "mains still feed the panel"),
    ("age", 4, "attention", "correct the record"),
    ("age", 0, "attention", "1.2 years (date code)"),
    ("mains", 0, "outside", "No mains"),
    ("mains", 398, "outside", "two line conductors"),
    ("dead", 24.1, "outside", "It is live"),
    ("dead", 231, "outside", "It is live"),
    ("insulation", 0.2, "outside", "Do not energise"),
    ("insulation", 1.1, "attention", "damp"),
]  # fmt: skip

RIGHT = [
    ("current", 0.8), ("current", 0.43), ("starting", 1.1), ("voltage", 20.1), ("voltage", 23.7), ("voltage", 26.4),
    ("opening", 36.5), ("opening", 40), ("opening", 47.2), ("run time", 60), ("run time", 58.5), ("found", 2),
    ("line", 9.9), ("line", 10.02), ("line", 10.1), ("supply", 24.3), ("supply", 27.4), ("loaded", 23.8),
    ("charger", 27), ("charger", 27.3), ("charger", 27.6), ("charger alone", 27.4), ("charger alone", 28.8),
    ("connected", 25.1), ("connected", 27.2), ("rest", 25.4), ("loaded", 24.1), ("quiescent", 0.118), ("age", 1),
    ("age", 2.2), ("mains", 231), ("dead", 0), ("dead", 0.3), ("insulation", 200),
]  # fmt: skip
