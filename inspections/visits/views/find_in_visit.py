"""A position found by what stands on its label: its tag, its serial or its code, on a visit or from anywhere."""

from csp.decorators import csp_update
from django.conf import settings
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.text import capfirst
from django.views.decorators.http import require_GET, require_safe

from inspections.models import Visit
from inspections.visits.views.field import page_data, visit_of
from inspections.visits.walk import walk_of
from sites_registry.access import Role, for_roles
from sites_registry.views.offline import READS_CODES
from sites_registry.words import storey_words
from zones.models import Position

MOST_SHOWN = 20
TEXT_LENGTH = 200  # as long as a code on a label may be


@for_roles(Role.ENGINEER)
@require_GET
@csp_update(READS_CODES)
def visit_find(request, pk):
    """Its page holds every position of the visit, so that it finds them without the register too."""
    visit = visit_of(request, pk)
    return find_page(request, visit, walk_of(visit))


def find_page(request, visit, walk):
    text = request.GET.get("q", "").strip()[:TEXT_LENGTH]
    found = walk.only("", text).stops if text else []
    context = {
        "visit": visit,
        "building": visit.building,
        "back_url": reverse("visit-field", args=[visit.pk]),
        "back_word": "Walk",
        "walk": walk,
        "text": text,
        "found": found[:MOST_SHOWN],
        "found_count": len(found),
        "page_data": page_data(request.user, visit, walk, []),
        "find_data": {
            "places": [_place_of(stop) for stop in walk.stops],
            "most_shown": MOST_SHOWN,
            "register": settings.PUBLIC_URL,
            "find_url": reverse("find"),
        },
    }
    return render(request, "inspections/visits/visit_find.html", context)


def _place_of(stop):
    position = stop.position
    where = (capfirst(storey_words(position.storey)), position.room, position.place)
    return {
        "position": position.pk,
        "tag": position.tag,
        "kind": position.get_kind_display(),
        "where": ", ".join(part for part in where if part),
        "serial": position.serial or "",
        "url": stop.url,
        "total": stop.total,
        "done": stop.done,
        "failed": stop.failed,
        "notAccessible": stop.not_accessible,
    }


@require_safe
def position_at(request, pk):
    """Where the code on a label leads: to the test, for an engineer on a visit there; else to the position."""
    position = get_object_or_404(Position.objects.visible_to(request.user), pk=pk)
    visit = Visit.objects.testing_now(position, request.user)
    return redirect("visit-field-position", visit.pk, position.pk) if visit else redirect(position)
