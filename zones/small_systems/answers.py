"""What was answered about a small system, as plain data between the form and the making."""

from dataclasses import dataclass, field
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class PartAnswer:
    """`lengths_m`: of the cables leg by leg, as far as they are known; `storey` empty: that of the zone."""

    count: int = 0
    model: object = None
    lengths_m: tuple[Decimal, ...] = ()
    storey: str = ""


@dataclass(frozen=True, slots=True)
class ZoneAnswer:
    name: str
    storey: str = ""
    drive: str = ""
    end_place: str = ""  # "in_box": the end-of-line module stands in a junction box before the last actuator
    actuators_each: int = 1
    parts: dict[str, PartAnswer] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class CableAnswer:
    cable_type: str = ""
    area_mm2: object = None
    conductor_class: str = ""


@dataclass(frozen=True, slots=True)
class SystemAnswers:
    panel_tag: str
    zones: tuple[ZoneAnswer, ...]
    panel_model: object = None
    panel_storey: str = ""
    panel_place: str = ""
    mains_feed: str = ""
    battery_model: object = None
    battery_fitted_on: object = None  # None: today
    end_of_line_ohm: object = None
    output_cable: CableAnswer = CableAnswer()
    other_cable: CableAnswer = CableAnswer()
    parts: dict[str, PartAnswer] = field(default_factory=dict)
