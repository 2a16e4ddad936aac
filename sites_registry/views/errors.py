"""Error pages: what is wrong, and the way back."""

import logging
import sys

from django.conf import settings
from django.http import JsonResponse
from django.shortcuts import render

from sites_registry.outages import outage_of

logger = logging.getLogger(__name__)

FROM_A_SCRIPT = {"application/json", "application/octet-stream"}
READING = {"GET", "HEAD", "OPTIONS"}
NOTHING_STORED = (
    "Nothing of what you just sent was stored. Go back: what you typed is still there. Send it again later."
)
LOOK_FIRST = (
    "What you just sent may have been stored before this happened. Look whether it is there before you send it again."
)
NOTHING_LOST = "Nothing is lost. Open the page again later."


def _page(request, status, heading, text):
    return render(request, "errors.html", {"heading": heading, "text": text}, status=status)


def bad_request(request, exception=None):
    # Plain, as the page of others asks by which host name it was reached, and that may be what cannot be read.
    context = {
        "heading": "This request could not be read",
        "what": "Nothing was changed.",
        "became": "Go back and try again.",
    }
    return render(request, "errors_plain.html", context, status=400)


def too_large(request):
    context = {
        "heading": "This is too large",
        "what": f"Without a log-in, a file of up to {settings.UPLOAD_LIMIT_MB} MB can be sent. Nothing was changed.",
        "became": "Go back and choose a smaller one.",
    }
    return render(request, "errors_plain.html", context, status=413)


def permission_denied(request, exception=None):
    return _page(request, 403, "Not yours to do", "Your role does not open this page. Nothing was changed.")


def not_found(request, exception=None):
    return _page(request, 404, "Not found", "There is nothing at this address, or it is not yours to see.")


def _failure(request, status, context):
    """The page of a failure, or for a phone's script its words; both with the identifier that the log has it under."""
    context["identifier"] = getattr(request, "identifier", "")
    if request.content_type in FROM_A_SCRIPT:
        words = " ".join(filter(None, (context["what"], context["became"])))
        return JsonResponse({"message": words, "identifier": context["identifier"]}, status=status)
    return render(request, "errors_plain.html", context, status=status)


def outage_page(request, outage, became=NOTHING_STORED):
    """Disk or database refused: what is wrong and what became of the request. Asks the database nothing.

    The remedy names machines and folders; it goes to the log, since anybody may see this page.
    """
    logger.error("%s: %s %s", request.path, outage.what, outage.remedy, exc_info=True)
    context = {
        "heading": "The register cannot work just now",
        "what": outage.what,
        "whom_to_tell": "Tell who looks after the machine of the register; its log says what helps.",
        "became": NOTHING_LOST if request.method in READING else became,
    }
    return _failure(request, outage.status, context)


def not_whole_page(request, error):
    """A kept file is missing or damaged: never shown as if it were whole. Its name goes to the log alone."""
    logger.error("%s %s", request.path, error, exc_info=True)
    context = {
        "heading": "This file is not whole",
        "what": "The register's copy of it is missing or damaged, so it is not shown.",
        "became": "Nothing else is lost.",
        "whom_to_tell": "Tell who looks after the machine of the register: a backup brings the file back.",
    }
    return _failure(request, 500, context)


def server_error(request):
    if outage := outage_of(sys.exc_info()[1]):
        # A view that was reached and raised nothing itself may have committed before something further out failed.
        became = LOOK_FIRST if getattr(request, "view_was_reached", False) else NOTHING_STORED
        return outage_page(request, outage, became)
    context = {
        "heading": "Something went wrong here",
        "what": "The fault has been written down for support.",
        "became": "Look whether what you sent is there before you send it again.",
    }
    return _failure(request, 500, context)
