"""The calendar of a person: downloaded, or read by a calendar program at a secret address."""

from django.conf import settings
from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.http import Http404
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.html import format_html
from django.views.decorators.http import require_POST, require_safe

from inspections.calendars.entries import entries_of, text_of
from inspections.calendars.links import make_calendar_link, take_calendar_link_away, whose_calendar
from inspections.models import CalendarLink
from sites_registry.downloads import download

ICALENDAR = "text/calendar; charset=utf-8"


@require_safe
def calendar_page(request):
    entries = entries_of(request.user)
    today = timezone.localdate()
    context = {
        "link": CalendarLink.objects.visible_to(request.user).first(),
        "to_come": sum(entry.day >= today and not entry.is_cancelled for entry in entries),
        "entry_count": len(entries),
    }
    return render(request, "inspections/calendars/calendar_page.html", context)


@require_safe
def calendar_file(request):
    return _calendar_of(request.user)


@require_POST
def calendar_link_make(request):
    secret = make_calendar_link(person=request.user)
    address = settings.PUBLIC_URL + reverse("calendar-read", args=[secret])
    messages.warning(
        request,
        format_html(
            "Enter this address in your calendar program, and give it to nobody. "
            '<code class="link-to-hand-over">{}</code>It is shown this once; a new one takes its place.',
            address,
        ),
    )
    return redirect("calendar")


@require_POST
def calendar_link_take_away(request):
    take_calendar_link_away(person=request.user)
    messages.success(request, "The address of your calendar opens nothing any more.")
    return redirect("calendar")


@login_not_required
@require_safe
def calendar_read(request, secret):
    # Not `request.user`: a calendar program does not log in. The secret is that person's, and reads what they may see.
    person = whose_calendar(secret)
    if person is None:
        raise Http404
    return _calendar_of(person)


def _calendar_of(person):
    return download(text_of(entries_of(person), timezone.now()), ICALENDAR, "smoke-control-register.ics")
