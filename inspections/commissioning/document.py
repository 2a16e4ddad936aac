"""The commissioning plan of a panel on paper, to work from and to sign off step by step."""

from django.urls import reverse

from sites_registry.documents.base import TitleBlock, render_pdf
from sites_registry.documents.papers import Made, SeePage
from zones.cause_and_effect.commissioning import panel_plan
from zones.engineering.cause_and_effect import RuleSetError
from zones.engineering.power_order import BEFORE_A_GUARD_COMES_OFF

CAUTION = (
    f"The maker's instruction, the permit to work and the local code go before this order. {BEFORE_A_GUARD_COMES_OFF} "
    "Keep everyone clear of moving vents; tell occupants and the alarm receiving centre first."
)


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
    context = {"panel": panel, "plan": plan, "caution": CAUTION}
    return render_pdf(
        "inspections/commissioning/commissioning_plan_paper.html", context, title_block=title_block, created_at=now
    )


def plan_asked_for(panel, asked):
    try:
        plan = panel_plan(panel)
    except RuleSetError as error:
        raise SeePage(reverse("panel-commissioning-plan", args=[panel.pk]), *error.sentences) from error
    return Made(plan_pdf(panel, plan, prepared_by=asked.by, now=asked.now))
