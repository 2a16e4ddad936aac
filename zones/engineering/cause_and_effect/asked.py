"""What the fire strategy asks of a panel's zones, as far as it was entered.

Nothing is assumed: what is not given is not asked, and is told so.
"""

from dataclasses import dataclass, field

from zones.engineering.cause_and_effect.properties import Property
from zones.engineering.cause_and_effect.rules import Group


@dataclass(frozen=True, slots=True)
class Asked:
    """What `prove` is to hold the rules against.

    `open_within_s`: by zone (key), how long after a trigger its vents may take to stand fully open. `stroke_s`: by
    group (key), how long its slowest vent travels, as the design check has it. `not_asked`, `accepted`: by (zone,
    property) why the property is not asked of the zone, or why its failure is accepted.
    """

    open_within_s: dict[str, float] = field(default_factory=dict)
    stroke_s: dict[str, float] = field(default_factory=dict)
    not_asked: dict[tuple[str, Property], str] = field(default_factory=dict)
    accepted: dict[tuple[str, Property], str] = field(default_factory=dict)

    def most_delay_s(self, group: Group) -> float | None:
        """What the stroke leaves for delays (below 0: the stroke alone takes too long); ``None``: not known."""
        if group.zone not in self.open_within_s or group.key not in self.stroke_s:
            return None
        return self.open_within_s[group.zone] - self.stroke_s[group.key]
