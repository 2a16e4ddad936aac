"""The commissioning plan of a panel on paper, to work from and to sign off step by step."""

from django.conf import settings
from django.urls import reverse
from django.utils import timezone

from inspections.documents.base import TitleBlock, render_pdf


def plan_pdf(panel, plan, *, caution, prepared_by, now):
    """A PanelPlan as an A4 landscape PDF; `now` an aware datetime."""
    building, local = panel.building, timezone.localtime(now)
    title_block = TitleBlock(
        title="Commissioning plan",
        subtitle=f"panel {panel.tag}",
        number=f"{building.slug}/{panel.tag.lower()}/commissioning-plan",
        building=building.name,
        client=building.client.name,
        issued_on=local.date(),
        revision=f"as of {local:%-d %b %Y, %H:%M}",
        prepared_by=prepared_by.full_name,
        address=settings.PUBLIC_URL + reverse("panel-commissioning-plan", args=[panel.pk]),
        landscape=True,
    )
    context = {"panel": panel, "plan": plan, "caution": caution}
    return render_pdf("documents/commissioning_plan.html", context, title_block=title_block, created_at=now)
