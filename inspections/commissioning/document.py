"""The commissioning plan of a panel on paper, to work from and to sign off step by step."""

from django.urls import reverse

from sites_registry.documents.base import TitleBlock
from sites_registry.documents.blocks import bullets, heading, runs, soft, strong, table, words
from sites_registry.documents.papers import Made, SeePage
from sites_registry.documents.typeset import Column, typeset_pdf
from sites_registry.words import counted
from zones.cause_and_effect.commissioning import panel_plan
from zones.engineering.cause_and_effect import RuleSetError
from zones.engineering.hazards import Hazard
from zones.engineering.power_order import BEFORE_A_GUARD_COMES_OFF

CAUTION = (
    f"The maker's instruction, the permit to work and the local code go before this order. {BEFORE_A_GUARD_COMES_OFF} "
    "Keep everyone clear of moving vents; tell occupants and the alarm receiving centre first."
)
COLUMNS = (Column("Step", 14), Column("Do"), Column("See"), Column("Found", 40))
COMPARE = "What they leave unseen stands on the page of the plan: compare those settings with the rules one by one."
LEGS = {0: "first · ", 2: "last · "}


def plan_pdf(panel, plan, *, prepared_by, now):
    """A PanelPlan as an A4 landscape PDF; `now` an aware datetime."""
    building = panel.building
    title_block = TitleBlock.as_of(
        now,
        building,
        title="Commissioning plan",
        subtitle=f"panel {panel.tag}",
        number=f"{building.slug}/{panel.tag.lower()}/commissioning-plan",
        prepared_by=prepared_by,
        address=reverse("panel-commissioning-plan", args=[panel.pk]),
        landscape=True,
    )
    data = {
        "heading": "Commissioning plan",
        "lead": _lead(panel, plan),
        "blocks": [
            words(runs(strong("▲ Caution: "), CAUTION)),
            bullets([runs(strong(f"{one.sign} {one.words}"), f": {one.precaution}") for one in Hazard]),
            *_coverage(plan),
            *_steps(plan),
        ],
    }
    return typeset_pdf("documents/blocks_paper.typ", data, title_block=title_block, created_at=now)


def _lead(panel, plan):
    resets = f", {counted(plan.coverage.resets, 'resets')}" if plan.coverage else ""
    return (
        f"Panel {panel.tag}: {counted(len(plan.steps), 'steps')} at {counted(len(plan.places), 'places')}, "
        f"{counted(plan.readings, 'readings')}{resets}. First at the panel, storey by storey, and back to the panel, "
        "which is left in service. What a step operates elsewhere a second person does, in contact."
    )


def _coverage(plan):
    blocks = []
    if plan.coverage:
        parts = (("inputs", "inputs"), ("rules", "rules"), ("pairs", "orders"), ("lines", "faults"))
        done = [(getattr(plan.coverage, part), noun) for part, noun in parts]
        inputs, rules, pairs, lines = (f"{one.done} of {counted(one.of, noun)}" for one, noun in done)
        blocks.append(words(f"Covers {inputs}, {rules}, {pairs} of two priorities, {lines} of monitored lines."))
        blocks.append(words(f"{plan.told_words} {COMPARE}"))
    if plan.not_covered:
        blocks += [heading("Not covered"), bullets(plan.not_covered)]
    if plan.unused:
        blocks.append(
            words(
                f"Not used, so nothing is tried there: {', '.join(plan.unused)}. The end-of-line resistor stays on its "
                "own terminals."
            )
        )
    return blocks


def _steps(plan):
    if not plan.steps:
        return [words("No rule is recorded for this panel, so nothing can be planned.")]
    groups = [(_place(points[0]), [row for one in points for row in _rows(one)]) for points in plan.places]
    return [table(COLUMNS, *groups), *_isolation(plan.isolation), *_beneath_the_makers(plan)]


def _place(first):
    return [first.tag, f"  {LEGS.get(first.leg, '')}{first.place}"]


def _rows(planned):
    """A row for each move: number, hazards and title at the first of them, the box to tick at the last."""
    last = len(planned.moves) - 1
    return [
        [
            str(planned.number) if number == 0 else "",
            [*(_above(planned) if number == 0 else []), move["do"]],
            " ".join([*move["must"], *move["must_not"]]),
            _found(planned) if number == last else "",
        ]
        for number, move in enumerate(planned.moves)
    ]


def _above(planned):
    hazards = [strong(_marks(planned.hazards))] if planned.hazards else []
    return [*hazards, *([strong(planned.title)] if len(planned.moves) > 1 else [])]


def _marks(hazards):
    return "   ".join(f"{one.sign} {one.words}" for one in hazards)


def _found(planned):
    quantity, unit = planned.reading[:2]
    return [f"☐ ______ {unit}", soft(quantity)] if quantity else "☐"


def _isolation(isolation):
    told = (
        "Not a step of the plan, which ends with the panel in service. In this order; afterwards power up as in the "
        f"first steps. ({isolation.source})"
    )
    return [heading("Isolate, where a guard must come off"), words(told), _in_order(isolation.steps)]


def _in_order(steps):
    rows = [[str(number), step.do, strong(_marks(step.hazards))] for number, step in enumerate(steps, start=1)]
    return table((Column("", 14), Column(""), Column("", 84)), (None, rows))


def _beneath_the_makers(plan):
    blocks = []
    for order in plan.makers_orders:
        told = (
            f"The steps above are the maker's ({order.source}); each of them counts as live. Beneath it, "
            f"{order.general_source}:"
        )
        title = f"{order.title}: the general order, where the maker's is silent"
        blocks += [heading(title), words(told), _in_order(order.general.steps)]
    return blocks


def plan_asked_for(panel, asked):
    try:
        plan = panel_plan(panel)
    except RuleSetError as error:
        raise SeePage(reverse("panel-commissioning-plan", args=[panel.pk]), *error.sentences) from error
    return Made(plan_pdf(panel, plan, prepared_by=asked.by, now=asked.now))
