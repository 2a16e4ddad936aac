"""The whole building for other programs, and a building that comes from another register."""

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST, require_safe

from inspections.models import BuildingFile
from inspections.open_records.forms import LIMIT_MB, BuildingFileForm
from inspections.open_records.handover_workbook import handover_workbook
from inspections.open_records.ifc_model import NoLibrary, ifc_of
from inspections.open_records.ifc_model import is_there as ifc_library_is_there
from inspections.open_records.reading import NotTakenOver
from inspections.open_records.schema import PUBLISHED
from inspections.open_records.tables import LEFT_OUT
from inspections.open_records.taking_over import looked_at, stage, take_over
from inspections.open_records.writing import as_json, records_of
from sites_registry.access import Role, for_roles
from sites_registry.downloads import download, file_name
from sites_registry.models import Building
from sites_registry.spreadsheets import XLSX_TYPE
from sites_registry.views.base import FormPage

MOST_SHOWN = 20
MOST_NOTES = 50


def _building(request, slug):
    return get_object_or_404(Building.objects.visible_to(request.user).with_client(), slug=slug)


def _name(building, words, extension):
    return file_name(building, words, f"{timezone.localdate():%Y-%m-%d}", extension)


@for_roles(Role.OFFICE, Role.MANAGER)
@require_GET
def building_records(request, slug):
    """What each open format holds of the building, and what it does not."""
    context = {"building": _building(request, slug), "left_out": LEFT_OUT, "has_ifc": ifc_library_is_there()}
    return render(request, "inspections/open_records/building_records.html", context)


@for_roles(Role.OFFICE, Role.MANAGER)
@require_GET
def building_records_json(request, slug):
    building = _building(request, slug)
    content = as_json(records_of(building, by=request.user))
    return download(content, "application/json", _name(building, "records", "json"))


@for_roles(Role.OFFICE, Role.MANAGER)
@require_GET
def building_workbook(request, slug):
    building = _building(request, slug)
    content = handover_workbook(building, timezone.now())
    return download(content, XLSX_TYPE, _name(building, "lists-for-operation", "xlsx"))


@for_roles(Role.OFFICE, Role.MANAGER)
@require_GET
def building_ifc(request, slug):
    """The building as IFC 4; the page that says why where the library is not installed."""
    building = _building(request, slug)
    try:
        content = ifc_of(building)
    except NoLibrary:
        return redirect("building-records", slug)
    return download(content, "application/x-step", _name(building, "building", "ifc"))


@login_not_required
@require_safe
def building_records_schema(request):
    """The published schema of the file, for whoever writes a program that reads it."""
    return HttpResponse(PUBLISHED.read_bytes(), content_type="application/schema+json")


class BuildingFileCreate(FormPage):
    form_class = BuildingFileForm
    template_name = "inspections/open_records/building_file_form.html"
    heading = "Take a building over from a file"
    verb = "Show what it holds"

    def get_context(self, form):
        files = BuildingFile.objects.visible_to(self.request.user).without_content()
        files = files.select_related("building", "uploaded_by")[:MOST_SHOWN]
        return super().get_context(form) | {"files": files, "limit_mb": LIMIT_MB}

    def perform(self, form):
        file = form.cleaned_data["file"]
        return stage(name=file.name, content=file.read(), by=self.request.user)


def _file(request, pk):
    files = BuildingFile.objects.visible_to(request.user).select_related("building", "uploaded_by", "taken_over_by")
    return get_object_or_404(files, pk=pk)


@for_roles(Role.OFFICE)
@require_GET
def building_file_detail(request, pk):
    """What the file holds, what stands against it, what stays as it is here; or which building it became."""
    file = _file(request, pk)
    context = {"file": file}
    if file.building is None:
        try:
            read, found = looked_at(file)
        except NotTakenOver as refusal:
            context["faults"] = refusal.reasons
        else:
            context |= {
                "read": read,
                "faults": found.faults,
                "notes": found.notes[:MOST_NOTES],
                "more_notes": len(found.notes[MOST_NOTES:]),
                "written_at": read.written_at[:10],
            }
    return render(request, "inspections/open_records/building_file_detail.html", context)


@for_roles(Role.OFFICE)
@require_POST
def building_file_take_over(request, pk):
    file = _file(request, pk)
    try:
        building = take_over(file=file, by=request.user)
    except NotTakenOver as refusal:
        messages.error(request, f"Nothing was taken over. {refusal.reasons[0]}")
        return redirect(file)
    messages.success(request, f"{building} is in this register now. Name the managers who see it.")
    return redirect(building)


@for_roles(Role.OFFICE)
@require_POST
def building_file_discard(request, pk):
    """Throw away an upload that was not taken over; one that was stays."""
    file = _file(request, pk)
    if file.building is None:
        file.delete()
        messages.success(request, f"“{file.name}” was thrown away. Nothing of it was stored.")
    return redirect("building-file-create")
