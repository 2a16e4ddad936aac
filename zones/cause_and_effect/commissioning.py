"""The commissioning plan of a panel: the points of its cause and effect, each at the position where one stands."""

from dataclasses import dataclass, field, replace
from functools import cached_property

from sites_registry.words import storey_words
from zones.cause_and_effect.commissioning_points import Leg, Planned, about, points_of, title_of
from zones.cause_and_effect.commissioning_ports import ListedCallPoints, Monitored
from zones.cause_and_effect.records import PanelLogic, panel_logic
from zones.engineering.cause_and_effect.commissioning import CommissioningStep, Coverage, Phase, Told, coverage
from zones.engineering.cause_and_effect.commissioning_plan import commissioning_plan
from zones.engineering.cause_and_effect.commissioning_told import told_by
from zones.engineering.cause_and_effect.rules import FAULTS, CauseKind, InputKind, RuleSet, keys_of
from zones.models import Position
from zones.panels.line_places import start_of
from zones.units.power_orders import ShownOrder, power_orders

PART_WORDS = {Leg.START: "first, at the panel", Leg.END: "last, at the panel"}


@dataclass(frozen=True)
class PanelPlan:
    """The plan of a panel, what it covers, and what it cannot; `unused`: lines where nothing is to be tried."""

    read: PanelLogic
    steps: list
    coverage: Coverage | None
    not_covered: list = field(default_factory=list)
    makers_orders: tuple[ShownOrder, ...] = ()
    isolation: ShownOrder | None = None
    unused: tuple[str, ...] = ()
    ruleset: RuleSet | None = None
    planned: tuple[CommissioningStep, ...] = ()

    @cached_property
    def told(self) -> Told:
        """What its steps would show of panels with one mistake in rules or wiring."""
        return told_by(self.planned, self.ruleset)

    @property
    def told_words(self):
        """The share in a sentence, rounded down, so that 100 % is all."""
        told = self.told
        return (
            f"Of {told.of} panels with one mistake in rules or wiring these steps show {told.told} "
            f"({100 * told.told // told.of} %)."
        )

    @property
    def places(self):
        """[(leg, its points)] in the order of the walk: one entry for each time that a position is come to."""
        found = []
        for planned in self.steps:
            key = planned.leg, planned.position_id
            if not found or found[-1][0] != key:
                found.append((key, []))
            found[-1][1].append(planned)
        return [points for _, points in found]

    @property
    def parts(self):
        """[(words, places, number of points)]: first at the panel, storey by storey, last at the panel."""
        found = {}
        for points in self.places:
            words = PART_WORDS.get(points[0].leg) or points[0].storey or "no storey given"
            found.setdefault((points[0].leg, words), []).append(points)
        return [(words, places, sum(map(len, places))) for (_, words), places in found.items()]

    @property
    def readings(self):
        """How many points ask for a reading."""
        return sum(bool(planned.reading[0]) for planned in self.steps)


def panel_plan(panel):
    """The plan of a panel as recorded; a fixed number of queries. Raises RuleSetError: its rules point nowhere."""
    read = panel_logic(panel)
    if not read.ruleset.rules:
        return PanelPlan(read, [], None)
    ruleset, unused = _without_unused_lines(read.ruleset)
    power_up, isolation = power_orders(panel.position.product_model)
    steps = commissioning_plan(ruleset, power_up.steps)
    covered = coverage(steps, ruleset)
    missing = [*read.left_out]
    for part in (covered.inputs, covered.rules, covered.pairs, covered.lines):
        missing += part.missing
    makers = tuple(one for one in (power_up, isolation) if one.is_the_makers)
    points = _Points(read, panel, unused).of(steps)
    return PanelPlan(read, points, covered, missing, makers, isolation, tuple(unused.values()), ruleset, steps)


def _without_unused_lines(ruleset):
    """The rules without lines on which nothing hangs, and what the plan says of those."""
    used = {one.line for one in ruleset.inputs if one.line and one.kind not in FAULTS}
    unused = {one.key: str(one) for one in ruleset.inputs if one.kind is InputKind.LINE_FAULT and one.line not in used}
    rules = []
    for rule in ruleset.rules:
        left = tuple(key for key in rule.cause.inputs if key not in unused)
        if rule.cause.kind is not CauseKind.INPUTS or left == rule.cause.inputs:
            rules.append(rule)
        elif len(left) >= rule.cause.needed:
            rules.append(replace(rule, cause=replace(rule.cause, inputs=left)))
    inputs = tuple(one for one in ruleset.inputs if one.key not in unused)
    return replace(ruleset, inputs=inputs, rules=tuple(rules)), unused


class _Points:
    """The points of one panel's plan, in the order in which they are walked."""

    def __init__(self, read: PanelLogic, panel, unused):
        self.read, self.home, self.unused = read, panel.position, unused
        self.listed, self.monitored = ListedCallPoints(panel, read.devices.values()), Monitored(panel)
        inputs = keys_of(read.ruleset.inputs)
        self.kinds = {key: one.kind for key, one in inputs.items()}
        self.labels = {key: str(one) for key, one in inputs.items()}

    def of(self, steps):
        found = [self._planned(*point) for point in points_of([*steps, *self.monitored.steps()])]
        up = max((k for k, one in enumerate(found, 1) if one.step.phase is Phase.POWER_UP), default=0)
        found[up:up] = self._as_the_panel_lists_them()
        found.sort(key=self._on_the_walk)
        return [replace(planned, number=number) for number, planned in enumerate(found, 1)]

    def _planned(self, steps, after, reading):
        last = steps[-1]
        position = self.read.devices.get(last.at) or self.monitored.devices.get(last.at) or self.home
        leg = Leg.WALK if position.pk != self.home.pk else Leg.END if last.phase is Phase.LEAVE else Leg.START
        what, sees, confirms = about(steps, self.kinds), (), ()
        if what == "input" and position.pk in self.listed.call_points:
            sees, confirms = self.listed.named(position)
        if what in ("terminals", "input"):
            sees += tuple(
                f"{one} is not used: its resistor is on its own terminals." for one in self._unused_at(position)
            )
        return Planned(
            0,
            steps,
            position.pk,
            position.tag,
            _place(position),
            leg,
            what,
            title_of(steps, self.labels),
            reading,
            after,
            sees,
            confirms,
            storey_words(position.storey),
        )

    def _unused_at(self, position):
        return [self.unused[key] for key in self.unused if start_of(self.read.lines[key]).pk == position.pk]

    def _on_the_walk(self, planned):
        """Storeys come in the order in which the walk first reaches them, so that each is come to once."""
        places = {one.pk: one for one in (*self.read.devices.values(), *self.monitored.devices.values())}
        if planned.leg != Leg.WALK:
            return planned.leg, 0, 0, ""
        place = places[planned.position_id]
        return planned.leg, self._storeys.get(place.storey, 0), place.walking_order, place.tag_key

    @cached_property
    def _storeys(self):
        positions = Position.objects.in_use().filter(building=self.home.building_id).in_walking_order()
        return {storey: k for k, storey in enumerate(dict.fromkeys(positions.values_list("storey", flat=True)))}

    def _as_the_panel_lists_them(self):
        if len(self.listed.call_points) < 2:
            return []
        step = CommissioningStep(
            *(0, 1, Phase.POWER_UP, None, "Compare the call points that the panel lists with the record, by serial."),
            must=self.listed.sentences(),
            part="Call points as listed",
            code="call-points-listed",
        )
        return [self._planned((step,), (), ("", ""))]


def _place(position):
    return " · ".join(filter(None, [storey_words(position.storey), position.room, position.place]))
