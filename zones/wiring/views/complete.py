"""POST only: the wiring of a run, or of the whole panel, declared complete by who is logged in, or taken back."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from sites_registry.access import STAFF_ROLES, for_roles
from sites_registry.views.base import local_next
from zones.engineering.findings import counted
from zones.models import ControlPanel
from zones.wiring.complete import declare_complete, take_back
from zones.wiring.forms.complete import DeclareCompleteForm


@for_roles(*STAFF_ROLES)
@require_POST
def wiring_complete(request, pk):
    panels = ControlPanel.objects.visible_to(request.user).select_related("position")
    panel = get_object_or_404(panels, pk=pk)
    form = DeclareCompleteForm(request.POST)
    if not form.is_valid():
        messages.error(request, " ".join(message for found in form.errors.values() for message in found))
    else:
        try:
            _act(request, panel, form.cleaned_data)
        except ValidationError as error:
            messages.error(request, " ".join(error.messages))
    return redirect(local_next(request) or reverse("panel-wiring", args=[panel.pk]))


def _act(request, panel, typed):
    key = typed["declare"] or typed["take_back"]
    part = None if key in ("", "all") else key
    if typed["declare"]:
        day = typed["on"] or timezone.localdate()
        done = declare_complete(panel=panel, by=request.user, on=day, part=part)
        said = f"{counted(len(done), 'part')} of the wiring declared complete on {day:%-d %b %Y}."
    elif typed["take_back"]:
        done = take_back(panel=panel, part=part)
        said = f"Declaration taken back for {counted(len(done), 'part')} of the wiring."
    else:
        raise ValidationError("Choose which part of the wiring is complete.")
    messages.success(request, said)
