"""Find anything from one box: the exact first, that of the building one is in before others."""

from django.shortcuts import redirect, render

from inspections.finding.place import building_of_address
from inspections.finding.search import MOST_PER_KIND, MOST_WHOLE, Found, find_text

LONGEST_TEXT = 100
LONGEST_ADDRESS = 300


def _typed(request, name, longest):
    return request.GET.get(name, "").replace("\0", "").strip()[:longest]


def find(request):
    text, came_from = _typed(request, "q", LONGEST_TEXT), _typed(request, "from", LONGEST_ADDRESS)
    building = building_of_address(request.user, came_from) if text and came_from else None
    found = find_text(request.user, text, building) if text else Found()
    if len(found.hits) == 1 and found.hits[0].name.casefold() == text.casefold():
        return redirect(found.hits[0].url)
    context = {
        "text": text,
        "found": found,
        "building": building,
        "came_from": came_from,
        "most": MOST_PER_KIND,
        "most_whole": MOST_WHOLE,
    }
    return render(request, "inspections/finding/find.html", context)
