"""The public check: is this certificate genuine and still in force? It names no building, no person, no defect."""

from django.contrib.auth.decorators import login_not_required
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from inspections.models import Certificate
from inspections.services.certificates import is_intact


@login_not_required
@require_safe
def certificate_check(request, token):
    # Not `visible_to`: whoever holds the paper holds the token (128 random bits), and sees nothing but its state.
    certificate = get_object_or_404(Certificate, token=token)
    context = {
        "certificate": certificate,
        "is_intact": is_intact(certificate),
        "superseded_by": Certificate.objects.filter(supersedes=certificate).only("number", "issued_on").first(),
    }
    response = render(request, "inspections/certificate_check.html", context)
    response["X-Robots-Tag"] = "noindex, nofollow"
    response["Cache-Control"] = "no-store"
    return response
