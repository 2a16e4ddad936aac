"""The design check on paper: every finding of a panel or a building, worst first, with its figures and source."""

from dataclasses import dataclass

from django.urls import reverse

from sites_registry.documents.base import TitleBlock, render_pdf
from sites_registry.documents.papers import Made, SeePage
from zones.design_check.alike import told_once
from zones.design_check.checked import checked_building, checked_panel
from zones.design_check.findings import SHOWN, building_group, groups_of
from zones.design_check.plots import plots_of
from zones.engineering.findings import by_severity
from zones.engineering.panel_check import CAUTION

# Above it one document takes longer than a request has; it is then printed panel by panel.
FINDINGS_PER_DOCUMENT = 1_500
PLOTS_PER_DOCUMENT = 60


@dataclass(frozen=True)
class PanelFindings:
    """The findings of one panel, or of the building as a whole."""

    heading: str
    groups: list


def panel_report_pdf(checked, *, prepared_by, now):
    """The design check of one panel as an A4 portrait PDF; `now` an aware datetime."""
    panel = checked.panel
    part = PanelFindings(f"Panel {panel.tag}", told_once(checked, groups_of(checked)))
    address = f"/panels/{panel.pk}/design-check/"
    return _report(
        panel.building,
        [part],
        checked.findings,
        prepared_by=prepared_by,
        now=now,
        address=address,
        number=f"{panel.building.slug}/{panel.tag.lower()}/design-check",
        subtitle=f"panel {panel.tag}",
        plots=[plot for section in plots_of(checked) for plot in section.plots][:PLOTS_PER_DOCUMENT],
    )


def building_report_pdf(checked, *, prepared_by, now):
    """The design check of a building, panel by panel."""
    building = checked.building
    parts = [PanelFindings(f"Panel {each.panel.tag}", told_once(each, groups_of(each))) for each in checked.panels]
    if whole := building_group(building, checked.findings):
        parts.insert(0, PanelFindings("The building", [whole]))
    address = f"/buildings/{building.slug}/design-check/"
    return _report(
        building,
        parts,
        checked.all_findings,
        prepared_by=prepared_by,
        now=now,
        address=address,
        number=f"{building.slug}/design-check",
        subtitle="",
    )


def _report(building, parts, findings, *, prepared_by, now, address, number, subtitle, plots=()):
    title_block = TitleBlock.as_of(
        now,
        building,
        title="Design check",
        subtitle=subtitle,
        number=number,
        prepared_by=prepared_by,
        address=address,
    )
    counts = [(SHOWN[severity][1], number) for severity, number in by_severity(findings).items()]
    basis = getattr(building, "design_basis", None)
    context = {
        "building": building,
        "parts": parts,
        "counts": counts,
        "total": len(findings),
        "caution": CAUTION,
        "basis": basis,
        "standby": basis.basis if basis else None,
        "plots": plots,
    }
    return render_pdf("zones/design_check/design_check_paper.html", context, title_block=title_block, created_at=now)


def panel_report_asked_for(panel, asked):
    return Made(panel_report_pdf(checked_panel(panel), prepared_by=asked.by, now=asked.now))


def building_report_asked_for(building, asked):
    checked = checked_building(building)
    if len(checked.all_findings) > FINDINGS_PER_DOCUMENT:
        raise SeePage(
            reverse("building-design-check", args=[building.slug]),
            f"{len(checked.all_findings)} findings are too many for one document (at most {FINDINGS_PER_DOCUMENT}). "
            "Print the design check panel by panel.",
        )
    return Made(building_report_pdf(checked, prepared_by=asked.by, now=asked.now))
