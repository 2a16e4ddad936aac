"""Around every view: an outage of disk or database, or a damaged file, answers with a page that says what it means."""

import logging
import time

from django.conf import settings
from django.contrib.auth import get_user
from django.http import HttpResponse
from django.utils import timezone

from sites_registry.logs import OF_THIS_REQUEST, new_identifier
from sites_registry.outages import outage_of
from sites_registry.views.errors import not_whole_page, outage_page, too_large
from sites_registry.whole_files import NotWhole

requests = logging.getLogger("sites_registry.requests")
MOST_OF_A_STRANGER_BYTES = (settings.UPLOAD_LIMIT_MB + 1) * 1024 * 1024  # one file and the fields around it


class RequestLogMiddleware:
    """Gives each request its identifier and writes what became of it: never its query, its body or a link's token.

    The first of the list, so that whatever happens to a request has its number.
    """

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        request.identifier = new_identifier()
        OF_THIS_REQUEST.set(
            request.identifier
        )  # until the next request: Django writes a line after the last middleware
        started = time.perf_counter()
        response = self.get_response(request)
        response["X-Request-Id"] = request.identifier
        took_ms = round((time.perf_counter() - started) * 1000)
        facts = {"method": request.method, "status": response.status_code, "took_ms": took_ms}
        person = getattr(request, "_cached_user", None)  # asked for by somebody already, so no query
        if person and person.pk:
            facts["person"] = person.pk
        if not request.path.startswith(settings.STATIC_URL):
            requests.info("%s %s", request.method, request.path, extra={"facts": facts})
        return response


class StrangersSendLittleMiddleware:
    """Refuses what a person without a log-in sends beyond the size of one file, before it is read or lies on the disk.

    Before the check of forms, which reads all that was sent.
    """

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        length = request.META.get("CONTENT_LENGTH") or "0"
        is_large = length.isdecimal() and int(length) > MOST_OF_A_STRANGER_BYTES
        if is_large and not get_user(request).is_authenticated:
            return too_large(request)
        return self.get_response(request)


class WhoAndWhenMiddleware:
    """Tells the worker of a phone whose page an answer is and when it was made, so that it keeps it for nobody else."""

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        author = request.headers.get("X-Person")
        if author is not None and author != str(request.user.pk or ""):
            # What a phone kept goes out under its author's name, or waits.
            return HttpResponse("Somebody else is logged in.", status=409, content_type="text/plain")
        response = self.get_response(request)
        if response.get("Content-Type", "").startswith("text/html") and hasattr(request, "user"):
            response["X-Person"] = str(request.user.pk or "")
            response["X-Made-At"] = timezone.now().isoformat()
        return response


class OutageMiddleware:
    """The last of the list, so that it sees what a view raises before anything else does.

    What is raised further out (by the session, say) comes to `views.errors.server_error`.
    """

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        return self.get_response(request)

    def process_view(self, request, *_arguments):
        request.view_was_reached = True

    def process_exception(self, request, exception):
        if isinstance(exception, NotWhole):
            return not_whole_page(request, exception)
        outage = outage_of(exception)
        return outage and outage_page(request, outage)
