"""What the holder of a reading link sees: one certificate or one hand-over, as it stands now, and its files.

Not `visible_to`: whoever holds the secret (192 random bits) reads that one paper and nothing else, until the day on
which the link ends or is withdrawn. Each opening is kept before anything is sent.
"""

from functools import wraps

from django.contrib.auth.decorators import login_not_required
from django.core.files.storage import default_storage
from django.http import Http404
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from inspections.certificates.page import told_to_its_holder
from inspections.certificates.papers import keep_pdf
from inspections.certificates.standing import with_standing
from inspections.hand_overs.sending import send_archive, send_file, send_whole_file
from inspections.models import Certificate, ReadingLink
from inspections.reading_links.edits import OpenedTooOften, digest_of, record_opening
from sites_registry.downloads import download, file_name

PDF = "application/pdf"


def for_its_holder(view):
    """Give the view the link that can be opened still; a page that says why for another; 404 for an unknown one."""

    @login_not_required
    @require_safe
    @wraps(view)
    def guarded(request, secret, **arguments):
        links = ReadingLink.objects.select_related(
            "building", "certificate__building", "hand_over__job", "hand_over__building"
        )
        link = get_object_or_404(links, digest_sha256=digest_of(secret))
        try:
            response = _answer(view, request, link, secret=secret, **arguments)
        except OpenedTooOften:
            response = render(request, "inspections/reading_links/opened_too_often.html", {"link": link}, status=429)
        response["X-Robots-Tag"] = "noindex, nofollow"
        response["Cache-Control"] = "no-store"
        response["Referrer-Policy"] = "no-referrer"
        return response

    return guarded


def _answer(view, request, link, **arguments):
    if link.state == "readable":
        return view(request, link, **arguments)
    return render(request, "inspections/reading_links/link_has_ended.html", {"link": link}, status=410)


def _opened(request, link, what):
    if request.method == "GET":
        record_opening(link, what)


@for_its_holder
def read_page(request, link, secret):
    _opened(request, link, "the page")
    context = {"link": link, "secret": secret, "building": link.building}
    if link.certificate:
        certificates = with_standing(Certificate.objects.select_related("visit"))
        context |= told_to_its_holder(certificates.get(pk=link.certificate_id))
    else:
        context |= {"hand_over": link.hand_over, "files": link.hand_over.files.put_together()}
    return render(request, "inspections/reading_links/read_page.html", context)


@for_its_holder
def read_certificate(request, link, secret):
    if not link.certificate:
        raise Http404
    certificate = link.certificate
    content = default_storage.read_whole(keep_pdf(certificate).pdf.name)
    name = file_name(link.building, certificate.get_kind_display(), certificate.number, "pdf")
    _opened(request, link, name)
    return download(content, PDF, name)


@for_its_holder
def read_whole_file(request, link, secret):
    if not link.hand_over or not link.hand_over.whole_file:
        raise Http404
    _opened(request, link, "the hand-over file")
    return send_whole_file(link.hand_over)


@for_its_holder
def read_archive(request, link, secret):
    if not link.hand_over:
        raise Http404
    _opened(request, link, "all files as one")
    return send_archive(link.hand_over)


@for_its_holder
def read_file(request, link, secret, file_pk):
    if not link.hand_over:
        raise Http404
    one = get_object_or_404(link.hand_over.files.put_together(), pk=file_pk)
    _opened(request, link, one.file_name)
    return send_file(one)
