"""The power-up and the isolation order of a panel as shown: the maker's where one is stored, else the general one."""

from dataclasses import dataclass

from zones.engineering.hazards import Hazard
from zones.engineering.power_order import ISOLATE, POWER_UP, SOURCE, PowerOrder, PowerStep

# Nobody has sorted the maker's steps: each counts as live, vents may move and an alarm may be raised at it.
HAZARDS_OF_THE_MAKERS_STEPS = (Hazard.LIVE, Hazard.MOVING, Hazard.ALARM)


@dataclass(frozen=True, slots=True)
class ShownOrder:
    """An order to follow, where it comes from, and the general one beneath it where the maker's is shown."""

    title: str
    steps: tuple[PowerStep, ...]
    source: str
    general: PowerOrder | None = None

    @property
    def is_the_makers(self):
        return self.general is not None

    @property
    def general_source(self):
        return SOURCE


def power_orders(product_model):
    """(power up, isolate) of a panel of this model; None: the model is not known. No query."""
    source = product_model.power_order_source if product_model else ""
    typed = (product_model.power_up_order, product_model.isolation_order) if product_model else ("", "")
    return tuple(_shown(*pair, source) for pair in zip((POWER_UP, ISOLATE), typed, strict=True))


def _shown(general, typed, source):
    lines = [line for line in typed.splitlines() if line.strip()]
    if not lines:
        return ShownOrder(general.title, general.steps, SOURCE)
    steps = tuple(PowerStep(f"maker-{k}", line, HAZARDS_OF_THE_MAKERS_STEPS) for k, line in enumerate(lines, 1))
    return ShownOrder(general.title, steps, source, general)
