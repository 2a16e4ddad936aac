"""The papers of a hand-over: which there are, how each is composed, and the printed list of what was handed over."""

from dataclasses import dataclass

from django.conf import settings
from django.utils import timezone

from inspections.commissioning.document import CAUTION, plan_pdf
from inspections.models import HandOverFile, Visit
from inspections.visit_pages.report import ROWS_PER_DOCUMENT, visit_report_pdf
from inspections.wiring_schedules import document as wiring_schedules
from sites_registry.documents.base import TitleBlock, render_pdf
from zones.cause_and_effect.commissioning import panel_plan
from zones.cause_and_effect.document import cause_and_effect_pdf
from zones.cause_and_effect.proof import proof_page
from zones.cause_and_effect.records import panel_logic
from zones.cause_and_effect.views.matrix import LEGEND
from zones.design_check.checked import checked_building
from zones.design_check.document import FINDINGS_PER_DOCUMENT, building_report_pdf
from zones.drawings.document import DRAWINGS, drawing_pdf
from zones.engineering.cause_and_effect import RuleSetError
from zones.labels.document import device_sheets_of, labels_pdf
from zones.panel_settings.document import settings_sheet_pdf
from zones.panel_settings.sheet import settings_sheet
from zones.panels import device_schedule as devices
from zones.panels import zone_schedule as zones

Folder = HandOverFile.Folder


@dataclass(frozen=True)
class Composed:
    """How one kind of paper is made of its owner (building, panel or visit); None where there is nothing to show."""

    title: str
    folder: str
    compose: object


def _drawing(kind):
    def compose(panel, by, now):
        drawing = DRAWINGS[kind](panel)
        return None if drawing.is_empty else drawing_pdf(drawing, prepared_by=by, now=now)

    return compose


def _schedule(read):
    def compose(owner, by, now):
        schedule = read(owner)
        return wiring_schedules.schedule_pdf(schedule, prepared_by=by, now=now) if schedule.row_count else None

    return compose


def _device_schedule(building, by, now):
    parts = devices.parts_of(devices.positions_of(building))
    total = sum(len(part.positions) for part in parts)
    if not 0 < total <= devices.ROWS_PER_DOCUMENT:
        return None
    return devices.device_schedule_pdf(building, parts, prepared_by=by, now=now)


def _zone_schedule(building, by, now):
    rows = zones.rows_of(building)
    return zones.zone_schedule_pdf(building, rows, prepared_by=by, now=now) if rows else None


def _design_check(building, by, now):
    checked = checked_building(building)
    if len(checked.all_findings) > FINDINGS_PER_DOCUMENT:
        return None
    return building_report_pdf(checked, prepared_by=by, now=now)


def _cause_and_effect(panel, by, now):
    read = panel_logic(panel)
    try:
        proof = proof_page(read)
    except RuleSetError:
        proof = None
    return cause_and_effect_pdf(panel, read, proof, legend=LEGEND, prepared_by=by, now=now)


def _commissioning_plan(panel, by, now):
    try:
        return plan_pdf(panel, panel_plan(panel), caution=CAUTION, prepared_by=by, now=now)
    except RuleSetError:
        return None


def _settings(panel, by, now):
    return settings_sheet_pdf(settings_sheet(panel), prepared_by=by, now=now)


def _visit_report(visit, by, now):
    is_long = visit.test_points.count() > ROWS_PER_DOCUMENT
    return None if is_long else visit_report_pdf(visit, prepared_by=by, now=now)


def _label_sheet(job, by, now):
    sheets = device_sheets_of(job)
    return labels_pdf(sheets, now=now) if sheets else None


OF_PANEL = {
    "zone-overview": Composed("Zone overview", Folder.DRAWINGS, _drawing("zone-overview")),
    "wiring-diagram": Composed("Wiring diagram", Folder.DRAWINGS, _drawing("wiring-diagram")),
    "terminal-schedule": Composed("Terminal schedule", Folder.SCHEDULES, _schedule(wiring_schedules.terminal_schedule)),
    "cause-and-effect": Composed("Cause-and-effect matrix", Folder.CAUSE_AND_EFFECT, _cause_and_effect),
    "commissioning-plan": Composed("Commissioning plan", Folder.CAUSE_AND_EFFECT, _commissioning_plan),
    "settings-sheet": Composed("Settings sheet", Folder.SETTINGS, _settings),
}
OF_BUILDING = {
    "device-schedule": Composed("Device schedule", Folder.SCHEDULES, _device_schedule),
    "zone-schedule": Composed("Zone schedule", Folder.SCHEDULES, _zone_schedule),
    "cable-schedule": Composed("Cable schedule", Folder.SCHEDULES, _schedule(wiring_schedules.cable_schedule)),
    "end-of-line-schedule": Composed(
        "End-of-line schedule", Folder.SCHEDULES, _schedule(wiring_schedules.end_of_line_schedule)
    ),
    "design-check": Composed("Design check", Folder.SCHEDULES, _design_check),
}
OF_VISIT = {"visit-report": Composed("Visit report", Folder.CERTIFICATES, _visit_report)}
OF_JOB = {"label-sheet": Composed("Label sheet, devices", Folder.LABELS, _label_sheet)}
PAPERS = OF_PANEL | OF_BUILDING | OF_VISIT | OF_JOB


def papers_to_compose(hand_over):
    """[(key with the record's own key, title, folder, slug for the file name), …] of a hand-over; two queries."""
    building = hand_over.building
    visits = Visit.objects.finished().filter(job=hand_over.job).order_by("finished_at", "pk")
    panels = list(building.panels.select_related("position").order_by("position__tag_key"))
    rows = [
        (f"visit-report:{visit.pk}", f"{OF_VISIT['visit-report'].title}, {visit.get_kind_display()}",
         Folder.CERTIFICATES, f"visit report {visit.pk}")
        for visit in visits
    ]  # fmt: skip
    for key, paper in OF_PANEL.items():
        rows += [
            (f"{key}:{panel.pk}", f"{paper.title} {panel.tag}", paper.folder, f"{paper.title} {panel.tag}")
            for panel in panels
        ]
    rows += [(f"{key}:{building.pk}", paper.title, paper.folder, paper.title) for key, paper in OF_BUILDING.items()]
    return rows + [(f"{key}:{hand_over.job_id}", paper.title, paper.folder, "labels") for key, paper in OF_JOB.items()]


def compose_paper(hand_over, paper):
    """The bytes of the paper of this key as the records stand now, or None where there is nothing to show."""
    key, _, pk = paper.partition(":")
    building = hand_over.building
    if key in OF_PANEL:
        owner = building.panels.select_related("building__client", "position").get(pk=pk)
    elif key in OF_JOB:
        owner = hand_over.job
    else:
        visits = Visit.objects.filter(building=building).select_related("building__client", "protocol", "engineer")
        owner = visits.get(pk=pk) if key in OF_VISIT else building
    return PAPERS[key].compose(owner, hand_over.handed_over_by, timezone.now())


def hand_over_list_pdf(hand_over):
    """What was handed over, with digests, and what was not there; only the receipt is added later."""
    local = timezone.localtime(hand_over.handed_over_at)
    title_block = TitleBlock(
        title="Hand-over list", subtitle=hand_over.job.number, number=f"hand-over-{hand_over.pk}",
        building=hand_over.building.name, client=hand_over.building.client.name, issued_on=local.date(),
        revision=f"as of {local:%H:%M}", prepared_by=hand_over.handed_over_by.full_name,
        address=settings.PUBLIC_URL + hand_over.get_absolute_url(),
    )  # fmt: skip
    context = {"hand_over": hand_over, "building": hand_over.building, "files": list(hand_over.files.put_together())}
    return render_pdf(
        "inspections/hand_overs/hand_over_list_paper.html",
        context,
        title_block=title_block,
        created_at=hand_over.handed_over_at,
    )
