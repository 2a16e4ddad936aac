"""Duties that the law of one country puts on those who answer for a building: does this building come under them?

A remark about such a duty stands only where the duty does. Where the record does not say enough, the remark says "if".
"""

from dataclasses import dataclass
from decimal import Decimal

from sites_registry.models import Building

# Fire Safety (England) Regulations 2022 (SI 2022/547) reg. 3: two or more homes, and 18 m above ground or 7 storeys.
HIGH_RISE_HEIGHT_M = Decimal(18)
HIGH_RISE_STOREYS = 7


@dataclass(frozen=True, slots=True)
class Duty:
    """Whether a duty is this building's. `unknown`: what the record does not say, as the ends of "if it …"."""

    is_excluded: bool
    unknown: tuple[str, ...] = ()

    @property
    def applies(self):
        """Every condition is on record and met."""
        return not self.is_excluded and not self.unknown

    @property
    def may_apply(self):
        """No condition is known to be unmet, and one at least is not known."""
        return not self.is_excluded and bool(self.unknown)


def english_high_rise(building) -> Duty:
    """The duties for high-rise residential buildings in England (SI 2022/547 regs. 3 and 7)."""
    asked = (
        ("is in England", _is_in_england(building)),
        ("has two or more homes", _has_homes(building)),
        ("is at least 18 m or 7 storeys high", _is_high_rise(building)),
    )
    return Duty(
        is_excluded=any(answer is False for _, answer in asked),
        unknown=tuple(condition for condition, answer in asked if answer is None),
    )


def _is_in_england(building):
    return building.country == Building.Country.ENGLAND if building.country else None


def _has_homes(building):
    if building.use == Building.Use.OTHER:
        return None
    return building.use == Building.Use.FLATS


def _is_high_rise(building):
    """One measure that is met is enough; that neither is met takes both."""
    height_m, storeys = building.height_m, building.storeys
    if (height_m is not None and height_m >= HIGH_RISE_HEIGHT_M) or (storeys and storeys >= HIGH_RISE_STOREYS):
        return True
    return None if height_m is None or storeys is None else False
