"""What a panel offers by its wiring pattern: whether it has data links, and how its inputs come."""

from zones.models import ActuatorCircuit, DeviceKind
from zones.units.patterns import pattern_of, pattern_text_for

MONITOR, DATA_LINK, INPUT = "monitor", "data link", "input"


class PanelPorts:
    """`inputs`: "block" (one block for open, close and sensors), "single" (each for one signal) or "" (none)."""

    def __init__(self, panel_model):
        terminals = pattern_of(pattern_text_for(kind=DeviceKind.CONTROL_PANEL, product_model=panel_model)).terminals
        self.has_data_link = any(one.each == DATA_LINK for one in terminals)
        words = {one.function.casefold().split()[0] for one in terminals if one.each == INPUT and one.function}
        self.inputs = "block" if {"open", "close"} <= words else "single" if words else ""
        of_outputs = [one for one in terminals if one.each.endswith("output")]
        three = any(one.kind.value == MONITOR for one in of_outputs)
        monitored = ActuatorCircuit.MonitoredBy
        self.monitored_by = monitored.THREE_WIRES if three else monitored.TWO_WIRES
