"""A wiring list taken in with a preview, and given out as .csv or .xlsx."""

from contextlib import suppress

from django import forms
from django.conf import settings
from django.contrib import messages
from django.core import signing
from django.core.exceptions import ValidationError
from django.db import transaction
from django.http import Http404
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from sites_registry.access import STAFF_ROLES, for_roles
from sites_registry.downloads import download, file_name
from sites_registry.forms.base import RegisterForm
from sites_registry.spreadsheets import CSV_TYPE, XLSX_TYPE
from zones.device_lists.reading import check_size, read_file
from zones.device_lists.sheets import NotReadable
from zones.engineering.findings import counted
from zones.models import ControlPanel
from zones.wiring.check import findings_of_wiring
from zones.wiring.lists import HEADINGS, ListRefused, ListRow, apply_list, read_rows, wiring_list_csv, wiring_list_xlsx
from zones.wiring.records import wired_panel
from zones.wiring.state import state_of

SALT = "wiring-list"
HELD_FOR_S = 8 * 3600
SHOWN = 500


class WiringListForm(RegisterForm):
    file = forms.FileField(
        label="Wiring list (.xlsx or .csv)",
        allow_empty_file=True,
        max_length=200,
        widget=forms.ClearableFileInput(attrs={"accept": ".xlsx,.csv,.txt,.tsv"}),
        error_messages={"required": "Choose the file that holds the wiring list."},
    )


class _OnlyShown(Exception):
    """The list was tried to be shown; everything it did is taken back."""


def _panel(request, pk):
    panels = ControlPanel.objects.visible_to(request.user).select_related("building", "position")
    return get_object_or_404(panels, pk=pk)


@for_roles(*STAFF_ROLES)
@require_http_methods(["GET", "POST"])
def wiring_list_import(request, pk):
    """First the file, then the preview, then it is kept: nothing half."""
    panel = _panel(request, pk)
    context = {"panel": panel, "headings": HEADINGS, "form": WiringListForm()}
    if request.method == "GET":
        return render(request, "zones/wiring/wiring_list.html", context)
    if "rows" in request.POST:
        return _keep(request, panel, context)
    form = context["form"] = WiringListForm(request.POST, request.FILES)
    rows = _read(panel, form) if form.is_valid() else None
    if rows is None:
        return render(request, "zones/wiring/wiring_list.html", context, status=422)
    return _preview(request, panel, rows, context)


def _read(panel, form):
    file = form.cleaned_data["file"]
    try:
        check_size(file.name, file.size, settings.UPLOAD_LIMIT_MB)
        return read_rows(panel, read_file(file.name, file.read(), settings.UPLOAD_LIMIT_MB)[0])
    except NotReadable as refusal:
        form.add_error("file", refusal.reasons)
    except ValidationError as error:
        form.add_error("file", error.messages)
    return None


def _preview(request, panel, rows, context):
    """Try the list and take everything back; what it would do and what the checks would find is shown."""
    packed = signing.dumps([[row.number, row.cells] for row in rows], salt=SALT, compress=True)
    refused, findings = False, []
    with suppress(_OnlyShown):
        try:
            with transaction.atomic():
                rows = apply_list(panel=panel, rows=rows)
                findings = findings_of_wiring(panel)
                raise _OnlyShown
        except ListRefused as refusal:
            rows, refused = refusal.rows, True
    context |= _counted(rows) | {"refused": refused, "packed": packed, "findings": findings}
    return render(request, "zones/wiring/wiring_list.html", context, status=422 if refused else 200)


def _counted(rows):
    changed = [row for row in rows if row.reasons or row.said not in ("", "as it is")]
    faulty = [row for row in rows if row.reasons]
    return {
        "rows": (faulty or changed)[:SHOWN],
        "row_count": len(rows),
        "faulty_count": len(faulty),
        "changed_count": len(changed) - len(faulty),
        "is_shown": True,
    }


def _keep(request, panel, context):
    try:
        packed = signing.loads(request.POST["rows"], salt=SALT, max_age=HELD_FOR_S)
    except signing.BadSignature:
        context["form"].errors["file"] = context["form"].error_class(["Choose the file again: the preview is too old."])
        return render(request, "zones/wiring/wiring_list.html", context, status=422)
    try:
        rows = apply_list(panel=panel, rows=[ListRow(number, cells) for number, cells in packed])
    except ListRefused as refusal:
        context |= _counted(refusal.rows) | {"refused": True, "packed": request.POST["rows"]}
        return render(request, "zones/wiring/wiring_list.html", context, status=422)
    changed = sum(row.said != "as it is" for row in rows)
    messages.success(request, f"{counted(len(rows), 'row')} read, {counted(changed, 'terminal')} changed.")
    return redirect("panel-wiring", panel.pk)


@require_GET
def wiring_list_export(request, pk, file_format):
    panel = _panel(request, pk)
    made = {"csv": (wiring_list_csv, CSV_TYPE), "xlsx": (wiring_list_xlsx, XLSX_TYPE)}.get(file_format)
    if made is None:
        raise Http404
    wired, day = wired_panel(panel), timezone.localdate()
    notice = state_of([wired]).notice(day)
    title = f"{'incomplete ' if notice else ''}wiring list {panel.tag}"
    return download(made[0](wired, notice), made[1], file_name(panel.building, title, day.isoformat(), file_format))
