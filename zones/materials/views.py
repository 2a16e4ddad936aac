"""The material list of a job: needed, arrived, short; on screen, on paper, as a spreadsheet."""

from dataclasses import dataclass

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.http import Http404
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from sites_registry.access import STAFF_ROLES, for_roles
from sites_registry.documents.downloads import download, file_name
from sites_registry.models import Job
from sites_registry.services.submissions import led_to, remember, submission_key_of
from sites_registry.spreadsheets import XLSX_TYPE, Sheet, workbook_of
from zones.editing.forms import tell
from zones.materials.document import material_list_pdf
from zones.materials.edits import record_arrivals
from zones.materials.forms import ArrivalForm
from zones.materials.lists import EVERYTHING, NOT_FITTED, material_list
from zones.models import AsInstalledRevision, MaterialArrival

SCOPES = ((EVERYTHING, "everything in the building"), (NOT_FITTED, "devices without a unit, all cable"))


@dataclass(frozen=True)
class Asked:
    """What the address asks for: of which part of the building the list is."""

    job: Job
    scope: str
    since: AsInstalledRevision | None

    @property
    def words(self):
        words = dict(SCOPES)[self.scope]
        return f"{words}, added since revision {self.since.number}" if self.since else words

    @property
    def query(self):
        since = f"&since={self.since.number}" if self.since else ""
        return f"?scope={self.scope}{since}"


def _asked(request, number):
    job = get_object_or_404(Job.objects.visible_to(request.user).with_building(), number=number)
    scope = request.GET.get("scope", EVERYTHING)
    if scope not in dict(SCOPES):
        raise Http404
    since, text = None, request.GET.get("since", "")
    if text:
        if not (text.isascii() and text.isdigit() and len(text) < 10):
            raise Http404
        revisions = AsInstalledRevision.objects.visible_to(request.user).filter(building=job.building)
        since = get_object_or_404(revisions, number=text)
    return Asked(job, scope, since)


def _list_of(asked):
    return material_list(asked.job, scope=asked.scope, since=asked.since)


@for_roles(*STAFF_ROLES)
@require_http_methods(["GET", "HEAD", "POST"])
def job_materials(request, number):
    asked = _asked(request, number)
    key = submission_key_of(request) if request.method == "POST" else None
    if key and (url := led_to(key=key, person=request.user)):
        messages.info(request, "This was sent before, and recorded once.")
        return redirect(url)
    with transaction.atomic():
        material = _list_of(asked)
        form = ArrivalForm(request.POST or None, material=material)
        if request.method == "POST" and form.is_valid() and _recorded(request, asked, form, key):
            return redirect(request.get_full_path())
    revisions = AsInstalledRevision.objects.filter(building=asked.job.building).order_by("-number")
    context = {
        "job": asked.job, "asked": asked, "material": material, "form": form, "scopes": SCOPES,
        "revisions": list(revisions.values_list("number", flat=True)),
        "arrivals": MaterialArrival.objects.filter(job=asked.job).select_related("recorded_by").order_by("-pk")[:50],
        "rows": _grouped(form.rows()),
    }  # fmt: skip
    return render(request, "zones/materials/job_materials.html", context, status=422 if form.errors else 200)


def _recorded(request, asked, form, key):
    try:
        with transaction.atomic():
            made = record_arrivals(
                job=asked.job, arrivals=form.entered(), arrived_on=form.cleaned_data["arrived_on"],
                note=form.cleaned_data["note"], recorded_by=request.user,
            )  # fmt: skip
            remember(key=key, person=request.user, led_to=request.get_full_path()[:300])
    except ValidationError as error:
        tell(form, error)
        return False
    except IntegrityError:
        form.add_error(None, "This was sent twice at the same moment; look at the list before entering it again.")
        return False
    messages.success(request, f"{len(made)} line{'s' * (len(made) != 1)} recorded as arrived.")
    return True


def _grouped(rows):
    groups = {}
    for line, field, key in rows:
        groups.setdefault(line.group, []).append((line, field, key))
    return list(groups.items())


@for_roles(*STAFF_ROLES)
@require_safe
def job_materials_pdf(request, number):
    asked = _asked(request, number)
    now = timezone.now()
    content = material_list_pdf(asked, _list_of(asked), prepared_by=request.user, now=now)
    return download(content, "application/pdf", _name(asked, now, "pdf"))


HEADINGS = ("Group", "What", "Detail", "Unit", "Needed", "Arrived", "Short")


@for_roles(*STAFF_ROLES)
@require_safe
def job_materials_xlsx(request, number):
    asked = _asked(request, number)
    material, now = _list_of(asked), timezone.now()
    rows = [
        [line.group, line.what, line.detail, line.unit, str(line.needed), str(line.arrived), str(line.short)]
        for line in material.lines
    ]
    facts = [("Material list", f"{asked.job.number}, {asked.job.building.name}"), ("Of", asked.words)]
    facts += [("Not counted", sentence) for sentence in material.not_counted]
    content = workbook_of(Sheet(title="Material list", headings=HEADINGS, rows=rows, numbers=(4, 5, 6), facts=facts))
    return download(content, XLSX_TYPE, _name(asked, now, "xlsx"))


def _name(asked, now, extension):
    document = f"material list {asked.job.number}"
    return file_name(asked.job.building, document, f"{timezone.localtime(now):%Y-%m-%d}", extension)
