"""Where a missing figure is entered, by what a finding calls it; where a remedy is carried out."""

from zones.engineering.findings import Severity
from zones.engineering.protection_check import remedy_changes

# Missing figures that a cable run, the actuators' data sheets or the panel's answer.
RUNS = ("cable runs", "length", "voltage that reaches", "current at the operating point", "current of ")
OF_THE_START = ("resistance ranges", "voltage", "whether the first alarm is kept")
OF_ACTUATORS = {
    "current of all motors together": ("rated_current_a",),
    "motor time of one operation": ("stroke_mm", "speed_mm_s", "lower_speed_mm_s"),
    "greatest voltage": ("highest_voltage_v",),
    "time of the starting current": ("starting_s",),
    "kind of load": ("load_kind",),
}
OF_THE_PANELS_SHEET = {
    "peak current of the supply": "supply_peak_a",
    "greatest voltage of the outputs": "output_highest_v",
    "kind of the fuse": "battery_fuse_kind",
    "fuse or protective device": "output_device_kind",
    "kind of the protective device": "output_device_kind",
    "rating of the protective device": "output_device_a",
    "current at which the output trips": "output_trip_a",
    "time in which it trips": "output_trip_s",
    "current of the supply into a short circuit": "supply_fault_a",
    "fuse between supply and outputs": "supply_fuse_kind",
    "length of the battery leads": "battery_lead_m",
    "area of the battery leads": "battery_lead_mm2",
    "current of all motors and the panel together": "alarm_current_a",
}

# Findings that a change of the battery set answers; fuse and charger are the panel's.
OF_THE_SET = (
    "battery.capacity",
    "battery.duration",
    "battery.rate",
    "battery.age",
    "consistency.battery_blocks",
)
OF_THE_BATTERYS_SHEET = ("greatest charging current of the battery", "internal resistance of the battery")
FIGURES_OF_THE_SET = (
    *("battery set", "capacity of the battery", "greatest discharge current", "design life"),
    "date of manufacture",
)
# Findings about the device of an output that another cable answers; the others its own rating.
OF_ITS_CABLES = ("protection.overload", "protection.disconnection", "protection.short_circuit")


def ways_of_remedy(finding, *, cables, device):
    """(url, word, further ways) by what the remedy of a failure changes; empty where it offers none of these.

    Args:     cables, device: the addresses at which the runs and the device of an output are changed.
    """
    if finding.severity != Severity.FAIL:
        return ()
    ways = {"device": (device, "Change the device of the output"), "cables": (cables, "Enter the cable runs")}
    first, *more = [ways[what] for what in remedy_changes(finding.sentence)] or [()]
    return (*first, tuple(more)) if first else ()
