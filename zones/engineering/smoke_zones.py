"""A smoke zone and what the fire strategy asks of it, as plain data."""

from dataclasses import dataclass, field, fields

from zones.engineering.area_methods import AreaInputs, Method
from zones.engineering.copies import Kind, kind_of
from zones.engineering.derived import derived
from zones.engineering.quantities import check_optional
from zones.engineering.vents import AreaKind


@dataclass(frozen=True)
class SmokeZone:
    """A smoke zone and what the fire strategy asks of it; ``None`` = not known.

    `required_area_m2` with `area_kind`: the strategy's word. `method` with `inputs`: how the area is found, beside it.
    `needs_detection`: automatic detection is asked for. `inlet_ratio` with `inlet_kind`: inlets over outlets;
    `needs_no_inlets`: the strategy asks for no replacement air.
    """

    name: str
    required_area_m2: float | None = None
    area_kind: AreaKind | None = None
    needs_detection: bool | None = None
    method: Method | None = None
    inputs: AreaInputs = field(default_factory=AreaInputs)
    inlet_ratio: float | None = None
    inlet_kind: AreaKind | None = None
    needs_no_inlets: bool = False

    def __post_init__(self):
        check_optional("free_area", self.required_area_m2, field="required_area_m2", subject=self.name)
        check_optional("area_ratio", self.inlet_ratio, field="inlet_ratio", subject=self.name)

    @derived
    def what(self) -> Kind:
        """All that is asked of it, by field, whatever it is called."""
        return kind_of(*[(one.name, getattr(self, one.name)) for one in fields(self)[1:]])
