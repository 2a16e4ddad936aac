"""Faults that the visit which found them put right."""

from inspections.models import Defect

MOST_PUT_RIGHT = 5


def put_right_lately(building):
    """Faults that the visit which found them put right, the latest first; some of many."""
    found = Defect.objects.filter(building=building).put_right_where_found().select_related("position", "found_on")
    return found.order_by("-closed_at", "-pk")[:MOST_PUT_RIGHT]
