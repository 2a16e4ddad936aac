"""The invented models of products that the demo fits."""

from inspections.demo.wiring import DETECTOR_PATTERN
from zones.engineering.pattern_texts import LINK_CALL_POINT, TWO_CORE_ACTUATOR
from zones.models import DeviceKind

PANEL_PATTERN = """X1:L supply 230 V, mains L
X1:N supply 230 V, mains N
X1:PE earth, protective earth
X1:B earth, body of the cabinet
X2:1 battery + 24 V, battery, red lead
X2:2 battery - 24 V, battery, black lead
for each addressed output
XA{n}:1 output out + 24 V, output {n}
XA{n}:2 output out - 24 V, output {n}
XA{n}:3 data out, output {n} data
for each polarity output
XA{n}:1 output out + 24 V, output {n}
XA{n}:2 output out - 24 V, output {n}
XA{n}:3 monitor out, output {n} monitoring
for each line
XL{n}:1 line out + 24 V, line {n}
XL{n}:2 line out - 24 V, line {n}
for each data link
XD{n}:1 link out + 24 V, supply
XD{n}:2 link out - 24 V, return
XD{n}:3 link out, data
for each input
XS{n}:1 input out, signal
XS{n}:2 input out, common
XS{n}:3 other + 24 V, supply
XS{n}:4 other - 24 V, supply
"""
# Those of the small job.
SMALL_MODELS = {
    "panel small": (
        "Tarn Works",
        "Example panel, two zones",
        DeviceKind.CONTROL_PANEL,
        {
            "rated_voltage_v": "24",
            "supply_limit_a": "5",
            "standby_current_a": "0.05",
            "alarm_current_a": "0.15",
            "output_limit_a": "3",
            "own_voltage_drop_v": "0.3",
            "charger_current_a": "0.6",
            "charger_inhibited": True,
            "battery_fuse_a": "10",
            "battery_fuse_kind": "blade",
            "output_peak_a": "6",
            "output_device_kind": "electronic",
            "output_trip_a": "7",
            "output_trip_s": "0.002",
            "supply_fault_a": "9",
            "battery_lead_mm2": "2.5",
            "battery_lead_m": "0.6",
            "supply_peak_a": "8",
            "output_highest_v": "28.8",
            "line_voltage_v": "20",
            "keeps_first_alarm": True,
            "end_of_line_ohm": "10000",
            "wiring_pattern": PANEL_PATTERN,
        },
    ),
    "battery small": (
        "Beck Cells",
        "Example battery, 7 Ah",
        DeviceKind.BATTERY,
        {
            "rated_voltage_v": "12",
            "capacity_ah": "7",
            "service_life_years": "4",
            "discharge_limit_a": "40",
            "charging_limit_a": "2.1",
            "internal_resistance_mohm": "25",
            "peukert_exponent": "1.12",
        },
    ),
    "chain two-core": (
        "Skell Drives",
        "Example chain, two cores",
        DeviceKind.ACTUATOR,
        {
            "rated_voltage_v": "24",
            "minimum_voltage_v": "17",
            "rated_current_a": "0.8",
            "starting_current_a": "1.0",
            "stroke_mm": "500",
            "speed_mm_s": "10",
            "lower_voltage_v": "17",
            "lower_speed_mm_s": "9.2",
            "highest_voltage_v": "30",
            "push_force_n": "800",
            "pull_force_n": "800",
            "lower_push_force_n": "720",
            "lower_pull_force_n": "720",
            "holding_force_n": "2500",
            "starting_s": "0.3",
            "drive": "polarity",
            "load_kind": "constant current",
            "wiring_pattern": TWO_CORE_ACTUATOR,
        },
    ),
    "call point link": (
        "Tarn Works",
        "Example call point, data link",
        DeviceKind.MANUAL_CALL_POINT,
        {
            "rated_voltage_v": "24",
            "alarm_resistance_ohm": "1000",
            "standby_current_a": "0.004",
            "alarm_current_a": "0.02",
            "minimum_voltage_v": "17",
            "line_voltage_v": "20",
            "keeps_first_alarm": True,
            "short_below_ohm": "100",
            "alarm_low_ohm": "250",
            "alarm_high_ohm": "2500",
            "normal_low_ohm": "7500",
            "normal_high_ohm": "13000",
            "open_above_ohm": "20000",
            "wiring_pattern": LINK_CALL_POINT,
        },
    ),
}

# Invented models with plausible figures, named so that nobody takes them for real ones; one actuator and one detector
# lack figures, so that the register shows it.
MODELS = {
    "panel": (
        "Tarn Works",
        "Example panel, 10 A",
        DeviceKind.CONTROL_PANEL,
        {
            "power_up_order": "All dead: terminals tugged, lines measured, "
            "guard G1 over the mains terminals screwed on.\n"
            "Live, guard on: mains switched on at the board; lamp H1 lights within 5 s.\n"
            "Live, guard on: charger measured at X1:7 and X1:8.\n"
            "Live, guard on: battery lead B2 on, insulated tool; the fault lamp goes out within 60 s.\n"
            "Door shut; key switch S1 to service.",
            "power_order_source": "Example manual of the 10 A panel, edition 3, page 12",
            "rated_voltage_v": "24",
            "supply_limit_a": "10",
            "standby_current_a": "0.12",
            "alarm_current_a": "0.3",
            "output_limit_a": "8",
            "own_voltage_drop_v": "0.4",
            "charger_current_a": "1.2",
            "charger_inhibited": True,
            "battery_fuse_a": "16",
            "battery_fuse_kind": "blade",
            "output_peak_a": "12",
            "output_device_kind": "electronic",
            "output_trip_a": "14",
            "output_trip_s": "0.002",
            "supply_fault_a": "18",
            "battery_lead_mm2": "4",
            "battery_lead_m": "0.6",
            "supply_peak_a": "15",
            "output_highest_v": "28.8",
            "line_voltage_v": "20",
            "keeps_first_alarm": True,
        },
    ),
    "panel large": (
        "Tarn Works",
        "Example panel, 24 A",
        DeviceKind.CONTROL_PANEL,
        {
            "rated_voltage_v": "24",
            "supply_limit_a": "24",
            "standby_current_a": "0.14",
            "alarm_current_a": "0.4",
            "output_limit_a": "12",
            "own_voltage_drop_v": "0.4",
            "charger_current_a": "2",
            "charger_inhibited": True,
            "battery_fuse_a": "32",
            "battery_fuse_kind": "blade",
            "output_peak_a": "18",
            "output_device_kind": "electronic",
            "output_trip_a": "20",
            "output_trip_s": "0.002",
            "supply_fault_a": "40",
            "battery_lead_mm2": "6",
            "battery_lead_m": "0.6",
            "supply_peak_a": "36",
            "output_highest_v": "28.8",
            "line_voltage_v": "20",
            "keeps_first_alarm": True,
        },
    ),
    "battery": (
        "Beck Cells",
        "Example battery, 24 Ah",
        DeviceKind.BATTERY,
        {
            "rated_voltage_v": "12",
            "capacity_ah": "24",
            "service_life_years": "4",
            "discharge_limit_a": "60",
            "charging_limit_a": "7.2",
            "internal_resistance_mohm": "9",
            "peukert_exponent": "1.12",
        },
    ),
    "chain": (
        "Skell Drives",
        "Example chain, 500 mm",
        DeviceKind.ACTUATOR,
        {
            "rated_voltage_v": "24",
            "minimum_voltage_v": "17",
            "rated_current_a": "0.8",
            "starting_current_a": "1.0",
            "stroke_mm": "500",
            "speed_mm_s": "10",
            "lower_voltage_v": "17",
            "lower_speed_mm_s": "9.2",
            "highest_voltage_v": "30",
            "push_force_n": "400",
            "pull_force_n": "400",
            "lower_push_force_n": "360",
            "lower_pull_force_n": "360",
            "holding_force_n": "1800",
            "starting_s": "0.3",
            "drive": "polarity",
            "load_kind": "constant current",
        },
    ),
    "chain addressed": (
        "Skell Drives",
        "Example chain, addressed",
        DeviceKind.ACTUATOR,
        {
            "rated_voltage_v": "24",
            "minimum_voltage_v": "17",
            "rated_current_a": "1.0",
            "starting_current_a": "1.2",
            "stroke_mm": "600",
            "speed_mm_s": "12",
            "lower_voltage_v": "17",
            "lower_speed_mm_s": "11.4",
            "highest_voltage_v": "30",
            "push_force_n": "700",
            "pull_force_n": "700",
            "lower_push_force_n": "640",
            "lower_pull_force_n": "640",
            "holding_force_n": "2500",
            "starting_s": "0.3",
            "drive": "addressed",
            "load_kind": "constant current",
        },
    ),
    "spindle old": ("Skell Drives", "Example spindle, old", DeviceKind.ACTUATOR, {"rated_voltage_v": "24"}),
    "call point": (
        "Tarn Works",
        "Example call point",
        DeviceKind.MANUAL_CALL_POINT,
        {"rated_voltage_v": "24", "alarm_resistance_ohm": "1000", "standby_current_a": "0"},
    ),
    "detector": (
        "Lantern Sensing",
        "Example detector",
        DeviceKind.SMOKE_DETECTOR,
        {
            "rated_voltage_v": "24",
            "alarm_resistance_ohm": "680",
            "standby_current_a": "0.00001",
            "removal_opens_line": True,
            "wiring_pattern": DETECTOR_PATTERN,
        },
    ),
    "detector old": ("Lantern Sensing", "Example detector, old", DeviceKind.SMOKE_DETECTOR, {"rated_voltage_v": "24"}),
    "switch": (
        "Tarn Works",
        "Example switch",
        DeviceKind.VENTILATION_SWITCH,
        {"rated_voltage_v": "24", "standby_current_a": "0"},
    ),
    "rain": (
        "Lantern Sensing",
        "Example rain sensor",
        DeviceKind.RAIN_SENSOR,
        {"rated_voltage_v": "24", "standby_current_a": "0.02"},
    ),
    "interface": (
        "Tarn Works",
        "Example interface",
        DeviceKind.FIRE_ALARM_INTERFACE,
        {"rated_voltage_v": "24", "standby_current_a": "0.008"},
    ),
}
