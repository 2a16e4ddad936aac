"""Answers: each taken exactly once, in any order, judged against the limits of its point."""

import itertools
import uuid
from datetime import timedelta

import pytest
from django.utils import timezone

from inspections.defects.edits import close_defect
from inspections.models import Defect, Result
from inspections.visits import plain_answers
from inspections.visits.edits import call_off_visit, finish_visit, start_visit
from inspections.visits.results import ask_for_retest, take_answers
from tests import builders


@pytest.fixture
def visit(town):
    return start_visit(visit=town.visit, started_by=town.people["engineer"])


@pytest.fixture
def charger(visit):
    return visit.test_points.get(code="charger-voltage")


@pytest.fixture
def smoke(visit, town):
    return visit.test_points.get(position=town.detector)


@pytest.fixture
def take(town, visit):
    def send(*answers):
        return take_answers(visit=visit, person=town.people["engineer"], answers=answers)

    return send


def answer(point, outcome="pass", minutes=0, **fields):
    seen_at = (timezone.now() + timedelta(minutes=minutes)).isoformat()
    return {"client_uuid": str(uuid.uuid4()), "test_point": point.pk, "outcome": outcome, "seen_at": seen_at, **fields}


DEFECT = {"severity": "impaired", "description": "Vent stays shut.", "told_to": "Caretaker"}


def test_an_answer_is_taken(take, smoke):
    (verdict,) = take(answer(smoke))
    smoke.refresh_from_db()
    assert verdict.fate == "taken"
    assert (smoke.latest_result.outcome, smoke.latest_result.pk) == ("pass", verdict.result_id)


def test_an_answer_sent_again_is_taken_once(take, smoke):
    sent = answer(smoke)
    first, second = take(sent, sent)
    (third,) = take(sent)
    assert [first.fate, second.fate, third.fate] == ["taken", "already_taken", "already_taken"]
    assert Result.objects.filter(test_point__visit__state="under_way").count() == 1
    assert third.result_id == first.result_id


def test_a_refused_answer_holds_up_no_other(take, smoke, charger):
    refused, taken = take(answer(charger), answer(smoke))
    assert (refused.fate, refused.message) == ("refused", "Charger voltage: enter the float voltage in V.")
    assert (refused.field, refused.test_point_id, refused.result_id) == ("reading", charger.pk, None)
    assert taken.fate == "taken"
    assert Result.objects.filter(test_point__visit__state="under_way").count() == 1


def test_a_fail_needs_no_reading_where_nothing_can_be_read(take, charger):
    (verdict,) = take(answer(charger, "fail", defect=DEFECT))  # a dead charger has no float voltage (common practice)
    charger.refresh_from_db()
    assert (verdict.fate, charger.latest_result.outcome, charger.latest_result.reading) == ("taken", "fail", None)


def test_a_reading_within_the_limits_passes(take, charger):
    (verdict,) = take(answer(charger, reading="27,3"))
    assert verdict.fate == "taken"
    assert str(Result.objects.filter(test_point__visit__state="under_way").get().reading) == "27.300"


@pytest.mark.parametrize("reading", ["26.9", "27.601"])
def test_a_reading_outside_the_limits_is_no_plain_pass(take, charger, reading):
    (verdict,) = take(answer(charger, reading=reading))
    assert verdict.fate == "refused"
    assert f"Float voltage {reading} V is outside the limits (27 to 27.6 V)" in verdict.message
    assert verdict.field == "outcome"
    assert not Result.objects.filter(test_point__visit__state="under_way").exists()


@pytest.mark.parametrize(("outcome", "further"), [("remark", {"remark": "Cold room."}), ("fail", {"defect": DEFECT})])
def test_a_reading_outside_the_limits_goes_with_a_remark_or_as_a_fail(take, charger, outcome, further):
    (verdict,) = take(answer(charger, outcome, reading="26.9", **further))
    assert verdict.fate == "taken"


@pytest.mark.parametrize("reading", ["NaN", "1e999", "Infinity", "twelve", "1234567890", "1.2345", "1\x00", "٣", True])
def test_what_is_no_plain_number_is_refused(take, charger, reading):
    (verdict,) = take(answer(charger, reading=reading))
    assert verdict.fate == "refused"
    assert not Result.objects.filter(test_point__visit__state="under_way").exists()


def test_a_check_without_a_reading_takes_none(take, smoke):
    (verdict,) = take(answer(smoke, reading="5"))
    assert "takes no reading" in verdict.message
    assert verdict.field == "reading"


@pytest.mark.parametrize("outcome", ["not_accessible", "not_applicable"])
def test_not_tested_needs_a_reason(take, smoke, charger, outcome):
    without, with_reason = take(answer(smoke, outcome), answer(charger, outcome, reason="No key."))
    assert "say why" in without.message
    assert without.field == "reason"
    assert with_reason.fate == "taken"


def test_a_remark_needs_its_text(take, smoke):
    (verdict,) = take(answer(smoke, "remark"))
    assert verdict.message == "Function: write the remark."
    assert verdict.field == "remark"


@pytest.mark.parametrize(
    "broken",
    [
        None,
        [],
        "text",
        {},
        {"client_uuid": "x"},
        {"test_point": 10**30},
        {"outcome": "splendid"},
        {"client_uuid": None},
        {"remark": "x" * 401},
        {"remark": "nul\x00"},
        {"remark": "\ud800"},
        {"remark": ["a"]},
        {"seen_at": "yesterday"},
        {"test_point": "1 or 1"},
        {"outcome": "fail", "defect": "broken"},
        {"closes": ["x"]},
        {"closes": [10**30]},
        {"closes": {"a": 1}},
        {"closes": [1], "closing_note": 5},
    ],
)
def test_an_answer_that_makes_no_sense_is_refused_with_a_sentence(take, smoke, broken):
    sent = {**answer(smoke), **broken} if isinstance(broken, dict) and broken else broken
    (verdict,) = take(sent)
    assert (verdict.fate, verdict.result_id) == ("refused", None)
    assert verdict.message.endswith((".", ")"))
    assert not Result.objects.filter(test_point__visit__state="under_way").exists()


def test_a_point_of_another_visit_is_refused(take, town):
    elsewhere = builders.make_test_point()
    (verdict,) = take(answer(elsewhere))
    assert "is not on visit" in verdict.message
    assert verdict.field == "test_point"


def test_another_persons_identifier_is_refused(take, town, visit, smoke, charger):
    sent = answer(smoke)
    take(sent)
    (verdict,) = take_answers(visit=visit, person=town.people["office"], answers=[sent])
    (other_point,) = take({**answer(charger, reading="27.3"), "client_uuid": sent["client_uuid"]})
    assert verdict.fate == other_point.fate == "refused"


def test_without_a_fail_the_answer_seen_last_counts_whatever_the_order_of_arrival(town):
    outcomes = set()
    for order in itertools.permutations(range(3)):
        visit = start_visit(visit=builders.make_visit(town.hall), started_by=town.people["engineer"])
        point = visit.test_points.get(position=town.detector)
        answers = [
            answer(point, "not_accessible", -3, reason="Locked."),
            answer(point, "pass", -2),
            answer(point, "remark", -1, remark="Late."),
        ]
        for i in order:
            take_answers(visit=visit, person=town.people["engineer"], answers=[answers[i]])
        point.refresh_from_db()
        outcomes.add((point.latest_result.outcome, point.results.count()))
    assert outcomes == {("remark", 3)}


@pytest.mark.parametrize("order", [(0, 1), (1, 0)])
def test_two_fails_are_one_defect_that_says_what_the_second_knew_better(take, smoke, order):
    first = answer(smoke, "fail", -3, defect=DEFECT)
    second = answer(
        smoke, "fail", -2, defect={"severity": "minor", "description": "Slow."}, knows=[first["client_uuid"]]
    )
    for i in order:
        take([first, second][i])
    defect = Defect.objects.get()
    assert str(defect.found_by_result.client_uuid) == first["client_uuid"]
    # Arriving first, the second speaks alone; the first did not know of it, so that the graver severity stays.
    assert (defect.severity, "Slow." in defect.description) == (
        ("minor", True) if order == (0, 1) else ("impaired", True)
    )


@pytest.mark.parametrize("order", [(0, 1), (1, 0)])
def test_two_fails_that_do_not_know_of_each_other_are_one_defect_of_the_graver_severity(take, smoke, order):
    answers = [
        answer(smoke, "fail", -3, defect=DEFECT),
        answer(smoke, "fail", -2, defect={"severity": "minor", "description": "Slow."}),
    ]
    for i in order:
        take(answers[i])
    defect = Defect.objects.get()
    assert str(defect.found_by_result.client_uuid) == answers[0]["client_uuid"]
    assert defect.severity == "impaired"
    assert "Slow." in defect.description and "Vent stays shut." in defect.description
    newest = defect.history.first()
    assert newest.history_user == defect.found_by
    assert newest.history_change_reason == "Found again at the same test point"


def test_a_fail_opens_a_defect(take, smoke, town, visit):
    (verdict,) = take(answer(smoke, "fail", defect=DEFECT))
    defect = Defect.objects.get()
    assert (defect.severity, defect.position, defect.found_on, defect.building) == (
        "impaired",
        town.detector,
        visit,
        town.hall,
    )
    assert defect.told_at is not None
    assert verdict.notes == (f"Defect {defect.pk} stands open: impaired.",)


def test_a_fail_without_a_severity_changes_nothing(take, smoke):
    (verdict,) = take(answer(smoke, "fail", defect={"description": "Broken."}))
    assert "choose how severe" in verdict.message
    assert not Result.objects.filter(test_point__visit__state="under_way").exists() and not Defect.objects.exists()


def test_a_pass_closes_the_defect_that_it_names(take, smoke, town):
    defect = earlier_defect(town)
    (verdict,) = take(answer(smoke, closes=[defect.pk], closing_note="Head replaced."))
    defect.refresh_from_db()
    assert verdict.notes == (f"Defect {defect.pk} is closed.",)
    assert (defect.closed_by_result_id, defect.closing_note) == (verdict.result_id, "Head replaced.")
    newest = defect.history.first()
    assert (newest.history_user, newest.history_change_reason) == (town.people["engineer"], "Head replaced.")


def test_a_pass_that_says_no_more_closes_a_defect_with_a_reason_of_its_own(take, smoke, town):
    defect = earlier_defect(town)
    take(answer(smoke, closes=[defect.pk]))
    assert defect.history.first().history_change_reason == "Closed by a passing result"


def test_a_long_closing_note_is_cut_to_its_room_and_whole_in_the_history(smoke, take, town):
    defect = earlier_defect(town)
    take(answer(smoke))
    close_defect(defect=defect, result=smoke.results.get(), note="n" * 401)
    defect.refresh_from_db()
    assert defect.closing_note == "n" * 400
    assert defect.history.first().history_change_reason == "n" * 401


@pytest.mark.parametrize(("length", "fate"), [(400, "taken"), (401, "refused")])
def test_a_closing_note_has_room_for_400_characters(take, smoke, town, length, fate):
    (verdict,) = take(answer(smoke, closes=[earlier_defect(town).pk], closing_note="n" * length))
    assert verdict.fate == fate
    assert not verdict.message or "at most 400 characters" in verdict.message
    assert verdict.field == ("closing_note" if verdict.message else "")


def test_a_pass_elsewhere_closes_nothing(take, charger, town):
    defect = earlier_defect(town)
    (verdict,) = take(answer(charger, reading="27.3", closes=[defect.pk]))
    defect.refresh_from_db()
    assert verdict.message == f"Defect {defect.pk} is at SD1. Only a test there closes it."
    assert defect.is_open and not Result.objects.filter(test_point=charger).exists()


def test_a_defect_of_another_building_is_not_closed(take, smoke, town):
    elsewhere = builders.make_defect(town.mill)
    (verdict,) = take(answer(smoke, closes=[elsewhere.pk]))
    assert "not one of this building" in verdict.message
    assert verdict.field == "closes"


def test_a_pass_that_is_corrected_to_not_accessible_opens_the_defect_again(take, smoke, town):
    defect = earlier_defect(town)
    take(answer(smoke, "pass", -2, closes=[defect.pk]))
    take(answer(smoke, "not_accessible", -1, reason="Wrong head tested."))
    defect.refresh_from_db()
    assert defect.is_open
    newest = defect.history.first()
    assert newest.history_user == town.people["engineer"]
    assert newest.history_change_reason == "The pass that closed it was corrected: not accessible"


def test_a_finished_visit_takes_a_correction_with_a_reason_only(take, visit, smoke, charger, town):
    take(answer(smoke), answer(charger, reading="27.3"), answer(visit.test_points.get(position=town.call_point)))
    finish_visit(visit=visit, finished_by=town.people["engineer"])
    without, with_reason = take(answer(smoke), answer(smoke, correction_reason="Wrong head."))
    assert "say why it is corrected" in without.message
    assert without.field == "correction_reason"
    assert with_reason.fate == "taken"


@pytest.mark.parametrize("state", ["planned", "called_off"])
def test_a_visit_that_is_not_under_way_takes_no_answers(town, visit, smoke, state):
    if state == "called_off":
        call_off_visit(visit=visit, reason="Snow", called_off_by=town.people["office"])
    else:
        type(visit).objects.update(state="planned")
    (verdict,) = take_answers(visit=visit, person=town.people["engineer"], answers=[answer(smoke)])
    assert verdict.fate == "refused"


def test_a_clock_that_runs_ahead_is_told(take, smoke):
    far, near = take(answer(smoke, minutes=60), answer(smoke, minutes=5))
    assert "Set its clock" in far.message
    assert far.field == "seen_at"
    assert near.fate == "taken"


def test_a_clock_days_behind_is_told(take, smoke):
    (verdict,) = take(answer(smoke, minutes=-60 * 48))
    assert "before the visit started" in verdict.message
    assert verdict.field == "seen_at"


def test_after_a_swap_earlier_results_no_longer_count(take, visit, smoke, town):
    take(answer(smoke, minutes=-5))
    ask_for_retest(visit=visit, position=town.detector, since=timezone.now(), reason="AK-0001 swapped")
    smoke.refresh_from_db()
    assert smoke.latest_result is None
    take(answer(smoke, minutes=-3))
    smoke.refresh_from_db()
    assert smoke.latest_result is None  # seen before the swap, arrived after it
    take(answer(smoke, minutes=1))
    smoke.refresh_from_db()
    assert smoke.latest_result.outcome == "pass"
    assert smoke.results.count() == 3


def earlier_defect(town):
    """A defect of the detector, found by the same check a year before."""
    earlier = builders.make_visit(town.hall, state="under_way", started_at=builders.days_ago(365))
    point = builders.make_test_point(earlier, town.detector)
    result = builders.make_result(point, outcome="fail", seen_at=builders.days_ago(365))
    return builders.make_defect(
        town.hall, earlier, position=town.detector, found_by_result=result, found_at=result.seen_at
    )


def test_what_another_transaction_stored_first_is_refused_alone(town, visit, smoke, monkeypatch):
    """The same identifier reaches the register on another visit while this batch is being taken."""
    first, second = smoke, visit.test_points.get(position=town.call_point)
    uuids = [str(uuid.uuid4()), str(uuid.uuid4())]
    other = builders.make_test_point(town.finished, town.detector, code="x", title="X")
    stored = plain_answers._write

    def write(results):
        if not Result.objects.filter(client_uuid=uuids[0]).exists():
            builders.make_result(other, visit.engineer, client_uuid=uuids[0])
        stored(results)

    monkeypatch.setattr(plain_answers, "_write", write)
    answers = [
        {"client_uuid": identifier, "test_point": point.pk, "outcome": "pass"}
        for identifier, point in zip(uuids, (first, second), strict=True)
    ]
    fates = take_answers(visit=visit, person=visit.engineer, answers=[*answers, answers[0]])
    assert [fate.fate for fate in fates] == ["refused", "taken", "refused"]
    first.refresh_from_db()
    second.refresh_from_db()
    assert first.latest_result is None
    assert str(second.latest_result.client_uuid) == uuids[1]


def test_two_answers_at_one_point_in_a_batch_are_both_kept_and_named(take, smoke):
    first, second = answer(smoke), answer(smoke, "pass", minutes=1)
    fates = take(first, second)
    assert [fate.client_uuid for fate in fates] == [first["client_uuid"], second["client_uuid"]]
    assert [fate.fate for fate in fates] == ["taken", "taken"]
    assert {str(uuid) for uuid in smoke.results.values_list("client_uuid", flat=True)} == {
        first["client_uuid"],
        second["client_uuid"],
    }


def test_a_fail_after_a_pass_in_one_batch_counts_and_names_itself(take, smoke):
    passed, failed = answer(smoke), answer(smoke, "fail", minutes=1, defect=DEFECT)
    fates = take(passed, failed)
    smoke.refresh_from_db()
    assert smoke.results.count() == 2
    assert smoke.latest_result.outcome == "fail"
    assert fates[1].client_uuid == failed["client_uuid"]
