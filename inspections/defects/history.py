"""What changed in a defect, when, by whom and why, in words."""

from dataclasses import dataclass
from datetime import datetime

from django.utils import timezone
from django.utils.formats import date_format

SHOWN = {
    "severity": "severity",
    "description": "what is wrong",
    "interim_measure": "meanwhile",
    "told_to": "who was told",
    "told_at": "told at",
    "closed_at": "closed",
    "closing_note": "what was done",
}


@dataclass(frozen=True)
class DefectChange:
    at: datetime
    by: object
    reason: str
    lines: tuple[str, ...]


def changes_of(defect):
    """The kept states of a defect as changes, the newest first; one query."""
    states = list(defect.history.select_related("history_user").order_by("history_date", "history_id"))
    changes = []
    for number, state in enumerate(states):
        before = states[number - 1] if number else None
        lines = tuple(_lines(before, state)) if before else ("Found: " + state.get_severity_display(),)
        if lines:
            changes.append(
                DefectChange(state.history_date, state.history_user, state.history_change_reason or "", lines)
            )
    return changes[::-1]


def _lines(before, after):
    for name, label in SHOWN.items():
        old, new = getattr(before, name), getattr(after, name)
        if old != new:
            yield f"{label}: {_words(old)} → {_words(new)}"


def _words(value):
    if isinstance(value, datetime):
        return date_format(timezone.localtime(value), "DATETIME_FORMAT")
    return str(value) if value else "–"
