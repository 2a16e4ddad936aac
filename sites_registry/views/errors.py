"""Error pages: what is wrong, and the way back."""

from django.shortcuts import render


def _page(request, status, heading, text):
    return render(request, "errors.html", {"heading": heading, "text": text}, status=status)


def bad_request(request, exception=None):
    return _page(request, 400, "This request could not be read", "Nothing was changed. Go back and try again.")


def permission_denied(request, exception=None):
    return _page(request, 403, "Not yours to do", "Your role does not open this page. Nothing was changed.")


def not_found(request, exception=None):
    return _page(request, 404, "Not found", "There is nothing at this address, or it is not yours to see.")


def server_error(request):
    return render(request, "errors_plain.html", status=500)
