"""The visit report as PDF and as spreadsheet."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_GET

from inspections.visit_pages.report import ROWS_PER_DOCUMENT, visit_report_pdf, visit_report_xlsx
from inspections.visits.views.field import visit_of
from sites_registry.documents.base import file_name
from sites_registry.spreadsheets import XLSX_TYPE


@require_GET
def visit_report(request, pk):
    visit = visit_of(request, pk)
    if visit.test_points.count() > ROWS_PER_DOCUMENT:
        messages.error(request, "This visit has too many test points for one PDF. Take the spreadsheet.")
        return redirect(visit)
    content = visit_report_pdf(visit, prepared_by=visit.engineer or request.user, now=timezone.now())
    return _download(visit, content, "application/pdf", "pdf")


@require_GET
def visit_report_spreadsheet(request, pk):
    visit = visit_of(request, pk)
    return _download(visit, visit_report_xlsx(visit), XLSX_TYPE, "xlsx")


def _download(visit, content, media_type, extension):
    mark = f"{visit.planned_on:%Y-%m-%d}_{visit.pk}"
    name = file_name(visit.building, f"{visit.kind}-report", mark, extension)
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return HttpResponse(content, content_type=media_type, headers=headers)
