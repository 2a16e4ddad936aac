"""The office's page of the last runs in which the register proved its evidence."""

from django.shortcuts import render
from django.views.decorators.http import require_safe

from inspections.ledger.entering import head
from inspections.models import Verification
from sites_registry.access import Role, for_roles

RUNS_SHOWN = 30


@for_roles(Role.OFFICE)
@require_safe
def verification_list(request):
    runs = list(Verification.objects.all()[:RUNS_SHOWN])
    context = {"before": runs[1:], "last": runs[0] if runs else None, "head": head()}
    return render(request, "inspections/verification/verification_list.html", context)
