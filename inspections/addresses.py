"""Addresses of visits, defects, certificates and log books, and of the pages that need all three apps."""

from django.urls import path

from inspections.approvals import views as approvals
from inspections.calendars import views as calendars
from inspections.certificates.views import certificates, public
from inspections.commissioning import views as commissioning
from inspections.competence import views as competence
from inspections.defects import views as defects
from inspections.finding import views as find
from inspections.hand_overs import views as hand_overs
from inspections.home import views as home
from inspections.instruments import views as instruments
from inspections.jobs import views as jobs
from inspections.log_book import views as log_book
from inspections.open_records import views as open_records
from inspections.overview.views import building as overview
from inspections.overview.views import buildings, runs, units
from inspections.papers import views as schedules
from inspections.photos.views import pages as photos
from inspections.photos.views import phone as photos_of_phone
from inspections.protocols import views as protocols
from inspections.reading_links import reading
from inspections.reading_links import views as reading_links
from inspections.settings_found import views as settings_found
from inspections.standing_matters import views as standing_matters
from inspections.taken_along import views as taken_along
from inspections.trends import views as trends
from inspections.verification import views as verification
from inspections.visit_pages.views import instruments as visit_instruments
from inspections.visit_pages.views import visits
from inspections.visit_pages.views import work as visit_work
from inspections.visits.views import field, find_in_visit, swaps
from inspections.visits.views.floor_plans import visit_floor_plan
from inspections.wiring_schedules import views as wiring_schedules
from zones.as_installed import views as as_installed
from zones.drawings import views as drawings
from zones.drawings.document import DRAWINGS
from zones.labels import views as labels
from zones.materials import views as materials

urlpatterns = [
    path("", home.home, name="home"),
    path("due/", home.due_list, name="due-list"),
    path("find/", find.find, name="find"),
    # calendar
    path("calendar/", calendars.calendar_page, name="calendar"),
    path("calendar/register.ics", calendars.calendar_file, name="calendar-file"),
    path("calendar/address/", calendars.calendar_link_make, name="calendar-link-make"),
    path("calendar/address/take-away/", calendars.calendar_link_take_away, name="calendar-link-take-away"),
    path("calendar/<slug:secret>/register.ics", calendars.calendar_read, name="calendar-read"),
    path("buildings/", buildings.BuildingStateList.as_view(), name="building-list"),
    path("buildings/within-limits.json", buildings.building_limits, name="building-limits"),
    path("buildings/<slug:slug>/", overview.building_detail, name="building-detail"),
    path("buildings/<slug:slug>/particulars/", overview.building_particulars, name="building-particulars"),
    path("buildings/<slug:slug>/visits/", visits.BuildingVisits.as_view(), name="building-visits"),
    path("buildings/<slug:slug>/defects/", defects.BuildingDefects.as_view(), name="building-defects"),
    path("buildings/<slug:slug>/schedules/", schedules.schedule_list, name="schedule-list"),
    # open formats
    path("buildings/<slug:slug>/open-formats/", open_records.building_records, name="building-records"),
    path("buildings/<slug:slug>/records.json", open_records.building_records_json, name="building-records-json"),
    path("buildings/<slug:slug>/lists-for-operation.xlsx", open_records.building_workbook, name="building-workbook"),
    path("buildings/<slug:slug>/building.ifc", open_records.building_ifc, name="building-ifc"),
    path("schemas/building-records-1.json", open_records.building_records_schema, name="building-records-schema"),
    path("building-files/", open_records.BuildingFileCreate.as_view(), name="building-file-create"),
    path("building-files/<int:pk>/", open_records.building_file_detail, name="building-file-detail"),
    path("building-files/<int:pk>/take-over/", open_records.building_file_take_over, name="building-file-take-over"),
    path("building-files/<int:pk>/throw-away/", open_records.building_file_discard, name="building-file-discard"),
    path("units/<int:pk>/", units.unit_detail, name="unit-detail"),
    path("positions/<int:pk>/", trends.position_detail, name="position-detail"),
    path("at/<int:pk>/", find_in_visit.position_at, name="position-at"),
    path("product-models/<int:pk>/trends/", trends.product_model_trends, name="product-model-trends"),
    path("circuits/<int:pk>/", runs.circuit_detail, name="circuit-detail"),
    path("lines/<int:pk>/", runs.line_detail, name="line-detail"),
    path("panels/<int:pk>/terminal-schedule/", wiring_schedules.terminal_schedule, name="terminal-schedule"),
    path("buildings/<slug:slug>/cable-schedule/", wiring_schedules.cable_schedule, name="cable-schedule"),
    path(
        "buildings/<slug:slug>/end-of-line-schedule/",
        wiring_schedules.end_of_line_schedule,
        name="end-of-line-schedule",
    ),
    *[path(f"panels/<int:pk>/{kind}/", drawings.drawing_page, {"kind": kind}, name=kind) for kind in DRAWINGS],
    path("buildings/<slug:slug>/labels/", labels.label_page, name="label-list"),
    path("buildings/<slug:slug>/as-installed/", as_installed.RevisionList.as_view(), name="as-installed-list"),
    path("buildings/<slug:slug>/as-installed/new/", as_installed.RevisionCreate.as_view(), name="as-installed-create"),
    path("buildings/<slug:slug>/as-installed/changes/", as_installed.changes, name="as-installed-changes"),
    path("buildings/<slug:slug>/as-installed/<int:number>/", approvals.revision_detail, name="as-installed-revision"),
    *[
        path(f"buildings/<slug:slug>/as-installed/<int:number>/{word}/", page.as_view(), name=f"as-installed-{word}")
        for word, page in approvals.PAGES.items()
    ],
    path(
        "panels/<int:pk>/commissioning-plan/", commissioning.panel_commissioning_plan, name="panel-commissioning-plan"
    ),
    path("visits/<int:pk>/plan/", commissioning.visit_plan, name="visit-plan"),
    path("visits/<int:pk>/plan/take/", commissioning.visit_plan_take, name="visit-plan-take"),
    # jobs
    path("jobs/<slug:number>/", jobs.JobDetail.as_view(), name="job-detail"),
    path("jobs/<slug:number>/material-list/", materials.job_materials, name="job-materials"),
    path("jobs/<slug:number>/what-stands/", standing_matters.WhatStandsPage.as_view(), name="job-standing"),
    path("accepted/<int:pk>/take-back/", standing_matters.acceptance_take_back, name="acceptance-take-back"),
    path("jobs/<slug:number>/close/", jobs.JobClose.as_view(), name="job-close"),
    path("jobs/<slug:number>/hand-over/", hand_overs.HandOverCreate.as_view(), name="hand-over-create"),
    # hand-overs
    path("hand-overs/<int:pk>/", hand_overs.hand_over_detail, name="hand-over-detail"),
    path("hand-overs/<int:pk>/put-together/", hand_overs.hand_over_put_together, name="hand-over-put-together"),
    path("hand-overs/<int:pk>/all.zip", hand_overs.hand_over_archive, name="hand-over-archive"),
    path("hand-overs/<int:pk>/receipt/", hand_overs.hand_over_receipt, name="hand-over-receipt"),
    path("hand-overs/<int:pk>/files/<int:file_pk>/", hand_overs.hand_over_file, name="hand-over-file"),
    # visits
    path("visits/", visits.VisitList.as_view(), name="visit-list"),
    path("visits/new/", visits.VisitCreate.as_view(), name="visit-create"),
    path("visits/<int:pk>/", visits.visit_detail, name="visit-detail"),
    path("visits/<int:pk>/change/", visits.VisitUpdate.as_view(), name="visit-update"),
    path("visits/<int:pk>/call-off/", visits.VisitCallOff.as_view(), name="visit-call-off"),
    path("visits/<int:pk>/start/", visit_work.visit_start, name="visit-start"),
    path("visits/<int:pk>/positions/", visit_work.visit_positions_add, name="visit-positions-add"),
    path("visits/<int:pk>/finish/", visit_work.VisitFinish.as_view(), name="visit-finish"),
    path("visits/<int:pk>/instruments/", visit_instruments.VisitInstruments.as_view(), name="visit-instruments"),
    path("visits/<int:pk>/answers/", field.visit_answers, name="visit-answers"),
    path("visits/<int:pk>/field/", field.visit_field, name="visit-field"),
    path("visits/<int:pk>/find/", find_in_visit.visit_find, name="visit-find"),
    path("visits/<int:pk>/floor-plans/<int:plan_pk>/", visit_floor_plan, name="visit-floor-plan"),
    path("visits/<int:pk>/field/<int:position_pk>/", field.visit_field_position, name="visit-field-position"),
    path("visits/<int:pk>/field/<int:position_pk>/last/", field.visit_field_last, name="visit-field-last"),
    path("visits/<int:pk>/field/<int:position_pk>/swap/", swaps.VisitSwap.as_view(), name="visit-swap"),
    path("visits/<int:pk>/taken-along/", taken_along.visit_taken_along, name="visit-taken-along"),
    path("visits/<int:pk>/taken-along/pages/", taken_along.visit_taken_pages, name="visit-taken-pages"),
    path("visits/<int:pk>/settings/<int:panel_pk>/", settings_found.VisitSettings.as_view(), name="visit-settings"),
    path(
        "visits/<int:pk>/settings/<int:panel_pk>/rest/", settings_found.visit_settings_rest, name="visit-settings-rest"
    ),
    path("settings-found/<int:pk>/take-over/", settings_found.setting_take_over, name="setting-take-over"),
    # photographs
    path("visits/<int:pk>/photos/", photos_of_phone.visit_photos, name="visit-photos"),
    path("visits/<int:pk>/photos/<uuid:client_uuid>/", photos_of_phone.visit_photo_part, name="visit-photo-part"),
    path("visits/<int:pk>/photos/new/", photos.PhotoCreate.as_view(), name="visit-photo-create"),
    path("defects/<int:pk>/photos/new/", photos.DefectPhotoCreate.as_view(), name="defect-photo-create"),
    *[
        path(f"photos/<int:pk>/{address}", photos.photo_picture, {"form": form}, name=f"photo-{form}")
        for form, address in (("shown", ""), ("file", "as-taken/"), ("small", "small/"))
    ],
    path("photos/<int:pk>/withdraw/", photos.PhotoWithdraw.as_view(), name="photo-withdraw"),
    # defects
    path("defects/", defects.DefectList.as_view(), name="defect-list"),
    path("defects/<int:pk>/", defects.defect_detail, name="defect-detail"),
    path("defects/<int:pk>/change/", defects.DefectUpdate.as_view(), name="defect-update"),
    # instruments, competence
    path("instruments/", instruments.InstrumentList.as_view(), name="instrument-list"),
    path("instruments/calibration-list.pdf", instruments.calibration_list, name="calibration-list"),
    path("instruments/new/", instruments.InstrumentCreate.as_view(), name="instrument-create"),
    path("instruments/<int:pk>/", instruments.instrument_detail, name="instrument-detail"),
    path("instruments/<int:pk>/change/", instruments.InstrumentUpdate.as_view(), name="instrument-update"),
    path("people/<int:pk>/training-record.pdf", competence.training_record, name="training-record"),
    path("people/<int:pk>/competence/", competence.person_competence, name="person-competence"),
    path("people/<int:pk>/competence/new/", competence.QualificationCreate.as_view(), name="qualification-create"),
    path("qualifications/<int:pk>/", competence.qualification_detail, name="qualification-detail"),
    path("qualifications/<int:pk>/change/", competence.QualificationUpdate.as_view(), name="qualification-update"),
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
    path("certificates.zip", certificates.certificate_bundle, name="certificate-bundle"),
    path("certificates/<slug:number>/", certificates.certificate_detail, name="certificate-detail"),
    path("certificates/<slug:number>/revoke/", certificates.certificate_revoke, name="certificate-revoke"),
    path("visits/<int:visit_pk>/certificate/", certificates.certificate_issue, name="certificate-issue"),
    path("c/<slug:token>/", public.certificate_check, name="certificate-check"),
    path("c/<slug:token>/file/", public.certificate_check_file, name="certificate-check-file"),
    path("c/<slug:token>/building/", public.certificate_check_building, name="certificate-check-building"),
    path("schemas/certificate-record-1.json", public.certificate_schema, name="certificate-schema"),
    path("evidence/", verification.verification_list, name="verification-list"),
    # reading links: made and withdrawn by people of the register, opened by others
    path(
        "certificates/<slug:number>/reading-links/new/",
        reading_links.CertificateLinkCreate.as_view(),
        name="certificate-link-create",
    ),
    path(
        "hand-overs/<int:pk>/reading-links/new/",
        reading_links.HandOverLinkCreate.as_view(),
        name="hand-over-link-create",
    ),
    path("reading-links/<int:pk>/", reading_links.reading_link_detail, name="reading-link-detail"),
    path("reading-links/<int:pk>/withdraw/", reading_links.reading_link_withdraw, name="reading-link-withdraw"),
    path("read/<slug:secret>/", reading.read_page, name="read-page"),
    path("read/<slug:secret>/certificate.pdf", reading.read_certificate, name="read-certificate"),
    path("read/<slug:secret>/file.pdf", reading.read_whole_file, name="read-whole-file"),
    path("read/<slug:secret>/all.zip", reading.read_archive, name="read-archive"),
    path("read/<slug:secret>/files/<int:file_pk>/", reading.read_file, name="read-file"),
]
