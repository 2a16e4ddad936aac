"""The commissioning plan of a panel becomes test points of a commissioning visit.

What the protocol asks as well is asked once: the step takes over the protocol's test point with its reading, its limits
and its code, and says how to bring it about.
"""

from django.db import transaction
from django.utils import timezone
from django.utils.text import slugify

from inspections.models import CommissioningPlan, PlannedStep, TestPoint, Visit, VisitKind
from inspections.models.plans import PARTS
from inspections.models.test_points import PASSING, Leg
from inspections.test_points.limits import LimitsHere
from sites_registry.services.refusals import Refused
from zones.cause_and_effect.commissioning import panel_plan
from zones.engineering.cause_and_effect import encode_events
from zones.engineering.hazards import hazards_text
from zones.models import ControlPanel, DeviceKind, Fitting, LinkEntry, PlaceConfirmation
from zones.panels.line_places import start_of

# Test points of a plan stand in its order behind those that the protocol asks at the same position, with room between
# two of them; at the panel the protocol's own come after: nothing is measured before the power is up.
AFTER_THE_PROTOCOL, APART, AFTER_THE_PLAN = 1_000, 10, 20_000
LONGEST_TITLE = 200
# What a step observes, or what it observes and reads → codes of checks that observe the same at that position.
SAME_OBSERVATION = {
    "terminals": ("panel-condition",),
    ("supply", "charger voltage"): ("battery-failure",),
    "battery": ("battery-failure",),
    "door-shut": ("panel-settings", "power-up-order"),
    "mains": ("mains-change-over",),
    "input": ("function",),
    "weather-in-smoke": ("never-against-smoke",),
    "device-removed": ("head-removed",),
    "element-removed": ("line-fault",),
}
LINE_RESISTANCE, ACTUATORS_FOUND = "end-of-line-resistance", "actuators-found"
INSULATION = "cable-insulation"
ASKED_OF_THE_PANEL = ("battery-failure", "battery-load-voltage")  # and not once more of its battery


class PlanRefused(Refused):
    """The visit cannot take over a commissioning plan."""


@transaction.atomic
def take_plans(*, visit):
    """Take over the plan of every panel with rules into a commissioning visit under way; returns the new plans.

    A panel whose plan the visit has already keeps it as it was taken over. Raises PlanRefused; RuleSetError:
    the rules of a panel point nowhere.
    """
    visit = Visit.objects.select_for_update(of=("self",)).select_related("building").get(pk=visit.pk)
    if visit.kind != VisitKind.COMMISSIONING:
        raise PlanRefused(f"A {visit.get_kind_display()} has no commissioning plan. Plan a commissioning visit.")
    if visit.state != Visit.State.UNDER_WAY:
        raise PlanRefused(f"The visit is {visit.get_state_display()}. Its plan is taken over while it is under way.")
    there = set(visit.plans.values_list("panel", flat=True))
    asked = _Stored(visit)
    return [_take(asked, panel, plan) for panel, plan in plans_of(visit.building, there)]


def plans_of(building, taken=()):
    """[(panel, its plan)] of each panel with rules, but those of these keys. Raises RuleSetError."""
    panels = ControlPanel.objects.filter(building=building, position__retired_on=None).exclude(pk__in=taken)
    panels = panels.filter(rules__isnull=False).distinct().select_related("position__product_model", "building")
    plans = [(panel, panel_plan(panel)) for panel in panels.order_by("position__tag_key")]
    return [(panel, plan) for panel, plan in plans if plan.steps]


def lay_over(asked, panel, planned):
    """Lay the plan of a panel over test points; returns the record of the plan and its steps, nothing stored."""
    coverage = planned.coverage
    plan = CommissioningPlan(
        visit=asked.visit,
        panel=panel,
        resets=coverage.resets,
        made_at=timezone.now(),
        not_covered=planned.not_covered,
        **{f"{part}_of": getattr(coverage, part).of for part in PARTS},
    )
    points = _Points(asked, panel).of(planned.steps)
    return plan, [_step(plan, point, each) for point, each in zip(points, planned.steps, strict=True)]


def _take(asked, panel, planned):
    plan, steps = lay_over(asked, panel, planned)
    plan.full_clean()
    plan.save()
    asked.save()
    for step in steps:
        step.plan_id, step.test_point_id = plan.pk, step.test_point.pk
    PlannedStep.objects.bulk_create(steps, batch_size=500)
    return plan


class Asked:
    """The test points of a visit while plans are laid over them: `free` are those that a step may take over."""

    def __init__(self, visit, points, free):
        self.visit, self.points, self.free = visit, list(points), list(free)
        self.limits = LimitsHere(visit)
        self.made, self.changed, self.dropped = [], [], []

    def drop(self, points):
        """What a plan asks of a panel already is not asked once more."""
        self.dropped += points
        self.points = [point for point in self.points if point not in points]


class _Stored(Asked):
    def __init__(self, visit):
        points = visit.test_points.select_related(
            "position__detection_line__panel__position",
            "position__detection_line__starts_at",
            "position__actuator_circuit__panel__position",
            "check_of",
        )
        # What has an answer stays as it was answered: then the step is asked beside it.
        free = set(visit.test_points.filter(results=None, planned_step=None).values_list("pk", flat=True))
        points = list(points)
        super().__init__(visit, points, (point for point in points if point.pk in free))

    def save(self):
        TestPoint.objects.filter(pk__in=[point.pk for point in self.dropped]).delete()
        changed = {id(point): point for point in self.changed if point.pk}
        TestPoint.objects.bulk_update(changed.values(), CHANGED, batch_size=500)
        TestPoint.objects.bulk_create(self.made, batch_size=500)
        self.made, self.changed, self.dropped = [], [], []


class _Points:
    """The test points of one panel's plan, among those that the protocol has asked already."""

    def __init__(self, asked, panel):
        self.on_visit, self.visit, self.panel = asked, asked.visit, panel
        self.asked = {(point.position_id, point.code): point for point in asked.free}
        self.codes = {point.code for point in asked.points if point.position_id == panel.position_id}

    def of(self, steps):
        """One test point for each step, in their order; what a step asks is not asked once more."""
        points, twice, limits = [], [*self._of_the_battery()], self.on_visit.limits
        for planned in steps:
            point, *others = [*self._same(planned)] or [None]
            points.append(_filled(point or self._new(planned), planned))
            if points[-1].reading_rule is None:
                limits.put_into(points[-1])
            twice += others
        self.on_visit.drop(twice)
        self.on_visit.free = list(self.asked.values())
        self.on_visit.changed += points
        self._put_the_rest_behind()
        self._read_where_lines_and_circuits_begin(points, steps)
        return points

    def _same(self, planned):
        keys = (planned.about, planned.reading[0]), planned.about
        codes = next((SAME_OBSERVATION[key] for key in keys if key in SAME_OBSERVATION), ())
        for code in codes:
            if point := self.asked.pop((planned.position_id, code), None):
                yield point

    def _of_the_battery(self):
        for (position, code), point in list(self.asked.items()):
            if self._is_its_battery(point) and code in ASKED_OF_THE_PANEL:
                yield self.asked.pop((position, code))

    def _new(self, planned):
        code = f"step-{self.panel.pk}-{planned.number:03}"
        # A reading keeps its code over visits, so that it is compared with the same one of last time.
        of_reading = f"step-{slugify(planned.reading[0])}"[:40]
        if planned.reading[0] and planned.position_id == self.panel.position_id and of_reading not in self.codes:
            self.codes.add(of_reading)
            code = of_reading
        point = TestPoint(
            visit=self.visit,
            position_id=planned.position_id,
            code=code,
            title=_cut(planned.title, LONGEST_TITLE),
            limit_source="common practice; cause and effect as designed",
        )
        self.on_visit.points.append(point)
        self.on_visit.made.append(point)
        return point

    def _put_the_rest_behind(self):
        for point in self.on_visit.points:
            if point.order >= AFTER_THE_PROTOCOL or point.leg != Leg.WALK:
                continue
            is_its_battery = self._is_its_battery(point)
            if point.position_id != self.panel.position_id and not is_its_battery:
                continue
            point.leg, point.order = Leg.START, point.order + AFTER_THE_PLAN
            if is_its_battery:
                point.done_at = self.panel.position
            self.on_visit.changed.append(point)

    def _is_its_battery(self, point):
        return point.position.kind == DeviceKind.BATTERY and point.position.panel_id == self.panel.pk

    def _read_where_lines_and_circuits_begin(self, points, steps):
        """Not at the last device that the check is recorded of; a line at its terminals, before the power is up."""
        order = {planned.about: point.order for point, planned in zip(points, steps, strict=True)}
        for point in self.on_visit.points:
            run, words = self._run_read_at(point)
            if run is None or run.panel_id != self.panel.pk:
                continue
            after = "door-shut" if point.code == ACTUATORS_FOUND else "terminals"
            point.done_at, point.title = start_of(run), _cut(f"{point.title}, {words}", LONGEST_TITLE)
            if point.done_at == self.panel.position:
                point.leg, point.order = Leg.START, order.get(after, AFTER_THE_PLAN) + 1
            self.on_visit.changed.append(point)

    def _run_read_at(self, point):
        """(the line or circuit that is measured at this test point, its name); (None, "") where it is none."""
        if point.code not in (INSULATION, LINE_RESISTANCE, ACTUATORS_FOUND):
            return None, ""
        line, circuit = point.position.detection_line, point.position.actuator_circuit
        if line and point.code != ACTUATORS_FOUND:
            return line, f"line {line.number}"
        if circuit and point.code != LINE_RESISTANCE:
            return circuit, f"circuit {circuit.number}"
        return None, ""


CHANGED = [
    "order",
    "leg",
    "done_at",
    "title",
    "instruction",
    "expected",
    "caution",
    "hazards",
    "quantity",
    "unit",
    "is_reading_required",
    "reading_rule",
    "lower_limit",
    "upper_limit",
    "limit_source",
]


def _filled(point, planned):
    """The test point with what the step says; its own reading and limits stay."""
    moves = planned.moves
    must = " ".join(sentence for move in moves for sentence in move["must"])
    must_not = " ".join(dict.fromkeys(sentence for move in moves for sentence in move["must_not"]))
    said = filter(None, [point.expected, must, must_not])
    point.order, point.leg = AFTER_THE_PROTOCOL + APART * planned.number, planned.leg
    point.instruction = _cut(" ".join([point.instruction, *(move["do"] for move in moves)]).strip(), 1000)
    point.expected = _cut(" ".join(_sentence(text) for text in said) or "As described.", 1000)
    hazards = {*point.hazard_list, *planned.hazards}
    point.caution = _cut(point.caution, 500) or planned.caution
    point.hazards = hazards_text(hazards)
    if planned.reading[0]:
        point.is_reading_required = True
        if not point.quantity:
            point.quantity, point.unit = planned.reading
    return point


def _sentence(text):
    return text if text.endswith(".") else f"{text}."


def _cut(text, limit):
    return text if len(text) <= limit else f"{text[: limit - 2]} …"


def _step(plan, point, planned):
    step, moves = planned.step, planned.moves
    return PlannedStep(
        plan=plan,
        test_point=point,
        number=planned.number,
        round=step.round,
        phase=step.phase.words,
        must=[sentence for move in moves for sentence in move["must"]],
        must_not=list(dict.fromkeys(sentence for move in moves for sentence in move["must_not"])),
        readings=[", ".join(planned.reading)] if planned.reading[0] else [],
        moves=moves,
        events=encode_events(step.events),
        tries=planned.tries,
    )


def confirm_places(result):
    """A pass at a step that operates a device confirms the place of the unit there, unless it was swapped since."""
    step = getattr(result.test_point, "planned_step", None)
    wanted = step.tries.get("confirms", []) if step and result.outcome in PASSING else []
    if not wanted:
        return
    fittings = Fitting.objects.open().filter(pk__in=wanted).select_related("unit", "position")
    for fitting in fittings:
        _confirm_entry(fitting, result)
    for fitting in fittings.filter(place_confirmations=None):
        note = f"Operated on {result.test_point.visit}: the panel named it, and its zone opened."
        confirmation = PlaceConfirmation(
            fitting=fitting, method=PlaceConfirmation.Method.OPERATED, by=result.recorded_by, note=note
        )
        confirmation.at = result.seen_at
        confirmation.full_clean()
        confirmation.save()


def _confirm_entry(fitting, result):
    """The entry of the panel's list with the serial of the unit is confirmed for its position, where it was open."""
    entries = LinkEntry.objects.filter(data_link=fitting.position.data_link_id, serial__iexact=fitting.unit.serial)
    for entry in entries.filter(position=None) if fitting.position.data_link_id else ():
        entry.position, entry.confirmed_how = fitting.position, LinkEntry.ConfirmedBy.OPERATING
        entry.confirmed_by, entry.confirmed_at = result.recorded_by, result.seen_at
        entry.full_clean()
        entry.save()


def coverage_of(visit):
    """How much of each plan of a visit its passing results cover; for the page, the report and the certificate.

    Returns a list of dicts: panel (tag), parts [(part, done, of)], steps, open_steps, not_covered (sentences),
    is_complete.
    """
    plans = visit.plans.select_related("panel__position").prefetch_related("steps__test_point__latest_result")
    return [_coverage(plan) for plan in plans.order_by("panel__position__tag_key")]


def _coverage(plan):
    steps = list(plan.steps.all())
    passed = [step for step in steps if step.is_passed]
    open_steps = len(steps) - len(passed)
    parts = [(part, _covered(part, steps, passed), getattr(plan, f"{part}_of")) for part in PARTS]
    return {
        "panel": plan.panel.tag,
        "parts": parts,
        "steps": len(steps),
        "open_steps": open_steps,
        "open_words": f"{open_steps} step{'s' * (open_steps != 1)} not passed",
        "not_covered": plan.not_covered,
        "is_complete": not open_steps and not plan.not_covered,
    }


def _covered(part, steps, passed):
    """How many of this part the passed steps cover. An input counts once everything it can say was tried."""
    done = {str(one) for step in passed for one in step.tries.get(part, [])}
    if part != "inputs":
        return len(done)
    wanted = {}
    for step in steps:
        for key, action in step.tries.get("inputs", []):
            wanted.setdefault(key, set()).add(str([key, action]))
    return sum(all_of <= done for all_of in wanted.values())
