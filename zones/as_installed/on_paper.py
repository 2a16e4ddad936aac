"""What drawings and schedules say of as-installed revisions: which the record equals, by whom, what each changed."""

from django.utils import timezone
from django.utils.formats import date_format

from sites_registry.documents.base import RevisionRow, Revisions
from zones.as_installed.changes import changes_between
from zones.as_installed.record import record_of
from zones.models import AsInstalledRevision

SHOWN = 5  # as many as stand beside the title block of a drawing, with the line of the older ones
LETTERS_OF_CHANGES = 62


def revisions_of(building, now):
    """The revisions of a building for a paper of `now`: one question, and those of its record where there is one.

    Who drew, checked and approved is said as long as the record equals the last revision, and what was stated of it
    stands; no paper shows an approval of something else.
    """
    newest = AsInstalledRevision.objects.filter(building=building).select_related("taken_by").order_by("-number")
    newest = newest.prefetch_related("acts__by")
    taken = list(newest[: SHOWN + 1])
    if not taken:
        return Revisions("no revision taken")
    since = changes_between(taken[0].record, record_of(building))
    rows = [_row_of(revision, before) for revision, before in zip(taken, [*taken[1:], None], strict=True)]
    if since:
        rows.insert(0, RevisionRow("now", _day(now), "–", words_of(since)))
    rows = rows[:SHOWN]
    older = taken[0].number - (len(rows) - bool(since))
    said = {"as_installed": f"changed since revision {taken[0].number}"} if since else _said_of(taken[0])
    return Revisions(rows=tuple(rows), older=older, **said)


def _said_of(revision):
    said = {"as_installed": f"revision {revision.number}", "drawn": _by(revision.taken_by, revision.taken_at)}
    if revision.is_unaltered:
        for act in revision.standing_acts:
            said[act.get_kind_display()] = _by(act.by, act.at) + (", who drew it" if act.why_alone else "")
    return said


def _by(person, moment):
    return f"{person.full_name}, {_day(moment)}"


def _row_of(revision, before):
    if revision.number == 1:
        words = "first record"
    else:
        words = words_of(changes_between(before.record, revision.record)) if before else ""
    return RevisionRow(str(revision.number), _day(revision.taken_at), revision.taken_by.full_name, words)


def _day(moment):
    return date_format(timezone.localtime(moment), "j M Y")


def words_of(changes, letters=LETTERS_OF_CHANGES):
    """Changes in so many letters: their number, the first of them, "and 5 more"."""
    if not changes:
        return "nothing changed"
    count = f"{len(changes)} change{'' if len(changes) == 1 else 's'}"
    named = [f"{one.name} {one.kind}" for one in changes]
    for shown in range(len(named), 0, -1):
        rest = [f"and {len(named) - shown} more"] if shown < len(named) else []
        words = f"{count}: {', '.join([*named[:shown], *rest])}"
        if len(words) <= letters:
            return words
    return count
