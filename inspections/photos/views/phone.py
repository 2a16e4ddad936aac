"""What a phone sends of its photographs: that one comes, then its parts."""

import json
import logging
from dataclasses import asdict
from uuid import UUID

from django.http import JsonResponse
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from inspections.photos.arrival import MOST_BYTES_OF_A_PART, Fate, PhotoFate, announce, take_part
from inspections.visits.views.field import visit_of
from sites_registry.access import Role, for_roles

logger = logging.getLogger(__name__)
BEYOND_ANY_PHOTOGRAPH = 10  # digits of an offset


@for_roles(Role.ENGINEER)
@require_POST
def visit_photos(request, pk):
    visit, received_at = visit_of(request, pk), timezone.now()
    try:
        body = json.loads(request.body)
        told, sent_at = body["photo"], body.get("sent_at")
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return JsonResponse({"message": "This could not be read. Nothing was taken."}, status=400)
    fate = announce(visit=visit, person=request.user, told=told, sent_at=sent_at, received_at=received_at)
    if fate.fate == Fate.REFUSED:
        return _refusal(request, visit, fate)
    parts_url = reverse("visit-photo-part", args=[visit.pk, UUID(str(told["client_uuid"]))])
    return JsonResponse(asdict(fate) | {"parts_url": parts_url})


@for_roles(Role.ENGINEER)
@require_POST
def visit_photo_part(request, pk, client_uuid):
    """Bytes as they are, `?from=` this one on."""
    visit = visit_of(request, pk)
    text = request.GET.get("from", "")
    if not (text.isascii() and text.isdigit() and len(text) < BEYOND_ANY_PHOTOGRAPH):
        return JsonResponse({"message": "Say from which byte on. Nothing was taken."}, status=400)
    length = request.META.get("CONTENT_LENGTH") or "0"
    if not length.isdigit() or int(length) > MOST_BYTES_OF_A_PART:
        fate = PhotoFate(Fate.REFUSED, f"A part has at most {MOST_BYTES_OF_A_PART} bytes, not {length[:12]}.")
        return _refusal(request, visit, fate)
    fate = take_part(visit=visit, person=request.user, client_uuid=client_uuid, offset=int(text), content=request.body)
    return _refusal(request, visit, fate) if fate.fate == Fate.REFUSED else JsonResponse(asdict(fate))


def _refusal(request, visit, fate):
    """Told to the phone, and noted: nobody refuses a photograph that our own pages made well."""
    logger.warning("A photograph of %s from person %s was refused: %s", visit, request.user.pk, fate.message)
    return JsonResponse(asdict(fate))
