"""Addresses of visits, defects, certificates and log books, and of the pages that need all three apps."""

from django.urls import path

from inspections.documents.drawings import DRAWINGS
from inspections.views import (
    as_installed,
    certificates,
    defects,
    design_reports,
    drawings,
    field,
    find,
    home,
    jobs,
    log_book,
    materials,
    overview,
    protocols,
    schedules,
    swaps,
    verify,
    visit_reports,
    visit_work,
    visits,
)

urlpatterns = [
    path("", home.home, name="home"),
    path("due/", home.due_list, name="due-list"),
    path("find/", find.find, name="find"),
    path("buildings/<slug:slug>/", overview.building_detail, name="building-detail"),
    path("buildings/<slug:slug>/schedules/", schedules.schedule_list, name="schedule-list"),
    path("buildings/<slug:slug>/device-schedule.pdf", schedules.device_schedule_pdf, name="device-schedule-pdf"),
    path("buildings/<slug:slug>/device-schedule.xlsx", schedules.device_schedule_xlsx, name="device-schedule-xlsx"),
    path("buildings/<slug:slug>/zone-schedule.pdf", schedules.zone_schedule_pdf, name="zone-schedule-pdf"),
    path("buildings/<slug:slug>/zone-schedule.xlsx", schedules.zone_schedule_xlsx, name="zone-schedule-xlsx"),
    path("panels/<int:pk>/design-check.pdf", design_reports.panel_design_report, name="panel-design-check-report"),
    path(
        "buildings/<slug:slug>/design-check.pdf",
        design_reports.building_design_report,
        name="building-design-check-report",
    ),
    *[
        each
        for kind in DRAWINGS
        for each in (
            path(f"panels/<int:pk>/{kind}/", drawings.drawing_page, {"kind": kind}, name=kind),
            path(f"panels/<int:pk>/{kind}.svg", drawings.drawing_as_svg, {"kind": kind}, name=f"{kind}-svg"),
            path(f"panels/<int:pk>/{kind}.pdf", drawings.drawing_as_pdf, {"kind": kind}, name=f"{kind}-pdf"),
        )
    ],
    path("buildings/<slug:slug>/as-installed/", as_installed.RevisionList.as_view(), name="as-installed-list"),
    path("buildings/<slug:slug>/as-installed/new/", as_installed.RevisionCreate.as_view(), name="as-installed-create"),
    path("buildings/<slug:slug>/as-installed/changes/", as_installed.changes, name="as-installed-changes"),
    path("buildings/<slug:slug>/as-installed/changes.pdf", as_installed.changes_pdf, name="as-installed-changes-pdf"),
    # jobs
    path("jobs/<slug:number>/", jobs.JobDetail.as_view(), name="job-detail"),
    path("jobs/<slug:number>/material-list/", materials.job_materials, name="job-materials"),
    path("jobs/<slug:number>/material-list.pdf", materials.job_materials_pdf, name="job-materials-pdf"),
    path("jobs/<slug:number>/material-list.xlsx", materials.job_materials_xlsx, name="job-materials-xlsx"),
    path("jobs/<slug:number>/close/", jobs.JobClose.as_view(), name="job-close"),
    # visits
    path("visits/", visits.VisitList.as_view(), name="visit-list"),
    path("visits/new/", visits.VisitCreate.as_view(), name="visit-create"),
    path("visits/<int:pk>/", visits.visit_detail, name="visit-detail"),
    path("visits/<int:pk>/change/", visits.VisitUpdate.as_view(), name="visit-update"),
    path("visits/<int:pk>/call-off/", visits.VisitCallOff.as_view(), name="visit-call-off"),
    path("visits/<int:pk>/start/", visit_work.visit_start, name="visit-start"),
    path("visits/<int:pk>/positions/", visit_work.visit_positions_add, name="visit-positions-add"),
    path("visits/<int:pk>/finish/", visit_work.VisitFinish.as_view(), name="visit-finish"),
    path("visits/<int:pk>/report.pdf", visit_reports.visit_report, name="visit-report"),
    path("visits/<int:pk>/report.xlsx", visit_reports.visit_report_spreadsheet, name="visit-report-spreadsheet"),
    path("visits/<int:pk>/answers/", field.visit_answers, name="visit-answers"),
    path("visits/<int:pk>/field/", field.visit_field, name="visit-field"),
    path("visits/<int:pk>/field/<int:position_pk>/", field.visit_field_position, name="visit-field-position"),
    path("visits/<int:pk>/field/<int:position_pk>/swap/", swaps.VisitSwap.as_view(), name="visit-swap"),
    # defects
    path("defects/", defects.DefectList.as_view(), name="defect-list"),
    path("defects/<int:pk>/", defects.defect_detail, name="defect-detail"),
    path("defects/<int:pk>/change/", defects.DefectUpdate.as_view(), name="defect-update"),
    # protocols
    path("protocols/", protocols.ProtocolList.as_view(), name="protocol-list"),
    path("protocols/install/", protocols.protocol_install, name="protocol-install"),
    path("protocols/<int:pk>/", protocols.protocol_detail, name="protocol-detail"),
    path("protocols/<int:pk>/change/", protocols.ProtocolUpdate.as_view(), name="protocol-update"),
    path("protocols/<int:pk>/draft/", protocols.protocol_draft, name="protocol-draft"),
    path("protocols/<int:pk>/publish/", protocols.protocol_publish, name="protocol-publish"),
    path("protocols/<int:pk>/checks/new/", protocols.ProtocolCheckCreate.as_view(), name="protocol-check-create"),
    path("protocols/checks/<int:pk>/", protocols.ProtocolCheckUpdate.as_view(), name="protocol-check-update"),
    path("protocols/checks/<int:pk>/remove/", protocols.protocol_check_remove, name="protocol-check-remove"),
    # log book
    path("buildings/<slug:slug>/log-book/", log_book.LogBook.as_view(), name="log-book"),
    path("buildings/<slug:slug>/log-book.csv", log_book.log_book_csv, name="log-book-csv"),
    path("buildings/<slug:slug>/log-book/print/", log_book.log_book_print, name="log-book-print"),
    path("buildings/<slug:slug>/log-book/new/", log_book.LogEntryCreate.as_view(), name="log-entry-create"),
    path("buildings/<slug:slug>/log-book/<int:pk>/", log_book.log_entry_detail, name="log-entry-detail"),
    path("buildings/<slug:slug>/log-book/<int:pk>/end/", log_book.LogEntryEnd.as_view(), name="log-entry-end"),
    path(
        "buildings/<slug:slug>/log-book/<int:pk>/correct/",
        log_book.LogEntryCorrect.as_view(),
        name="log-entry-correct",
    ),
    path("certificates/", certificates.CertificateList.as_view(), name="certificate-list"),
    path("certificates/<slug:number>/", certificates.certificate_detail, name="certificate-detail"),
    path("certificates/<slug:number>/pdf/", certificates.certificate_pdf, name="certificate-pdf"),
    path("certificates/<slug:number>/revoke/", certificates.certificate_revoke, name="certificate-revoke"),
    path("visits/<int:visit_pk>/certificate/", certificates.certificate_issue, name="certificate-issue"),
    path("c/<str:token>/", verify.certificate_check, name="certificate-check"),
]
