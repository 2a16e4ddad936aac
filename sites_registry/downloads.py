"""Downloads: under the name that a person would give, never guessed at or kept by what lies between."""

from django.http import HttpResponse
from django.utils.http import content_disposition_header
from django.utils.text import slugify


def file_name(building, document, mark, extension):
    """A name that a person would give: "Ropewalk-Hall_device-schedule_2026-11-25.pdf"."""
    words = (slugify(word).replace("_", "-").strip("-").capitalize() for word in str(building).split())
    place = "-".join(word for word in words if word)[:60].strip("-") or building.slug
    return f"{place}_{slugify(document)}_{mark}.{extension}"


# Nothing runs and nothing is fetched from inside what a person uploaded.
POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src 'self'; frame-ancestors 'none'; sandbox"


def download(content, media_type, name, *, inline=False, is_uploaded=False):
    """A response that the browser saves, or shows when `inline`; what a person uploaded is shut in."""
    response = HttpResponse(content, content_type=media_type)
    response["Content-Disposition"] = content_disposition_header(not inline, name)
    response["X-Content-Type-Options"] = "nosniff"
    response["Cache-Control"] = "private, no-store"
    if is_uploaded:
        response["Content-Security-Policy"] = POLICY
    return response
