"""A control panel with all that hangs on it, as plain data: the input of the whole design check.

Records become this; nothing here knows where it came from. ``None`` means "not known" throughout.
"""

from dataclasses import dataclass, field
from datetime import date

from zones.engineering.battery_set import BatterySet
from zones.engineering.circuits import ActuatorCircuit
from zones.engineering.data_links import DataLink
from zones.engineering.detection_lines import DetectionLine
from zones.engineering.inlet_opening import OpeningCause
from zones.engineering.power_supply import PowerSupply
from zones.engineering.quantities import check_optional
from zones.engineering.smoke_zones import SmokeZone
from zones.engineering.vent_classes import VentClasses
from zones.engineering.vents import Vent


@dataclass(frozen=True, slots=True)
class ReleaseDevice:
    """A device that releases a zone or ventilates it: what the consistency checks need of it.

    `kind`: "manual call point", "detector", "fire alarm interface", "ventilation switch", "rain sensor", …
    """

    tag: str
    kind: str
    zone: str | None = None


@dataclass(frozen=True)
class FittedUnit:
    """A unit at its position, to tell identical units apart and to compare voltages."""

    tag: str
    model: str | None = None
    serial: str | None = None
    zone: str | None = None
    rated_voltage_v: float | None = None

    def __post_init__(self):
        check_optional("voltage", self.rated_voltage_v, field="rated_voltage_v", subject=self.tag)


@dataclass(frozen=True, slots=True)
class VentGroup:
    """Actuators that move together for ventilation; a group belongs to one smoke zone."""

    name: str
    zone: str | None = None
    actuators: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PanelDesign:
    """Everything that the design check asks of one panel.

    `inputs`: those that a resistor monitors. `classes_asked`: of all its vents, by the fire strategy.
    `zone_numbers` and `group_numbers`: numbers as mapped in the panel, to find holes; ``None``: not mapped.
    `others`: further panels that drive vents of its zones: only their supply and circuits count, and what they move.
    `opening_causes`: what opens actuators on smoke; ``None``: not recorded, or nobody asks.
    `assessed_on`: the day for which ages are judged (nothing here reads a clock).
    """

    name: str
    supply: PowerSupply = field(default_factory=PowerSupply)
    battery: BatterySet | None = None
    circuits: tuple[ActuatorCircuit, ...] = ()
    lines: tuple[DetectionLine, ...] = ()
    inputs: tuple[DetectionLine, ...] = ()
    links: tuple[DataLink, ...] = ()
    zones: tuple[SmokeZone, ...] = ()
    vents: tuple[Vent, ...] = ()
    releases: tuple[ReleaseDevice, ...] = ()
    classes_asked: VentClasses | None = None
    groups: tuple[VentGroup, ...] = ()
    units: tuple[FittedUnit, ...] = ()
    zone_numbers: tuple[int, ...] | None = None
    group_numbers: tuple[int, ...] | None = None
    opening_causes: tuple[OpeningCause, ...] | None = None
    others: tuple["PanelDesign", ...] = ()
    assessed_on: date | None = None

    def circuit(self, name: str) -> ActuatorCircuit:
        """The circuit with this name. Raises KeyError."""
        for one in self.circuits:
            if one.name == name:
                return one
        raise KeyError(name)
