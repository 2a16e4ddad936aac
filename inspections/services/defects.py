"""Defects: opened by a fail, changed with a reason, closed by a passing result and by nothing else."""

import textwrap

from django.db import transaction
from django.db.models import Q

from inspections.models import Defect, Outcome, SettingFound, VisitKind
from sites_registry.services.refusals import Refused

PASSING = (Outcome.PASS, Outcome.REMARK)
NOT_TESTED = (Outcome.NOT_ACCESSIBLE, Outcome.NOT_APPLICABLE)


class DefectRefused(Refused):
    """The defect cannot be opened, changed or closed so."""


@transaction.atomic
def open_defect(*, result, severity, description, interim_measure="", told_to=""):
    """Open the defect of a failing result; returns it.

    Fails that follow each other at one test point are one defect: it dates from the first and says what the last
    one says, whatever the order in which they arrive.
    """
    details = {
        "severity": severity, "description": description, "interim_measure": interim_measure, "told_to": told_to
    }  # fmt: skip
    run = _run_of_fails(result)
    defect = Defect.objects.select_for_update().filter(found_by_result__in=[fail.pk for fail in run]).first()
    if defect is None:
        defect = _new_defect(result)
    elif result == run[-1]:
        defect._change_reason = result.correction_reason or "Found again at the same test point"
    else:
        details = {}
    for name, value in details.items():
        setattr(defect, name, value)
    if defect.told_to and not defect.told_at:
        defect.told_at = result.seen_at
    first = run[0]
    defect.found_by_result, defect.found_at, defect.found_by = first, first.seen_at, first.recorded_by
    if defect.pk:
        defect.row_version += 1
    defect._history_user = result.recorded_by
    defect.full_clean(exclude=["found_by_result"])
    defect.save()
    return defect


def _new_defect(result):
    point = result.test_point
    return Defect(building=point.visit.building, position=point.position, found_on=point.visit)


def in_order_of_sight(results):
    """Results of one test point as they were seen; the identifier decides between equal times, never the arrival."""
    return sorted(results, key=lambda result: (result.seen_at, result.client_uuid.hex))


def _run_of_fails(result):
    """The fails at the test point of `result` that no other outcome parts from it, in order of sight."""
    run = []
    for other in in_order_of_sight(result.test_point.results.select_related("recorded_by")):
        if other.outcome == Outcome.FAIL:
            run.append(other)
        elif result in run:
            break
        else:
            run = []
    return run


def settle_defects(test_point):
    """Bring the defects of a test point in line with all its results, whatever the order in which they arrived.

    A later pass at the same point closes what a fail opened there: retested, or entered wrongly at first. Where the
    last word is "not accessible" or "not applicable", nothing was put right: what this point closed opens again.
    """
    results = in_order_of_sight(test_point.results.select_related("recorded_by", "test_point__visit"))
    if results[-1].outcome in NOT_TESTED:
        _open_again(results)
        return
    # `of=self`: PostgreSQL cannot lock the empty side of an outer join.
    found_here = Defect.objects.select_for_update(of=("self",)).filter(found_by_result__test_point=test_point)
    for defect in found_here.filter(Q(closed_at=None) | Q(closed_by_result__test_point=test_point)):
        closer = next((r for r in results if r.outcome in PASSING and r.seen_at > defect.found_at), None)
        if closer and defect.closed_by_result_id != closer.pk:
            _set_closed(defect, closer, closer.correction_reason or "Passed when tested again on the same visit")


def _open_again(results):
    for defect in Defect.objects.select_for_update().filter(closed_by_result__in=[result.pk for result in results]):
        defect.closed_at, defect.closed_by_result, defect.closing_note = None, None, ""
        defect.row_version += 1
        defect._history_user = results[-1].recorded_by
        defect._change_reason = f"The pass that closed it was corrected: {results[-1].get_outcome_display()}"
        defect.save()


def may_close(defect, result):
    """The sentence why this result cannot close this defect; empty when it can."""
    point = result.test_point
    if result.outcome not in PASSING:
        return f"{defect} is closed by a pass, not by '{result.get_outcome_display()}'."
    if point.visit.building_id != defect.building_id:
        return f"{defect} is in another building."
    if defect.position_id and point.position_id != defect.position_id:
        return f"{defect} is at {defect.position}. Only a test there closes it."
    if result.seen_at <= defect.found_at:
        return f"This result was seen before {str(defect).lower()} was found."
    found_by = defect.found_by_result
    is_same_check = not found_by or found_by.test_point.code == point.code
    if not is_same_check and point.visit.kind != VisitKind.REMEDIAL:
        return (
            f"{defect} was found by '{found_by.test_point.title}'. A pass of that check, or remedial work, closes it."
        )
    return ""


@transaction.atomic
def close_defect(*, defect, result, note=""):
    """Close a defect by a later passing result of its position. Closed by it already, it stays so.

    Raises DefectRefused.
    """
    defect = Defect.objects.select_for_update(of=("self",)).get(pk=defect.pk)
    if defect.closed_by_result_id == result.pk:
        return defect
    if not defect.is_open:
        raise DefectRefused(f"{defect} was closed on {defect.closed_at:%Y-%m-%d} already.")
    if reason := may_close(defect, result):
        raise DefectRefused(reason)
    _set_closed(defect, result, note)
    return defect


def _set_closed(defect, result, note):
    defect.closed_at, defect.closed_by_result, defect.closing_note = result.seen_at, result, note[:400]
    defect.row_version += 1
    defect._history_user = result.recorded_by
    defect._change_reason = note or "Closed by a passing result"
    defect.save()


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
            building=entry.visit.building, position=entry.panel.position, found_on=entry.visit,
            found_at=entry.recorded_at, found_by=entry.recorded_by,
        )  # fmt: skip
    else:
        defect.row_version += 1
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


def settle_setting_defects(entry):
    """Bring the defect of a setting in line with its newest entry, which is saved.

    Found as left, it closes; not seen after all, what this visit closed opens again: nothing was put right.
    """
    defect = _defect_of_setting(entry)
    if defect is None:
        return
    if entry.answer == SettingFound.Answer.AS_LEFT and defect.is_open:
        defect.closed_at, defect.closed_by_setting = entry.recorded_at, entry
        defect.closing_note = f"Setting found as left: {entry.left_words}"[:400]
        defect._change_reason = "Found as left"
    elif entry.answer == SettingFound.Answer.NOT_SEEN and not defect.is_open:
        defect.closed_at, defect.closed_by_setting, defect.closing_note = None, None, ""
        defect._change_reason = "The answer that closed it was corrected: not seen"
    else:
        return
    defect.row_version += 1
    defect._history_user = entry.recorded_by
    defect.save()
