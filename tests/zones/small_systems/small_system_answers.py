"""Answers to the page of a small system, as its form sends them."""

from zones.small_systems.descriptions import small_systems
from zones.small_systems.forms import CABLES


def answers(key, *, models=None, **changes):
    """What the page sends when it is answered with the usual numbers; `models` by kind; `changes` by field."""
    system, models = small_systems()[key], models or {}
    typed = {
        "panel_tag": "P1",
        "panel_model": _key(models.get("control_panel")),
        "battery_model": _key(models.get("battery")),
    }
    typed |= {"end_of_line_ohm": "10000"} | {
        f"{prefix}_{name}": "" for prefix, _ in CABLES for name in ("type", "area", "class")
    }
    for zone in range(1, system.zones + 1):
        typed |= {f"z{zone}_name": f"Stair {zone}", f"z{zone}_storey": "roof", f"z{zone}_each": "1"}
        typed |= {f"z{zone}_drive": "" if "actuator" in models else "polarity", f"z{zone}_end": ""}
        for part in system.zone_parts:
            typed |= _part(f"z{zone}_{part.key}", part, models if zone == 1 else {})
    for part in system.shared_parts:
        typed |= _part(part.key, part, models)
    return typed | {name: str(value) for name, value in changes.items()}


def _part(name, part, models):
    return {f"{name}_count": str(part.usual), f"{name}_model": _key(models.get(part.kind)), f"{name}_lengths": ""}


def _key(model):
    return str(model.pk) if model else ""
