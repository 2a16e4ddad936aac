"""The visit report: test record, defects, what was not reached (handbook process.md §6, rows 11 and 12).

Columns of the record: tag · test · expected · found · reading · unit · limit · last time · by · at.
"""

from dataclasses import dataclass
from datetime import datetime

from django.utils import timezone

from inspections.competence.needs import said_of_competence
from inspections.instruments.calibration import instruments_in_words
from inspections.models import Outcome
from inspections.photo_sheets import photo_sheet
from inspections.protocols.standards import cited_in_words, standards_of
from inspections.settings_found.compared import compared_on
from inspections.test_points.extent import asked_in_words
from inspections.test_points.missed import class_of_missed, missed_in_words, missed_on
from inspections.trends.of_visit import drifting, plots_of
from inspections.visit_pages.report_sheets import lead_of, sheets_of
from inspections.visits.contradictions import contradictions_of
from sites_registry.documents.base import TitleBlock
from sites_registry.documents.papers import Made, SeePage
from sites_registry.documents.typeset import typeset_pdf
from sites_registry.spreadsheets import Sheet, workbook_of
from sites_registry.words import storey_words

NOT_REACHED = (Outcome.NOT_ACCESSIBLE, Outcome.NOT_APPLICABLE)
# Above it one PDF takes more time and memory than a request has; the spreadsheet takes any number.
ROWS_PER_DOCUMENT = 3_000


@dataclass(frozen=True)
class TestedRow:
    """One test point as the record prints it."""

    tag: str
    serial: str
    place: str
    test: str
    expected: str
    hazards: tuple
    outcome: str
    found: str
    reading: object
    unit: str
    limit: str
    limit_source: str
    judged: str
    first: object
    first_on: object
    before: object
    before_on: object
    by: str
    at: datetime | None
    clock: str
    missed: str


def points_of(visit):
    """The test points of a visit, in walking order; one query for any number."""
    return (
        visit.test_points.select_related("position", "latest_result__recorded_by")
        .with_reading_before()
        .with_serial()
        .in_walking_order()
    )


def _row(point, times_missed):
    result, position = point.latest_result, point.position
    note = result and (result.remark or result.reason)
    words = result.get_outcome_display() if result else "no outcome"
    if point.is_contradicted:
        words += f", contradicted by {point.what_contradicts}"
    return TestedRow(
        tag=position.tag,
        serial=point.serial or "",
        place=_place(position),
        test=point.title,
        expected=point.expected,
        hazards=point.hazard_list,
        outcome=result.outcome if result else "untested",
        found=f"{words}: {note}" if note else words,
        reading=result and result.reading,
        unit=point.unit,
        limit=point.limits_text,
        limit_source=point.limit_source,
        judged=point.judged,
        first=point.first_reading,
        first_on=point.first_read_on,
        before=point.reading_before,
        before_on=point.reading_before_on,
        by=result.recorded_by.full_name if result else "",
        at=result and result.seen_at,
        clock=result.clock_words if result else "",
        missed=_class_of(times_missed),
    )


def _class_of(times_missed):
    """The class of a check that was not accessible, and why it rose: "minor", "degraded, as …"."""
    return missed_in_words(times_missed) or (class_of_missed(times_missed).label if times_missed else "")


def _place(position):
    return ", ".join(text for text in (storey_words(position.storey), position.room, position.place) if text)


def _context(visit):
    points = list(points_of(visit))
    missed = missed_on(visit, points)
    rows = [_row(point, missed.get(point.pk, 0)) for point in points]
    tested = [row for row in rows if row.outcome in (Outcome.PASS, Outcome.REMARK, Outcome.FAIL)]
    return {
        "visit": visit,
        "building": visit.building,
        "asked": asked_in_words(visit),
        "instruments": instruments_in_words(visit),
        "competence": said_of_competence(visit),
        "rows": rows,
        "tested": len(tested),
        "standards": standards_of(points),
        "not_reached": [row for row in rows if row.outcome in NOT_REACHED],
        "fails": sum(row.outcome == Outcome.FAIL for row in rows),
        "without_outcome": sum(row.outcome == "untested" for row in rows),
        "defects": list(visit.defects_found.select_related("position").with_closing().worst_first()),
        "closed": list(visit.building.defects.put_right_on(visit).exclude(found_on=visit).select_related("position")),
        "variations": list(visit.building.variations.standing()),
        "contradictions": contradictions_of(visit),
        "compared": [one for one in compared_on(visit) if one.entries],
        "drifting": drifting(visit, {point.position_id: point.position for point in points}),
    }


def visit_report_pdf(visit, *, prepared_by, now):
    """The report as an A4 landscape PDF; `now` an aware datetime."""
    title_block = TitleBlock.as_of(
        now,
        visit.building,
        title="Visit report",
        subtitle=visit.get_kind_display(),
        number=f"visit-{visit.pk}",
        prepared_by=prepared_by,
        address=visit.get_absolute_url(),
        landscape=True,
    )
    context = _context(visit)
    context["plots"] = plots_of(context["drifting"])
    context["sign_off"] = getattr(visit, "sign_off", None)
    context["photo_sheet"] = photo_sheet(list(visit.photos.standing().for_list().in_walking_order()))
    blocks, pictures = sheets_of(context)
    return typeset_pdf(
        "documents/blocks_paper.typ",
        {"heading": "Visit report", "lead": lead_of(visit), "blocks": blocks},
        title_block=title_block,
        created_at=now,
        pictures=pictures,
    )


RECORD_HEADINGS = (
    "Tag",
    "Serial",
    "Place",
    "Test",
    "Hazards",
    "Expected",
    "Found",
    "Reading",
    "Unit",
    "Limit",
    "Source of the limit",
    "Judged",
    "Last time",
    "Last time on",
    "By",
    "At",
    "Clock of the phone",
    "Class of what was not accessible",
)
DEFECT_HEADINGS = (
    "Number",
    "Tag",
    "Severity",
    "What is wrong",
    "Meanwhile",
    "Who was told",
    "Found at",
    "Closed at",
    "What was done",
    "State",
)
TREND_HEADINGS = (
    "Tag",
    "Test",
    "Reading",
    "Unit",
    "Limit",
    "Change a year",
    "Limit reached about",
    "Not before",
    "Not after",
    "Readings",
)
SETTING_HEADINGS = ("Panel", "Setting", "As left", "Answer", "Found", "Unit", "Why not seen", "Defect", "By", "At")
PHOTO_HEADINGS = ("Number", "Tag", "Of", "Before or after", "Caption", "Taken at", "By")
_WIDTHS = {
    "Setting": 40,
    "As left": 36,
    "Expected": 44,
    "Hazards": 24,
    "Found": 40,
    "Place": 32,
    "Test": 26,
    "What is wrong": 48,
    "Meanwhile": 36,
}


def visit_report_xlsx(visit):
    """The report as a workbook: visit, test record, not reached, defects."""
    context = _context(visit)
    defects = [*context["defects"], *(d for d in context["closed"] if d not in context["defects"])]
    sheets = [
        Sheet(title="Visit", headings=("", ""), rows=_visit_facts(context), usual_width=28, is_roomy=True),
        _sheet("Test record", RECORD_HEADINGS, map(_record_cells, context["rows"])),
        _sheet("Not reached", RECORD_HEADINGS, map(_record_cells, context["not_reached"])),
        _sheet("Defects", DEFECT_HEADINGS, map(_defect_cells, defects)),
    ]
    if context["drifting"]:
        sheets.append(_sheet("Trends", TREND_HEADINGS, map(_trend_cells, context["drifting"])))
    if context["compared"]:
        sheets.append(_sheet("Settings", SETTING_HEADINGS, _setting_rows(context["compared"])))
    if photos := list(visit.photos.standing().for_list().in_walking_order()):
        sheets.append(_sheet("Photographs", PHOTO_HEADINGS, map(_photo_cells, photos)))
    return workbook_of(*sheets)


def _visit_facts(context):
    visit = context["visit"]
    return [
        ("Building", visit.building.name),
        ("Client", visit.building.client.name),
        ("Visit", str(visit)),
        ("Kind", visit.get_kind_display()),
        ("State", visit.get_state_display()),
        ("Asked", context["asked"]),
        ("Date", visit.planned_on),
        ("Started", _moment(visit.started_at)),
        ("Finished", _moment(visit.finished_at)),
        ("Engineer", str(visit.engineer or "")),
        ("Protocol", str(visit.protocol or "")),
        ("Standards that checks cite", cited_in_words(context["standards"])),
        ("Witness", visit.witness),
        ("Instruments", context["instruments"]),
        ("Competence", "\n".join(sentence for _, sentence in context["competence"])),
        ("Test points", len(context["rows"])),
        ("Tested", context["tested"]),
        ("Fails", context["fails"]),
        ("Without an outcome", context["without_outcome"]),
    ]


def _record_cells(row):
    return (
        row.tag,
        row.serial,
        row.place,
        row.test,
        _hazard_words(row),
        row.expected,
        row.found,
        row.reading,
        row.unit,
        row.limit,
        row.limit_source,
        row.judged,
        row.before,
        row.before_on,
        row.by,
        _moment(row.at),
        row.clock,
        row.missed,
    )


def _trend_cells(one):
    point, crossing = one.newest, one.trend.crossing
    return (
        one.position.tag,
        point.title,
        point.latest_result.reading,
        point.unit,
        one.limits,
        one.change_a_year,
        crossing.expected,
        crossing.soonest,
        crossing.latest,
        one.trend.count,
    )


def _hazard_words(row):
    return ", ".join(one.words for one in row.hazards)


def _defect_cells(defect):
    return (
        defect.pk,
        defect.position.tag if defect.position else "",
        defect.get_severity_display(),
        defect.description,
        defect.interim_measure,
        defect.told_to,
        _moment(defect.found_at),
        _moment(defect.closed_at),
        defect.closing_note,
        defect.state_words,
    )


def _setting_rows(compared):
    for one in compared:
        for entry in one.entries:
            yield (
                one.panel.tag,
                entry.name,
                entry.value_left,
                entry.get_answer_display(),
                entry.found,
                entry.unit,
                entry.reason,
                entry.defect_id,
                entry.recorded_by.full_name,
                _moment(entry.recorded_at),
            )


def _photo_cells(photo):
    position = photo.at_position
    return (
        photo.pk,
        position.tag if position else "",
        photo.of_words,
        photo.stage,
        photo.caption,
        _moment(photo.taken_at),
        photo.taken_by.full_name,
    )


def _moment(moment):
    return timezone.localtime(moment).replace(tzinfo=None) if moment else None  # spreadsheets know no time zone


def _sheet(title, headings, rows):
    return Sheet(
        title=title,
        headings=headings,
        rows=rows,
        widths=_WIDTHS,
        usual_width=18,
        freeze="B2",
        is_roomy=True,
    )


def report_asked_for(visit, asked):
    if visit.test_points.count() > ROWS_PER_DOCUMENT:
        sentence = "This visit has too many test points for one PDF. Take the spreadsheet."
        raise SeePage(visit.get_absolute_url(), sentence)
    return _named(visit, visit_report_pdf(visit, prepared_by=visit.engineer or asked.by, now=asked.now))


def spreadsheet_asked_for(visit, asked):
    return _named(visit, visit_report_xlsx(visit))


def _named(visit, content):
    return Made(content, words=f"{visit.kind}-report", mark=f"{visit.planned_on:%Y-%m-%d}_{visit.pk}")
