"""The life of the installation of a building as a line: commissioned, inspected, defects, today, what is due."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date

from django.utils import timezone

from inspections.models import Defect, Visit, VisitKind
from inspections.overview.answers import plural
from zones.plots.life_line import Happening, LifeLine, life_line

# The narrowest that the line is on a desk, a tablet and a phone, px
WIDTHS = {"wide": 836, "middle": 576, "narrow": 288}
WORDS = {VisitKind.COMMISSIONING: "commissioned", VisitKind.INSPECTION: "inspected"}


@dataclass(frozen=True)
class Life:
    """The drawings by where they are shown, and the same in words: (day, sentence), the earliest first."""

    drawings: dict[str, LifeLine]
    rows: list[tuple[date, str]]


def life_of(building, visits, due):
    """The life line of a building, None while no visit of it is on record. One query, for the defects.

    Args:     visits: all of the building; due: a `Due`.
    """
    today = timezone.localdate()
    told = [*_visits(visits, today), *_defects(building)]
    if not told:
        return None
    if due.due_on:
        told.append((_due(due), f"next inspection {'was ' if due.state == 'overdue' else ''}due"))
    happenings = [happening for happening, _ in told]
    drawings = {name: life_line(happenings, today=today, least_width=width) for name, width in WIDTHS.items()}
    rows = [(one.day, words) for one, words in told] + [(today, "today")]
    return Life(drawings, sorted(rows))


def _due(due):
    if due.state == "overdue":
        return Happening(due.due_on, "overdue", f"was due {due.due_on:%-d %b %Y}")
    return Happening(due.due_on, "due", f"due {due.due_on:%-d %b %Y}")


def _visits(visits, today):
    """What was carried out, and what is planned for today or later; of the inspections the last one is named."""
    finished = [visit for visit in visits if visit.state == Visit.State.FINISHED]
    inspections = [visit for visit in finished if visit.kind == VisitKind.INSPECTION]
    last = max(inspections, key=lambda visit: visit.finished_at, default=None)
    for visit in visits:
        label = visit.get_kind_display()
        if visit.state == Visit.State.FINISHED:
            kind = WORDS.get(visit.kind, "remedial")
            day = timezone.localtime(visit.finished_at).date()
            words = "" if kind == "inspected" and visit is not last else WORDS.get(visit.kind, "")
            yield Happening(day, kind, words), f"{label} finished"
        elif visit.state == Visit.State.PLANNED and visit.planned_on >= today:
            yield Happening(visit.planned_on, "planned", "visit planned"), f"{label} planned"


def _defects(building):
    """Defects by the day on which they were found."""
    found = defaultdict(list)
    for found_at, closed_at in Defect.objects.filter(building=building).values_list("found_at", "closed_at"):
        closed_on = closed_at and timezone.localtime(closed_at).date()
        found[timezone.localtime(found_at).date()].append(closed_on)
    for day, closings in found.items():
        is_open = None in closings
        words = f"{plural(len(closings), 'defect')}, {_closed(day, closings)}"
        yield Happening(day, "defect" if is_open else "defect closed", words), words


def _closed(day, closings):
    if still := closings.count(None):
        return "open" if still == len(closings) else f"{still} open"
    days = (max(closings) - day).days
    return "put right the same day" if days == 0 else f"closed {plural(days, 'day')} later"
