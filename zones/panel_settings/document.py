"""The settings of a panel on paper, with an empty box per line to work from (handbook process.md §6, row 9)."""

from django.conf import settings
from django.urls import reverse
from django.utils import timezone

from sites_registry.documents.base import TitleBlock, render_pdf
from sites_registry.documents.papers import Made
from zones.panel_settings.sheet import settings_sheet


def settings_sheet_pdf(sheet, *, prepared_by, now):
    """A SettingsSheet as an A4 portrait PDF; `now` an aware datetime."""
    panel, local = sheet.panel, timezone.localtime(now)
    title_block = TitleBlock(
        title="Settings",
        subtitle=f"panel {panel.tag}",
        number=f"{panel.building.slug}/settings/{panel.tag}",
        building=panel.building.name,
        client=panel.building.client.name,
        issued_on=local.date(),
        revision=panel.settings_revision or "not known",
        prepared_by=prepared_by.full_name,
        address=settings.PUBLIC_URL + reverse("panel-settings-sheet", args=[panel.pk]),
    )
    context = {"panel": panel, "settings": sheet, "building": panel.building, "as_of": local}
    return render_pdf(
        "zones/panel_settings/settings_sheet_paper.html", context, title_block=title_block, created_at=now
    )


def settings_asked_for(panel, asked):
    return Made(settings_sheet_pdf(settings_sheet(panel), prepared_by=asked.by, now=asked.now))
