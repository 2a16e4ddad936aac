"""The simulator of a panel's cause and effect: a sequence of events in the address, so that it can be shared."""

from urllib.parse import urlencode

from django.contrib import messages
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.safestring import mark_safe
from django.views.decorators.http import require_safe

from zones.cause_and_effect.records import panel_logic
from zones.cause_and_effect.simulator import simulator_page
from zones.cause_and_effect.views.matrix import panel_of
from zones.engineering.cause_and_effect import EventError, RuleSetError, decode_events, encode_events
from zones.engineering.drawings.overview_layout import lay_out
from zones.engineering.drawings.overview_svg import overview_svg

A_MODEL = (
    "This plays the rules as recorded. It moves nothing on site and proves nothing about the wiring; only a test of "
    "the panel does."
)


def address_of(panel, events="", at=None):
    """The address of the simulator with a sequence (text) and how much of it has happened."""
    query = {"events": events} if events else {}
    if at is not None:
        query["at"] = at
    return reverse("simulator", args=[panel.pk]) + (f"?{urlencode(query, safe='~')}" if query else "")


@require_safe
def simulator(request, pk):
    """Without an address it starts at rest. `next` adds an event after those shown, and leads to the new address."""
    panel = panel_of(request, pk)
    read = panel_logic(panel)
    try:
        events = decode_events(read.ruleset, request.GET.get("events", ""))
        at = _at(request, len(events))
        if following := request.GET.get("next"):
            events = (*events[:at], *decode_events(read.ruleset, following))
            simulator_page(read, events, len(events))  # refuses what cannot happen now
            return redirect(address_of(panel, encode_events(events)))
        page = simulator_page(read, events, at)
    except EventError as error:
        messages.error(request, str(error))
        return redirect(_back_to(request, panel))
    except RuleSetError as error:
        context = {"panel": panel, "faults": error.sentences, "caution": A_MODEL}
        return render(request, "zones/cause_and_effect/simulator.html", context)
    context = {
        "panel": panel,
        "page": page,
        "drawing": _drawing(panel, page),
        "caution": A_MODEL,
        "has_rules": bool(read.ruleset.rules),
        "left_out": read.left_out,
    }
    return render(request, "zones/cause_and_effect/simulator.html", context)


def _drawing(panel, page):
    """The zone overview with the inputs as links to what they do next."""
    before = {"events": page.text, "at": page.at} if page.text else {}

    def press(key):
        is_event = "." in key
        return f"?{urlencode({**before, 'next': key}, safe='~')}#now" if is_event else None

    (sheet,) = lay_out(page.overview)
    drawn = overview_svg(
        sheet,
        page.overview,
        title=f"Zone overview of panel {panel.tag}, played",
        description="Inputs at the left: each leads to what follows when it is operated. Vents at the right.",
        href=press,
    )
    # Our own text: every value in it is escaped where it is written (engineering/drawings/svg.py).
    return mark_safe(drawn)  # noqa: S308


def _at(request, length):
    """How many events have happened: all of them, unless the address names fewer."""
    text = request.GET.get("at", "")
    return min(int(text), length) if text.isascii() and text.isdigit() and len(text) < 6 else length


def _back_to(request, panel):
    """Where a refused event leads: the sequence as it stood, or the start when the sequence itself is refused."""
    return address_of(panel, request.GET.get("events", "")) if request.GET.get("next") else address_of(panel)
