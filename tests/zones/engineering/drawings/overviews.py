"""Zone overviews of invented panels, for the tests and pictures."""

from zones.engineering.drawings.zone_overview import (
    OverviewCircuit,
    OverviewGroup,
    OverviewInput,
    OverviewVent,
    OverviewZone,
    ZoneOverview,
)


def overview_of(zones, *, inputs_per_zone=6, vents_per_zone=2):
    """`zones` zones with call points and detectors on a line each, one group and circuit each, and a rain sensor."""
    inputs, circuits, groups, vents = [], [], [], []
    for zone in range(1, zones + 1):
        for number in range(inputs_per_zone):
            kind, prefix = ("manual_call_point", "CP") if number < 2 else ("smoke_detector", "SD")
            tag = f"{prefix}{zone}-{number + 1:02}"
            inputs.append(OverviewInput(tag, tag, kind, zone, zone))
        groups.append(OverviewGroup(f"{zone}.1", zone, "top vents"))
        circuits.append(OverviewCircuit(zone, f"Stair {zone}", "addressed"))
        vents += [
            OverviewVent(f"V{zone}-{number}", f"V{zone}-{number}", zone, f"{zone}.1", (zone,), (f"M{zone}-{number}",))
            for number in range(1, vents_per_zone + 1)
        ]
    inputs.append(OverviewInput("RS1", "RS1", "rain_sensor"))
    named = tuple(OverviewZone(number, f"Stair {number}") for number in range(1, zones + 1))
    return ZoneOverview("P1", "P1", tuple(inputs), tuple(circuits), tuple(groups), named, tuple(vents))
