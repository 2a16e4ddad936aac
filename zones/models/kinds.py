"""Kinds of device: shared by positions (what a place needs) and product models (what a unit is)."""

from django.db import models


class DeviceKind(models.TextChoices):
    CONTROL_PANEL = "control_panel", "control panel"
    ACTUATOR = "actuator", "actuator"
    MANUAL_CALL_POINT = "manual_call_point", "manual call point"
    SMOKE_DETECTOR = "smoke_detector", "smoke detector"
    HEAT_DETECTOR = "heat_detector", "heat detector"
    VENTILATION_SWITCH = "ventilation_switch", "ventilation switch"
    RAIN_SENSOR = "rain_sensor", "rain sensor"
    WIND_SENSOR = "wind_sensor", "wind sensor"
    FIRE_ALARM_INTERFACE = "fire_alarm_interface", "fire alarm interface"
    FIRE_SERVICE_CONTROL = "fire_service_control", "fire service control"
    INDICATOR = "indicator", "indicator or sounder"
    BATTERY = "battery", "battery"
    JUNCTION_BOX = "junction_box", "junction box"


# Letters of IEC 81346-2 for tags that the register proposes; any tag is accepted (handbook process.md §2).
TAG_PREFIX = {
    DeviceKind.CONTROL_PANEL: "P",
    DeviceKind.ACTUATOR: "M",
    DeviceKind.MANUAL_CALL_POINT: "CP",
    DeviceKind.SMOKE_DETECTOR: "SD",
    DeviceKind.HEAT_DETECTOR: "HD",
    DeviceKind.VENTILATION_SWITCH: "VS",
    DeviceKind.RAIN_SENSOR: "RS",
    DeviceKind.WIND_SENSOR: "WS",
    DeviceKind.FIRE_ALARM_INTERFACE: "FA",
    DeviceKind.FIRE_SERVICE_CONTROL: "FS",
    DeviceKind.INDICATOR: "IN",
    DeviceKind.BATTERY: "G",
    DeviceKind.JUNCTION_BOX: "JB",
}

# A junction box is a place with terminals: it has no unit with a serial, no figures and nothing to test.
WITHOUT_UNIT = (DeviceKind.JUNCTION_BOX,)


class Drive(models.TextChoices):
    ADDRESSED = "addressed", "addressed"
    POLARITY = "polarity", "polarity"


class EndPlace(models.TextChoices):
    """Where the end-of-line resistor or module of a monitored line, input or output sits."""

    LAST_DEVICE = "last_device", "at the last device"
    IN_BOX = "in_box", "in a junction box"
    PANEL_TERMINAL = "panel_terminal", "at its own terminals (unused)"
    MISSING = "missing", "missing"
    NONE_NEEDED = "none_needed", "none needed"


def with_article(words: str) -> str:
    """Put the article before a kind of device: "actuator" → "an actuator", "smoke detector" → "a smoke detector"."""
    return f"{'an' if words[0] in 'aeiou' else 'a'} {words}"
