"""The commissioning plan of a panel: the steps of its cause and effect, each at the position where one stands."""

from dataclasses import dataclass, field

from sites_registry.templatetags.register_tags import storey_words
from zones.cause_and_effect.records import PanelLogic, panel_logic
from zones.engineering.cause_and_effect.commissioning import CommissioningStep, Coverage, Phase, coverage
from zones.engineering.cause_and_effect.commissioning_plan import commissioning_plan
from zones.engineering.hazards import Hazard, precautions
from zones.models import Position
from zones.power_orders import ShownOrder, power_orders


@dataclass(frozen=True)
class Planned:
    """One step with the position where it is done, and what is restored after it before the next."""

    number: int
    step: CommissioningStep
    position_id: int
    tag: str
    place: str
    after: tuple[CommissioningStep, ...] = ()

    @property
    def hazards(self):
        """What can hurt at the step or while restoring after it, in the order of the classes."""
        found = {one for step in (self.step, *self.after) for one in step.hazards}
        return tuple(one for one in Hazard if one in found)

    @property
    def caution(self):
        """What to do about its hazards, in sentences."""
        return precautions(self.hazards)

    @property
    def then(self):
        """What to do afterwards and what must follow, one sentence for each thing to restore."""
        return [_restored(step) for step in self.after]

    @property
    def tries(self):
        """What the step and its restoring cover, as plain lists for a frozen copy."""
        steps = (self.step, *self.after)
        return {
            "inputs": [list(map(str, one)) for step in steps for one in step.inputs],
            "rules": [key for step in steps for key in step.rules],
            "pairs": [
                [pair.zone, pair.stronger, pair.weaker, pair.weaker_last] for step in steps for pair in step.pairs
            ],
            "lines": [list(map(str, one)) for step in steps for one in step.lines],
        }


def _restored(step):
    must = f" Must happen: {' '.join(step.must)}" if step.must else ""
    return f"{step.do}{must}"


@dataclass(frozen=True)
class PanelPlan:
    """The plan of a panel, what it covers, and what it cannot."""

    read: PanelLogic
    steps: list
    coverage: Coverage | None
    not_covered: list = field(default_factory=list)
    makers_orders: tuple[ShownOrder, ...] = ()
    isolation: ShownOrder | None = None

    @property
    def rounds(self):
        """[(round, its steps)] in order."""
        found = {}
        for planned in self.steps:
            found.setdefault(planned.step.round, []).append(planned)
        return list(found.items())


def panel_plan(panel):
    """The plan of a panel as recorded; a fixed number of queries. Raises RuleSetError: its rules point nowhere."""
    read = panel_logic(panel)
    if not read.ruleset.rules:
        return PanelPlan(read, [], None)
    power_up, isolation = power_orders(panel.position.product_model)
    steps = commissioning_plan(read.ruleset)
    covered = coverage(steps, read.ruleset)
    missing = [*read.left_out]
    for part in (covered.inputs, covered.rules, covered.pairs, covered.lines):
        missing += part.missing
    last_on_line = _last_on_line(panel)
    home = panel.position
    planned = [
        _planned(number, step, after, read, last_on_line, home)
        for number, (step, after) in enumerate(_with_restoring(_in_this_order(steps, power_up)), 1)
    ]
    makers = tuple(one for one in (power_up, isolation) if one.is_the_makers)
    return PanelPlan(read, planned, covered, missing, makers, isolation)


def _in_this_order(steps, power_up):
    """The steps with those of powering up in the order shown for the panel."""
    up = [
        CommissioningStep(0, 1, Phase.POWER_UP, None, one.do, readings=one.readings, hazards=one.hazards)
        for one in power_up.steps
    ]
    return [*up, *(one for one in steps if one.phase is not Phase.POWER_UP)]


def _with_restoring(steps):
    """Each thing tried, with what restores it: one row to tick, where a reset of its own would only be noise."""
    found = []
    for step in steps:
        if step.phase is Phase.RESTORE and found and found[-1][0].round == step.round:
            found[-1][1].append(step)
        else:
            found.append((step, []))
    return [(step, tuple(after)) for step, after in found]


def _last_on_line(panel):
    """The last device of each line, by the key of the line in the logic."""
    found = {}
    positions = Position.objects.in_use().filter(detection_line__panel=panel)
    for position in positions.order_by("order_on_line", "walking_order", "tag_key"):
        found[str(position.detection_line_id)] = position
    return found


def _planned(number, step, after, read, last_on_line, home):
    position = _where(step, read, last_on_line) or home
    place = " · ".join(filter(None, [storey_words(position.storey), position.room, position.place]))
    return Planned(number, step, position.pk, position.tag, place, after)


def _where(step, read, last_on_line):
    for line, _ in step.lines:
        if line in last_on_line:
            return last_on_line[line]
    for key, _ in step.inputs:
        if key in read.devices:
            return read.devices[key]
    return None
