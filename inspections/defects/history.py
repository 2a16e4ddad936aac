"""What changed in a defect, when, by whom and why, in words."""

from datetime import datetime

from django.utils import timezone
from django.utils.formats import date_format

from sites_registry.history import by_day_and_person

SHOWN = {
    "severity": "severity",
    "description": "what is wrong",
    "interim_measure": "meanwhile",
    "told_to": "who was told",
    "told_at": "told at",
    "closed_at": "closed",
    "closing_note": "what was done",
}


def changes_of(defect):
    """The kept states of a defect as changes, the newest first, as `sites_registry.history` gives them; one query."""
    states = list(defect.history.select_related("history_user").order_by("history_date", "history_id"))
    changes = []
    for number, state in enumerate(states):
        what = list(_what_changed(states[number - 1], state)) if number else []
        if what or not number:
            changes.append(
                {
                    "when": state.history_date,
                    "who": state.history_user,
                    "why": state.history_change_reason or "",
                    "is_first": not number,
                    "first_words": f"Found: {state.get_severity_display()}",
                    "what": what,
                }
            )
    return by_day_and_person(changes[::-1])


def _what_changed(before, after):
    for name, label in SHOWN.items():
        old, new = getattr(before, name), getattr(after, name)
        if old != new:
            yield label, _words(old), _words(new)


def _words(value):
    if isinstance(value, datetime):
        return date_format(timezone.localtime(value), "DATETIME_FORMAT")
    return str(value) if value else "–"
