"""Defects: opened by a fail, changed with a reason, closed by the passing result of a person who says so."""

import textwrap

from django.db import transaction
from django.db.models import Q
from django.utils import timezone

from inspections.models import Defect, SettingFound, Severity, VisitKind
from inspections.models.test_points import PASSING
from inspections.test_points.counting import in_order_of_sight, look_at_contradiction, open_defects_of
from sites_registry.services.refusals import Refused


class DefectRefused(Refused):
    """The defect cannot be opened, changed or closed so."""


@transaction.atomic
def open_defect(*, result, severity, description, interim_measure="", told_to=""):
    """Open the defect of a failing result; returns it.

    While it stands open, further fails at the same test point are the same defect: it dates from the fail seen first.
    It says what the last one says where its author knew of the defect, else the worse and both.
    """
    details = {"severity": severity, "description": description, "interim_measure": interim_measure, "told_to": told_to}
    # `of=self`: PostgreSQL cannot lock the empty side of an outer join.
    standing = open_defects_of(result.test_point).select_for_update(of=("self",))
    defect = standing.select_related("found_by_result__recorded_by").first()
    if defect is None:
        defect = _new_defect(result)
        first = result
    else:
        first = in_order_of_sight([defect.found_by_result, result])[0]
        if str(defect.found_by_result.client_uuid) not in (result.known_results or ()):
            details = _worse_and_both(defect, details)
        defect._change_reason = result.correction_reason or "Found again at the same test point"
    for name, value in details.items():
        setattr(defect, name, value)
    if defect.told_to and not defect.told_at:
        defect.told_at = result.seen_at
    defect.found_by_result, defect.found_at, defect.found_by = first, first.seen_at, first.recorded_by
    defect._history_user = result.recorded_by
    defect.full_clean(exclude=["found_by_result"])
    defect.save()
    return defect


def _new_defect(result):
    point = result.test_point
    return Defect(building=point.visit.building, position=point.position, found_on=point.visit)


def _worse_and_both(defect, details):
    """What two people say who did not know of each other: nobody's words and no graver severity are lost."""
    ranks = list(Severity)
    both = {"severity": min(defect.severity, details["severity"], key=ranks.index)}
    for name in ("description", "interim_measure", "told_to"):
        texts = dict.fromkeys(filter(None, (getattr(defect, name), details[name])))
        both[name] = textwrap.shorten(" / ".join(texts), Defect._meta.get_field(name).max_length, placeholder=" …")
    return both


def open_again(result):
    """Where the word that counts is "not tested", nothing was put right: what its test point closed opens again."""
    closed = Defect.objects.select_for_update().filter(closed_by_result__test_point=result.test_point_id)
    for defect in closed:
        defect.closed_at, defect.closed_by_result, defect.closing_note = None, None, ""
        defect._history_user = result.recorded_by
        defect._change_reason = f"The pass that closed it was corrected: {result.get_outcome_display()}"
        defect.save()
        look_at_contradiction(defect)


def may_close(defect, result):
    """The sentence why this result cannot close this defect; empty when it can."""
    point = result.test_point
    if result.outcome not in PASSING:
        return f"{defect} is closed by a pass, not by '{result.get_outcome_display()}'."
    if point.visit.building_id != defect.building_id:
        return f"{defect} is in another building."
    if defect.position_id and point.position_id != defect.position_id:
        return f"{defect} is at {defect.position}. Only a test there closes it."
    found_by = defect.found_by_result
    # At one test point its author had the fail before them; no clock is asked.
    is_same_point = found_by is not None and found_by.test_point_id == point.pk
    if not is_same_point and result.seen_at <= defect.found_at:
        return f"This result was seen before {str(defect).lower()} was found."
    is_same_check = not found_by or found_by.test_point.code == point.code
    if not is_same_check and point.visit.kind != VisitKind.REMEDIAL:
        return (
            f"{defect} was found by '{found_by.test_point.title}'. A pass of that check, or remedial work, closes it."
        )
    return ""


@transaction.atomic
def close_defect(*, defect, result, note=""):
    """Close a defect by a passing result of its position, because a person says so. Closed by it already, it stays so.

    Raises DefectRefused.
    """
    defect = Defect.objects.select_for_update(of=("self",)).get(pk=defect.pk)
    if defect.closed_by_result_id == result.pk:
        return defect
    if not defect.is_open:
        raise DefectRefused(f"{defect} was closed on {timezone.localtime(defect.closed_at):%-d %b %Y} already.")
    if reason := may_close(defect, result):
        raise DefectRefused(reason)
    _set_closed(defect, result, note)
    return defect


def _set_closed(defect, result, note):
    defect.closed_at, defect.closed_by_result, defect.closing_note = result.seen_at, result, note[:400]
    # Two phones can be seconds apart even when corrected.
    defect.closed_at = max(defect.closed_at, defect.found_at)
    defect._history_user = result.recorded_by
    defect._change_reason = note or "Closed by a passing result"
    defect.save()
    look_at_contradiction(defect)


def closable_at(position_ids, visit):
    """Open defects of these positions that were found before this visit, for the field form to offer."""
    return (
        Defect.objects.open()
        .filter(position__in=position_ids, building=visit.building)
        .exclude(found_on=visit)
        .select_related("found_by_result__test_point", "position", "found_on")
        .worst_first()
    )


def open_setting_defect(*, entry, severity):
    """Open the defect of a setting that was not found as left, at the position of its panel; returns it.

    `entry` is not saved yet. Found wrong again while the defect of the same setting stands open, or was closed on the
    same visit, it stays that one defect.
    """
    defect = _defect_of_setting(entry)
    if defect is None:
        defect = Defect(
            building=entry.visit.building,
            position=entry.panel.position,
            found_on=entry.visit,
            found_at=entry.recorded_at,
            found_by=entry.recorded_by,
        )
    else:
        defect.closed_at, defect.closed_by_setting, defect.closing_note = None, None, ""
        defect._change_reason = f"Found again on {entry.visit}"
    defect.severity, defect.description = severity, _setting_words(entry)
    defect._history_user = entry.recorded_by
    defect.full_clean()
    defect.save()
    return defect


def _setting_words(entry):
    left = textwrap.shorten(entry.left_words, 200, placeholder=" …")
    known = "not known before" if entry.answer == SettingFound.Answer.RECORDED else f"left at {left}"
    return f"Setting {entry.name[:160]}: found {entry.found_words}, {known}"


def _defect_of_setting(entry):
    same = Q(settings_found__panel=entry.panel, settings_found__key=entry.key)
    open_or_closed_here = Q(closed_at=None) | Q(closed_by_setting__visit=entry.visit)
    keys = Defect.objects.filter(same, open_or_closed_here).order_by("-pk").values_list("pk", flat=True)[:1]
    return Defect.objects.select_for_update(of=("self",)).filter(pk__in=list(keys)).first()


def open_defects_of_settings(panel, keys):
    """{key of a setting: its open defect} of these settings of a panel, for the page to offer their closing."""
    rows = (
        SettingFound.objects.filter(panel=panel, key__in=keys, defect__closed_at=None, defect__isnull=False)
        .select_related("defect")
        .order_by("pk")
    )
    return {entry.key: entry.defect for entry in rows}


def settle_setting_defect(entry, *, is_put_right):
    """Bring the defect of a setting in line with its newest entry, which is saved.

    Found as left, it closes where the person says that it was put right; not seen after all, what this visit closed
    opens again: nothing was put right.
    """
    defect = _defect_of_setting(entry)
    if defect is None:
        return
    if entry.answer == SettingFound.Answer.AS_LEFT and defect.is_open and is_put_right:
        defect.closed_at, defect.closed_by_setting = max(entry.recorded_at, defect.found_at), entry
        defect.closing_note = f"Setting found as left: {entry.left_words}"[:400]
        defect._change_reason = "Found as left, and put right"
    elif entry.answer == SettingFound.Answer.NOT_SEEN and not defect.is_open:
        defect.closed_at, defect.closed_by_setting, defect.closing_note = None, None, ""
        defect._change_reason = "The answer that closed it was corrected: not seen"
    else:
        return
    defect._history_user = entry.recorded_by
    defect.save()
