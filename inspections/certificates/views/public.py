"""The public check: is it genuine, unaltered, of this building, and was it withdrawn since?

It names no building, no person, no defect. Who holds the paper types the first letters of the building, or hands over
the file; the digest of that is computed in the browser, where it can be.
"""

from datetime import timedelta

from axes.helpers import get_client_ip_address
from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.utils.crypto import salted_hmac
from django.views.decorators.http import require_POST, require_safe

from inspections.certificates.document import SCHEMA
from inspections.certificates.examining import Busy, examine
from inspections.certificates.forms import BuildingLettersForm, CertificateFileForm, letters_of
from inspections.certificates.page import told_to_its_holder
from inspections.certificates.standing import with_standing
from inspections.models import Certificate, CheckAttempt

BUSY = "Another file is being compared just now. Send yours again in a minute."
TOO_OFTEN = "This was asked too often from where you are. Wait a quarter of an hour, then ask again."


@login_not_required
@require_safe
def certificate_check(request, token):
    return _page(request, _certificate_of(token))


@login_not_required
@require_POST
def certificate_check_file(request, token):
    """Whether the file is the certificate whose code was opened, byte by byte; else where it differs."""
    certificate = _certificate_of(token)
    form = CertificateFileForm(request.POST, request.FILES)
    if not form.is_valid():
        return _page(request, certificate, file_form=form, status=422)
    if _is_too_often(request, certificate):
        return _page(request, certificate, too_often=TOO_OFTEN, status=429)
    try:
        examined = examine(form.cleaned_data["file"].read(), certificate)
    except Busy:
        return _page(request, certificate, too_often=BUSY, status=503)
    return _page(request, certificate, examined=examined)


@login_not_required
@require_POST
def certificate_check_building(request, token):
    """Whether the name of the building on the certificate begins as typed; the name itself is not said."""
    certificate = _certificate_of(token)
    form = BuildingLettersForm(request.POST)
    if not form.is_valid():
        return _page(request, certificate, letters_form=form, status=422)
    if _is_too_often(request, certificate):
        return _page(request, certificate, too_often=TOO_OFTEN, status=429)
    name, letters = certificate.statement["building"]["name"], form.cleaned_data["letters"]
    answer = "begins" if letters_of(name).startswith(letters_of(letters)) else "differs"
    return _page(request, certificate, letters_form=form, building=answer)


@login_not_required
@require_safe
def certificate_schema(request):
    """The published schema of the record that is attached to each certificate."""
    return HttpResponse(SCHEMA.read_bytes(), content_type="application/schema+json")


def _certificate_of(token):
    # Not `visible_to`: whoever holds the paper holds the token (128 random bits), and sees nothing but its state.
    return get_object_or_404(with_standing(Certificate.objects.select_related("visit")), token=token)


def _is_too_often(request, certificate):
    """Whether this was asked as often as a wrong password may be typed; else it counts as asked."""
    since = timezone.now() - timedelta(hours=settings.AXES_COOLOFF_TIME)
    CheckAttempt.objects.filter(asked_at__lt=since).delete()
    who = salted_hmac("public check", get_client_ip_address(request) or "", algorithm="sha256").hexdigest()
    if CheckAttempt.objects.filter(certificate=certificate, who=who).count() >= settings.AXES_FAILURE_LIMIT:
        return True
    CheckAttempt.objects.create(certificate=certificate, who=who)
    return False


def _page(request, certificate, *, status=200, **asked):
    context = {
        **told_to_its_holder(certificate),
        "digests": " ".join(certificate.papers.values_list("sha256", flat=True)),
        "file_form": CertificateFileForm(),
        "letters_form": BuildingLettersForm(),
        **asked,
    }
    response = render(request, "inspections/certificates/certificate_check.html", context, status=status)
    response["X-Robots-Tag"] = "noindex, nofollow"
    response["Cache-Control"] = "no-store"
    return response
