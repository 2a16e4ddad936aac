"""Import of a device list, page by page: choose the file, confirm the columns, look at the preview, import."""

from django.conf import settings
from django.contrib import messages
from django.core.paginator import Paginator
from django.db import IntegrityError
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST
from django_htmx.http import HttpResponseClientRedirect

from sites_registry.access import Role, for_roles
from sites_registry.downloads import download, file_name
from sites_registry.models import Building
from sites_registry.services.refusals import Refused
from sites_registry.services.submissions import led_to, remember, submission_key_of
from sites_registry.spreadsheets import CSV_TYPE, XLSX_TYPE
from zones.device_lists import exporting, staging
from zones.device_lists.faulty_rows import faulty_rows_csv
from zones.device_lists.forms import ColumnsForm, DeviceListForm, TableForm
from zones.device_lists.reading import check_size
from zones.device_lists.rows import Effect
from zones.models import ImportRun

ROWS_PER_PAGE = 100
State = ImportRun.State


def _building(request, slug):
    return get_object_or_404(Building.objects.visible_to(request.user).with_client(), slug=slug)


def _run(request, slug, pk, *, with_tables=True):
    runs = ImportRun.objects.visible_to(request.user).filter(building__in=Building.objects.visible_to(request.user))
    runs = runs.select_related("building__client", "started_by", "applied_by")
    return get_object_or_404(runs if with_tables else runs.defer("sheets"), building__slug=slug, pk=pk)


@for_roles(Role.OFFICE)
@require_http_methods(["GET", "POST"])
def device_list_import(request, slug):
    """Choose the file; below, the lists imported before and those begun."""
    building = _building(request, slug)
    form = DeviceListForm(request.POST or None, request.FILES or None)
    if request.method == "POST":
        form = DeviceListForm(request.POST, request.FILES)
        key = submission_key_of(request)
        if url := led_to(key=key, person=request.user):
            return redirect(url)
        if form.is_valid() and (run := _stage(form, building, request.user)):
            try:
                remember(key=key, person=request.user, led_to=run.get_absolute_url())
            except IntegrityError:  # the same form, sent twice at the same moment
                staging.discard_run(run=run)
                return redirect(led_to(key=key, person=request.user) or request.path)
            return redirect(run)
    runs = building.import_runs.visible_to(request.user).without_tables().select_related("started_by", "building")
    context = {"building": building, "form": form, "runs": runs[:20], "limit_mb": settings.UPLOAD_LIMIT_MB}
    return render(request, "zones/device_lists/device_list_import.html", context, status=422 if form.errors else 200)


def _stage(form, building, person):
    file = form.cleaned_data["file"]
    try:
        check_size(file.name, file.size, settings.UPLOAD_LIMIT_MB)
        return staging.stage_file(building=building, name=file.name, content=file.read(), by=person)
    except Refused as refusal:
        form.add_error("file", refusal.reasons)


@for_roles(Role.OFFICE)
@require_GET
def import_run_detail(request, slug, pk):
    """Where this import stands: on to its columns, its progress, its preview, or what it did."""
    run = _run(request, slug, pk, with_tables=False)
    if run.state == State.MAPPING:
        return redirect("import-run-columns", slug, pk)
    if run.state == State.CHECKING:
        return render(request, "zones/device_lists/import_run_check.html", {"building": run.building, "run": run})
    return render(request, "zones/device_lists/import_run_detail.html", _preview(request, run))


def _preview(request, run):
    counts = staging.counts_of(run.results)
    show = request.GET.get("show", "")
    if show not in counts:
        show = Effect.FAULTY.value if counts[Effect.FAULTY] and "show" not in request.GET else ""
    shown = [result for result in run.results if not show or result["effect"] == show]
    changing = sum(counts[effect] for effect in (Effect.NEW, Effect.CHANGED, Effect.SWAP))
    made = staging.made_by(run.results)
    return {
        "building": run.building,
        "run": run,
        "counts": counts,
        "show": show,
        "changing": changing,
        "total": len(run.results),
        "made": made[:60],
        "made_more": len(made[60:]),
        "page": Paginator(shown, ROWS_PER_PAGE).get_page(request.GET.get("page")),
        "may_import": run.state == State.CHECKED and changing and not counts[Effect.FAULTY],
        "is_applied": run.state == State.APPLIED,
    }


@for_roles(Role.OFFICE)
@require_http_methods(["GET", "POST"])
def import_run_columns(request, slug, pk):
    """What each column is; correctable until the list is imported."""
    run = _run(request, slug, pk)
    form = ColumnsForm(request.POST or None, run=run)
    if request.method == "POST" and form.is_valid():
        try:
            staging.confirm_columns(run=run, keys=form.keys())
        except Refused as refusal:
            form.add_error(None, refusal.reasons)
        else:
            return redirect(run)
    elif run.state == State.APPLIED:
        return redirect(run)
    return _show_columns(request, run, form, TableForm(run=run))


@for_roles(Role.OFFICE)
@require_POST
def import_run_table(request, slug, pk):
    """Another sheet or heading row."""
    run = _run(request, slug, pk)
    form = TableForm(request.POST, run=run)
    if form.is_valid():
        try:
            staging.choose_table(
                run=run, sheet_index=form.cleaned_data["sheet"], header_row=form.cleaned_data["header_row"]
            )
        except Refused as refusal:
            form.add_error("header_row", refusal.reasons)
        else:
            return redirect("import-run-columns", slug, pk)
    return _show_columns(request, run, ColumnsForm(run=run), form)


def _show_columns(request, run, form, table_form):
    context = {"building": run.building, "run": run, "form": form, "table_form": table_form}
    status = 422 if form.errors or table_form.errors else 200
    return render(request, "zones/device_lists/import_run_columns.html", context, status=status)


@for_roles(Role.OFFICE)
@require_POST
def import_run_check(request, slug, pk):
    """The next rows when the page asks for them piece by piece; all that remain when a plain form does."""
    run = _run(request, slug, pk)
    if not request.htmx:
        staging.check_rows(run=run, limit=None)
        return redirect(run)
    run = staging.check_rows(run=run)
    if run.state != State.CHECKING:
        return HttpResponseClientRedirect(run.get_absolute_url())
    return render(request, "zones/device_lists/import_progress.html", {"building": run.building, "run": run})


@for_roles(Role.OFFICE)
@require_POST
def import_run_again(request, slug, pk):
    """Check the list anew against the register as it is now."""
    run = _run(request, slug, pk)
    staging.check_again(run=run)
    return redirect(run)


@for_roles(Role.OFFICE)
@require_POST
def import_run_apply(request, slug, pk):
    run = _run(request, slug, pk)
    was_applied = run.state == State.APPLIED
    try:
        run = staging.apply_run(run=run, by=request.user)
    except Refused as refusal:
        for reason in refusal.reasons:
            messages.error(request, reason)
    else:
        if not was_applied:
            messages.success(request, f"Imported: {run.file_name}.")
    return redirect(run)


@for_roles(Role.OFFICE)
@require_POST
def import_run_discard(request, slug, pk):
    run = _run(request, slug, pk, with_tables=False)
    try:
        staging.discard_run(run=run)
    except Refused as refusal:
        messages.error(request, refusal.reasons[0])
        return redirect(run)
    messages.success(request, f"Discarded: {run.file_name}. Nothing of the building was changed.")
    return redirect("device-list-import", slug)


@for_roles(Role.OFFICE)
@require_GET
def import_run_faults(request, slug, pk):
    """The faulty rows as a list to correct: their own columns, and what is wrong."""
    run = _run(request, slug, pk)
    name = file_name(run.building, "device list faulty rows", timezone.localdate().isoformat(), "csv")
    return download(faulty_rows_csv(run), CSV_TYPE, name)


@require_GET
def device_list_export(request, slug, extension):
    """The device list of a building, as the import takes it back."""
    building = _building(request, slug)
    name = file_name(building, "device list", timezone.localdate().isoformat(), extension)
    if extension == "csv":
        return download(exporting.device_list_csv(building), CSV_TYPE, name)
    return download(exporting.device_list_xlsx(building), XLSX_TYPE, name)
