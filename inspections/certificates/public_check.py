"""The public check: is it genuine, and was it withdrawn since? It names no building, no person, no defect."""

from django.contrib.auth.decorators import login_not_required
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from inspections.certificates.issue import is_intact
from inspections.certificates.standing import certificates_after, standing_of, with_standing
from inspections.models import Certificate


@login_not_required
@require_safe
def certificate_check(request, token):
    # Not `visible_to`: whoever holds the paper holds the token (128 random bits), and sees nothing but its state.
    certificates = with_standing(Certificate.objects.select_related("visit"))
    certificate = get_object_or_404(certificates, token=token)
    after = [one for one in certificates_after(certificate) if one.state != Certificate.State.REVOKED]
    context = {
        "certificate": certificate,
        "is_intact": is_intact(certificate),
        "standing": standing_of(certificate),
        "after": [(one, standing_of(one)) for one in after],
        "superseded_by": Certificate.objects.filter(supersedes=certificate)
        .only("number", "issued_on", "state")
        .first(),
    }
    response = render(request, "inspections/certificates/certificate_check.html", context)
    response["X-Robots-Tag"] = "noindex, nofollow"
    response["Cache-Control"] = "no-store"
    return response
