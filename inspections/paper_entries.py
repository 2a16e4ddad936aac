"""The papers of visits, and of records with what visits found: an entry for each, in the registry of papers."""

from inspections.certificates.papers import certificate_asked_for
from inspections.commissioning.document import plan_asked_for
from inspections.defects.document import sheet_asked_for
from inspections.defects.quotation import quotation_asked_for
from inspections.hand_overs.document import list_asked_for
from inspections.hand_overs.fire_safety_information import checklist_asked_for
from inspections.hand_overs.whole_file import file_asked_for
from inspections.log_book.document import extract_asked_for
from inspections.models import Certificate, Defect, HandOver, Visit
from inspections.sign_offs.document import notice_asked_for
from inspections.visit_pages import report
from inspections.visit_pages.method_statement import statement_asked_for
from inspections.wiring_schedules import document as wiring
from sites_registry.access import STAFF_ROLES
from sites_registry.documents.papers import BUILDING, File, Paper, Subject
from zones.paper_entries import PANEL

VISIT = Subject(
    word="visit",
    address="visits/<int:pk>/",
    lookup="pk",
    records=lambda person: Visit.objects.visible_to(person).with_building(),
)
CERTIFICATE = Subject(
    word="certificate",
    address="certificates/<slug:number>/",
    lookup="number",
    records=lambda person: Certificate.objects.visible_to(person).with_building(),
)
DEFECT = Subject(
    word="defect",
    address="defects/<int:pk>/",
    lookup="pk",
    records=lambda person: Defect.objects.visible_to(person).for_detail(),
)
HAND_OVER = Subject(
    word="hand-over",
    address="hand-overs/<int:pk>/",
    lookup="pk",
    records=lambda person: HandOver.objects.visible_to(person).with_people().exclude(handed_over_at=None),
)

PAPERS = (
    Paper(
        key="terminal-schedule",
        title="Terminal schedule",
        holds="Block, terminal, function, core, cable, far end, a box to tick.",
        of=PANEL,
        page="terminal-schedule",
        files=(File(make=wiring.schedule_asked_for(wiring.terminal_schedule)),),
        folder="schedules",
        filed=50,
    ),
    Paper(
        key="cable-schedule",
        title="Cable schedule",
        holds="Type, cores, length, route and spare cores of every cable.",
        of=BUILDING,
        page="cable-schedule",
        files=(File(make=wiring.schedule_asked_for(wiring.cable_schedule)),),
        folder="schedules",
        filed=70,
    ),
    Paper(
        key="end-of-line-schedule",
        title="End-of-line schedule",
        holds="The end-of-line resistor or module of every line and output.",
        of=BUILDING,
        page="end-of-line-schedule",
        files=(File(make=wiring.schedule_asked_for(wiring.end_of_line_schedule)),),
        folder="schedules",
        filed=80,
    ),
    Paper(
        key="commissioning-plan",
        title="Commissioning plan",
        holds="Every input, effect and monitored line as a test, in walking order.",
        of=PANEL,
        page="panel-commissioning-plan",
        files=(File(make=plan_asked_for, url_name="panel-commissioning-plan-pdf"),),
        folder="cause_and_effect",
        filed=110,
    ),
    Paper(
        key="log-book",
        title="Log book",
        holds="What was reported, tested and done, entry by entry.",
        of=BUILDING,
        page="log-book",
        files=(File(make=extract_asked_for),),
        folder="other",
        filed=150,
    ),
    Paper(
        key="remedial-quotation",
        title="Quotation for remedial work",
        holds="Open defects by class, with place, proposed remedy and lines for the prices.",
        of=BUILDING,
        files=(File(make=quotation_asked_for),),
        roles=STAFF_ROLES,
        filed=152,
    ),
    Paper(
        key="fire-safety-information",
        title="Fire-safety information",
        holds="A checklist for hand-over that names what is not there.",
        of=BUILDING,
        files=(File(make=checklist_asked_for),),
        folder="other",
        filed=145,
    ),
    Paper(
        key="method-statement",
        title="Method statement and permit",
        of=VISIT,
        files=(File(make=statement_asked_for, url_name="method-statement", address="method-statement.pdf"),),
        filed=4,
    ),
    Paper(
        key="visit-report",
        title="Visit report",
        of=VISIT,
        files=(
            File(make=report.report_asked_for, url_name="visit-report", address="report.pdf"),
            File(
                make=report.spreadsheet_asked_for,
                url_name="visit-report-spreadsheet",
                address="report.xlsx",
                extension="xlsx",
            ),
        ),
        words="visit report",
        folder="certificates",
        filed=1,
    ),
    Paper(
        key="impairment-notice",
        title="Notice of impairment",
        of=VISIT,
        files=(File(make=notice_asked_for, url_name="impairment-notice", address="notice.pdf"),),
        folder="certificates",
        filed=3,
    ),
    Paper(
        key="defect-sheet",
        title="Defect",
        of=DEFECT,
        files=(File(make=sheet_asked_for, address="defect.pdf"),),
        filed=155,
    ),
    Paper(
        key="certificate",
        title="Certificate",
        of=CERTIFICATE,
        files=(File(make=certificate_asked_for, url_name="certificate-pdf", address="pdf/"),),
        filed=2,
    ),
    Paper(
        key="hand-over-list",
        title="Hand-over list",
        of=HAND_OVER,
        files=(File(make=list_asked_for, url_name="hand-over-list", address="list.pdf"),),
        filed=160,
    ),
    Paper(
        key="hand-over-file",
        title="Hand-over file",
        of=HAND_OVER,
        files=(File(make=file_asked_for, address="file.pdf"),),
        filed=161,
    ),
)
