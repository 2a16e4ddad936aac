"""Settings compared on a visit: entries are added and never changed; a difference is a defect at the panel."""

import hashlib
from dataclasses import dataclass

from django.db import transaction
from django.utils import timezone

from inspections.defects.edits import open_defects_of_settings, open_setting_defect, settle_setting_defect
from inspections.models import SettingFound, SettingTakenOver, Severity, Visit
from inspections.visits.edits import VisitRefused
from zones.panel_settings.edits import SettingRefused, is_stored, store_setting
from zones.panel_settings.sheet import SettingLine, settings_sheet

Answer = SettingFound.Answer


@dataclass(frozen=True)
class SettingAnswer:
    """What the engineer says of one line; `severity` empty: no defect (only where nothing was known before).

    `is_put_right`: as left again, and the open defect of this setting is closed by it.
    """

    line: SettingLine
    answer: str
    found: str = ""
    reason: str = ""
    severity: str = Severity.DEGRADED
    is_put_right: bool = False


@transaction.atomic
def record_settings(*, visit, panel, answers, recorded_by, recorded_at=None):
    """Record what the settings of a panel were found at; returns the new entries.

    An answer that says what stands recorded already makes no entry. A difference opens a defect at the panel's
    position, or is added to the one that stands open for this setting; found as left, it closes where the answer says
    so.
    Raises VisitRefused; ValidationError.
    """
    visit = _open_visit(visit, panel)
    standing = {entry.key: entry for entry in visit.settings_found.filter(panel=panel).latest()}
    new = [
        answer for answer in answers if answer.is_put_right or not _says_the_same(standing.get(answer.line.key), answer)
    ]
    return [_record(visit, panel, answer, recorded_by, recorded_at or timezone.now()) for answer in new]


def _open_visit(visit, panel):
    visit = Visit.objects.select_for_update(of=("self",)).select_related("building").get(pk=visit.pk)
    if not visit.is_open_for_results:
        raise VisitRefused(f"{visit} is {visit.get_state_display()}: settings are compared while it is under way.")
    if panel.building_id != visit.building_id:
        raise VisitRefused(f"{panel} is not in {visit.building}.")
    return visit


def rest_of(visit, panel, lines):
    """The settings that one act records as left: known, without an answer on this visit, without an open defect."""
    answered = set(visit.settings_found.filter(panel=panel).values_list("key", flat=True))
    different = open_defects_of_settings(panel, [line.key for line in lines])
    return [line for line in lines if line.is_known and line.key not in answered and line.key not in different]


def mark_of_lines(lines):
    """A mark of settings and their values as a page showed them, to notice that the record changed meanwhile."""
    text = "\n".join(f"{line.key} {line.value_with_unit}" for line in lines)
    return hashlib.sha256(text.encode()).hexdigest()[:16]


@transaction.atomic
def record_rest_as_left(*, visit, panel, seen, recorded_by, recorded_at=None):
    """Record every remaining setting of a panel as seen and as left, because a person says so; returns the entries.

    Never one with a difference: what has an answer or an open defect, and what was not known, is left alone. `seen` is
    `mark_of_lines` of the rest that the person had before them. Raises VisitRefused.
    """
    visit = _open_visit(visit, panel)
    rest = rest_of(visit, panel, settings_sheet(panel).lines)
    if rest and mark_of_lines(rest) != seen:
        raise VisitRefused("The record or the answers were changed while this was open. Look at the rest once more.")
    now = recorded_at or timezone.now()
    entries = [
        SettingFound(
            visit=visit,
            panel=panel,
            key=line.key,
            name=line.full_name[:240],
            value_left=line.value,
            unit=line.unit,
            answer=Answer.AS_LEFT,
            recorded_by=recorded_by,
            recorded_at=now,
        )
        for line in rest
    ]
    return SettingFound.objects.bulk_create(entries)


def _says_the_same(entry, answer):
    if entry is None or (entry.answer, entry.found, entry.reason) != (answer.answer, answer.found, answer.reason):
        return False
    return entry.value_left == answer.line.value and (entry.defect.severity if entry.defect else "") == (
        answer.severity if answer.found else ""
    )


def _record(visit, panel, answer, recorded_by, recorded_at):
    line = answer.line
    entry = SettingFound(
        visit=visit,
        panel=panel,
        key=line.key,
        name=line.full_name[:240],
        value_left=line.value,
        unit=line.unit,
        answer=answer.answer,
        found=answer.found,
        reason=answer.reason,
        recorded_by=recorded_by,
        recorded_at=recorded_at,
    )
    if answer.answer == Answer.DIFFERS or (answer.answer == Answer.RECORDED and answer.severity):
        entry.defect = open_setting_defect(entry=entry, severity=answer.severity)
    entry.full_clean()
    entry.save()
    settle_setting_defect(entry, is_put_right=answer.is_put_right)
    return entry


def why_not_taken_over(entry):
    """The sentence why the found value of this entry cannot go into the record; empty where it can."""
    if entry.answer not in (Answer.DIFFERS, Answer.RECORDED):
        return "Only a value that was found otherwise is taken over."
    if entry.visit.state != Visit.State.FINISHED:
        return "Finish the visit first: until then the entry may be corrected."
    if not is_stored(entry.key):
        return "This follows from rules, devices or zones: change those instead."
    return ""


@transaction.atomic
def take_over_setting(*, entry, taken_by):
    """The record was wrong: put the found value of a finished visit into it, with its history. Asked twice, once.

    The defect stays open until a visit closes it, and says that the record was corrected. Raises SettingRefused.
    """
    entry = SettingFound.objects.select_for_update(of=("self",)).select_related("visit", "panel").get(pk=entry.pk)
    if standing := SettingTakenOver.objects.filter(entry=entry).first():
        return standing
    if why := why_not_taken_over(entry):
        raise SettingRefused(why)
    if entry.visit.settings_found.filter(panel=entry.panel_id, key=entry.key, pk__gt=entry.pk).exists():
        raise SettingRefused("This entry was corrected by a later one. Take that one over.")
    now = next((line for line in settings_sheet(entry.panel).lines if line.key == entry.key), None)
    if now is None:
        raise SettingRefused("This setting is no longer on record. Look at the settings sheet of the panel.")
    if now.value != entry.value_left:
        raise SettingRefused(
            f"The record says {now.value_with_unit} now, no longer {entry.left_words}: somebody changed it since. "
            "Correct it by its form if it is wrong."
        )
    store_setting(
        panel=entry.panel,
        key=entry.key,
        text=entry.found,
        unit=entry.unit,
        by=taken_by,
        reason=f"Found so on {entry.visit}; the record was wrong",
    )
    taken_over = SettingTakenOver(entry=entry, by=taken_by)
    taken_over.full_clean()
    taken_over.save()
    return taken_over
