"""The material list of a job: needed, arrived, short; on screen, on paper, as a spreadsheet."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from sites_registry.access import STAFF_ROLES, for_roles
from sites_registry.models import Job
from sites_registry.services.submissions import led_to, remember, submission_key_of
from zones.editing.forms import tell
from zones.materials.document import SCOPES, list_of, part_of
from zones.materials.edits import record_arrivals
from zones.materials.forms import ArrivalForm
from zones.models import AsInstalledRevision, MaterialArrival


@for_roles(*STAFF_ROLES)
@require_http_methods(["GET", "HEAD", "POST"])
def job_materials(request, number):
    job = get_object_or_404(Job.objects.visible_to(request.user).with_building(), number=number)
    asked = part_of(job, request.GET)
    key = submission_key_of(request) if request.method == "POST" else None
    if key and (url := led_to(key=key, person=request.user)):
        messages.info(request, "This was sent before, and recorded once.")
        return redirect(url)
    with transaction.atomic():
        material = list_of(asked)
        form = ArrivalForm(request.POST or None, material=material)
        if request.method == "POST" and form.is_valid() and _recorded(request, asked, form, key):
            return redirect(request.get_full_path())
    revisions = AsInstalledRevision.objects.filter(building=asked.job.building).order_by("-number")
    context = {
        "job": asked.job,
        "asked": asked,
        "material": material,
        "form": form,
        "scopes": SCOPES,
        "revisions": list(revisions.values_list("number", flat=True)),
        "arrivals": MaterialArrival.objects.filter(job=asked.job).select_related("recorded_by").order_by("-pk")[:50],
        "rows": _grouped(form.rows()),
    }
    return render(request, "zones/materials/job_materials.html", context, status=422 if form.errors else 200)


def _recorded(request, asked, form, key):
    try:
        with transaction.atomic():
            made = record_arrivals(
                job=asked.job,
                arrivals=form.entered(),
                arrived_on=form.cleaned_data["arrived_on"],
                note=form.cleaned_data["note"],
                recorded_by=request.user,
            )
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
