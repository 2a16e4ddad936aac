"""An extract of a building's log book on paper: all entries of a period, oldest first, as they were written."""

from datetime import date, datetime, time

from django.urls import reverse
from django.utils import timezone
from django.utils.formats import date_format

from inspections.models import Defect, LogEntry
from sites_registry.documents.base import TitleBlock
from sites_registry.documents.blocks import heading, small, soft, table, words
from sites_registry.documents.papers import Made, SeePage
from sites_registry.documents.typeset import Column, typeset_pdf
from sites_registry.words import counted, full_stop

MOST_ENTRIES = 5_000
COLUMNS = (
    Column("When", 33),
    Column("Kind", 46),
    Column("What"),
    Column("Where", 30),
    Column("Done", 56),
    Column("Who", 28),
)
DEFECT_COLUMNS = (
    Column("Found", 33),
    Column("Defect", 46),
    Column("What was wrong"),
    Column("Where", 30),
    Column("Put right", 56),
    Column("Who found it", 28),
)


def extract_asked_for(building, asked):
    """`since` and `until` in the address are days; without them all of it. Raises SeePage."""
    page = reverse("log-book", args=[building.slug])
    since, until = (_day(asked.query.get(name, ""), page) for name in ("since", "until"))
    entries = _within(LogEntry.objects.filter(building=building).with_links(), "happened_at", since, until)
    entries = list(entries.order_by("happened_at", "pk")[: MOST_ENTRIES + 1])
    if len(entries) > MOST_ENTRIES:
        raise SeePage(page, f"The extract has more than {MOST_ENTRIES} entries. Choose a shorter period.")
    put_right = Defect.objects.filter(building=building).put_right_where_found().with_all_of_it()
    put_right = list(_within(put_right, "found_at", since, until).order_by("found_at", "pk")[:MOST_ENTRIES])
    title_block = TitleBlock.as_of(
        asked.now,
        building,
        title="Log book, extract",
        number=f"{building.slug}/log-book",
        prepared_by=asked.by,
        address=page,
        landscape=True,
    )
    data = {
        "heading": "Log book, extract",
        "lead": f"{building.name} · {_period(since, until)} · {counted(len(entries), 'entries')}, oldest first",
        "blocks": [_note(), *_entries(entries), *_defects(put_right)],
    }
    content = typeset_pdf("documents/blocks_paper.typ", data, title_block=title_block, created_at=asked.now)
    return Made(content, is_blank=not entries and not put_right)


def _day(text, page):
    if not text:
        return None
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise SeePage(page, f"'{text[:20]}' is no day. Write it as 2026-11-30.") from error


def _within(rows, moment, since, until):
    if since:
        rows = rows.filter(**{f"{moment}__gte": timezone.make_aware(datetime.combine(since, time.min))})
    if until:
        rows = rows.filter(**{f"{moment}__lte": timezone.make_aware(datetime.combine(until, time.max))})
    return rows


def _period(since, until):
    if not since and not until:
        return "all entries"
    days = [
        f"from {date_format(since, 'j M Y')}" if since else "",
        f"to {date_format(until, 'j M Y')}" if until else "",
    ]
    return " ".join(filter(None, days))


def _moment(value):
    return date_format(timezone.localtime(value), "j M Y, H:i")


def _entries(entries):
    if not entries:
        return [words("No entry in this period.")]
    return [table(COLUMNS, (None, [_row(entry) for entry in entries]))]


def _row(entry):
    kind = entry.get_kind_display()
    result = f": {entry.get_check_result_display()}" if entry.check_result else ""
    place = [str(part) for part in (entry.position, entry.smoke_zone) if part]
    return [_moment(entry.happened_at), f"{kind}{result}", _what(entry), place, _done(entry), entry.seen_by]


def _what(entry):
    lines = [entry.what]
    if entry.cause:
        lines.append(f"Cause: {full_stop(entry.cause)}")
    if entry.planned_end_at:
        lines.append(f"Planned end {_moment(entry.planned_end_at)}; meanwhile: {full_stop(entry.interim_measure)}")
    if entry.is_corrected:
        lines.append(soft(f"Corrected on {_moment(entry.corrected_by.entered_at)}: this entry no longer counts."))
    if entry.corrects:
        lines.append(soft(f"Corrects the entry of {_moment(entry.corrects.entered_at)}."))
    return lines


def _done(entry):
    lines = [full_stop(entry.action)] if entry.action else []
    if entry.told_to:
        lines.append(f"Told: {full_stop(entry.told_to)}")
    if entry.ended_at:
        lines.append(f"Ended {_moment(entry.ended_at)}, {entry.ended_by}: {full_stop(entry.ending_note)}")
    elif entry.can_end:
        lines.append("Not ended.")
    return lines


def _defects(defects):
    if not defects:
        return []
    rows = [
        [
            _moment(defect.found_at),
            f"{defect.pk}: {defect.get_severity_display()}",
            full_stop(defect.description),
            str(defect.position or ""),
            [f"{_moment(defect.closed_at)}, {defect.closed_by.recorded_by}", full_stop(defect.closing_note)],
            str(defect.found_by),
        ]
        for defect in defects
    ]
    return [heading("Found and put right on the same visit"), table(DEFECT_COLUMNS, (None, rows))]


def _note():
    return small("Entries are never changed: one that was wrong stands beside the one that corrects it.")
