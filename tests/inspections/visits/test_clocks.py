"""Phones whose clock is wrong: each answer is taken, with the device's time, the offset and the corrected time."""

import uuid
from datetime import timedelta

import pytest
from django.utils import timezone
from django.utils.formats import date_format

from inspections.models import Defect, Result
from inspections.visits.edits import start_visit
from inspections.visits.results import take_answers
from tests import builders

MINUTE, HOUR, DAY = timedelta(minutes=1), timedelta(hours=1), timedelta(days=1)
DEFECT = {"severity": "impaired", "description": "Vent stays shut."}
PHONES = [
    pytest.param(wrong, id=name)
    for name, wrong in [
        ("right", timedelta(0)),
        ("ten minutes fast", 10 * MINUTE),
        ("an hour slow", -HOUR),
        ("a day ahead", DAY),
        ("three days behind", -3 * DAY),
        ("never set", -20_000 * DAY),
    ]
]


@pytest.fixture
def now():
    return timezone.now()


@pytest.fixture
def visit(town, now):
    return start_visit(visit=town.visit, started_by=town.people["engineer"], started_at=now - 2 * HOUR)


@pytest.fixture
def smoke(visit, town):
    return visit.test_points.get(position=town.detector)


def answer(point, seen_at, outcome="pass", **fields):
    """An answer that a phone gave when its own clock showed `seen_at`."""
    return {
        "client_uuid": str(uuid.uuid4()),
        "test_point": point.pk,
        "outcome": outcome,
        "seen_at": seen_at.isoformat(),
        **fields,
    }


@pytest.fixture
def send(town, visit):
    def send(answer, *, sent_at, received_at, person="engineer"):
        (verdict,) = take_answers(
            visit=visit,
            person=town.people[person],
            answers=[answer],
            sent_at=sent_at and sent_at.isoformat(),
            received_at=received_at,
        )
        return verdict

    return send


@pytest.mark.parametrize("wrong", PHONES)
def test_a_wrong_clock_is_taken_and_corrected(send, smoke, now, wrong):
    verdict = send(answer(smoke, now - 5 * MINUTE + wrong), sent_at=now + wrong, received_at=now)
    result = Result.objects.get(pk=verdict.result_id)
    assert result.seen_at == now - 5 * MINUTE
    assert result.device_at == now - 5 * MINUTE + wrong
    assert result.clock_offset_s == -wrong.total_seconds()


@pytest.mark.parametrize("wrong", PHONES)
def test_answers_of_a_wrong_and_a_right_clock_are_in_the_order_in_which_they_were_seen(send, smoke, now, wrong):
    earlier = answer(smoke, now - 4 * MINUTE + wrong, "remark", remark="Dusty.")
    later = answer(smoke, now - 2 * MINUTE)
    send(later, sent_at=now, received_at=now)
    send(earlier, sent_at=now + wrong, received_at=now)
    smoke.refresh_from_db()
    assert str(smoke.latest_result.client_uuid) == later["client_uuid"]


def test_a_clock_that_was_set_while_the_answer_waited_is_corrected_by_what_the_phone_knew_when_answering(
    send, smoke, now
):
    fast = 10 * MINUTE  # when answering; overnight somebody set it right
    queued = answer(smoke, now - HOUR + fast, clock_offset_ms=-600_000)
    result = Result.objects.get(pk=send(queued, sent_at=now, received_at=now).result_id)
    assert (result.seen_at, result.clock_offset_s, result.clock_offset_at_sending_s) == (now - HOUR, -600, 0)
    assert result.clock_words == "phone's clock 10 min fast, corrected; set while the answer waited"


@pytest.mark.parametrize(
    ("offset_s", "words"),
    [
        (None, ""),
        (0, ""),
        (-59, ""),
        (-600, "phone's clock 10 min fast, corrected"),
        (3600, "phone's clock 60 min slow, corrected"),
        (86_400, "phone's clock 24 h slow, corrected"),
        (-259_200, "phone's clock 3 days fast, corrected"),
    ],
)
def test_an_offset_is_told_from_a_minute_on(offset_s, words):
    assert Result(clock_offset_s=offset_s, clock_offset_at_sending_s=offset_s).clock_words == words


def test_without_the_time_of_sending_the_time_of_the_device_stands_and_no_offset_is_claimed(send, smoke, now):
    result = Result.objects.get(pk=send(answer(smoke, now - 5 * MINUTE), sent_at=None, received_at=now).result_id)
    assert (result.seen_at, result.clock_offset_s, result.clock_words) == (now - 5 * MINUTE, None, "")


@pytest.mark.parametrize("sent_at", ["yesterday", 5, [], {"a": 1}, "0001-01-01T00:00:00+14:00", "9" * 500])
def test_a_time_of_sending_that_makes_no_sense_holds_up_no_answer(town, visit, smoke, now, sent_at):
    (verdict,) = take_answers(
        visit=visit, person=town.people["engineer"], answers=[answer(smoke, now)], sent_at=sent_at, received_at=now
    )
    assert verdict.fate == "taken"


@pytest.mark.parametrize("offset", [10**30, "x", ["x"], "0x10", 10**15])
def test_an_offset_that_makes_no_sense_is_refused_with_a_sentence(send, smoke, now, offset):
    verdict = send(answer(smoke, now, clock_offset_ms=offset), sent_at=now, received_at=now)
    assert verdict.fate == "refused" and verdict.message.endswith(".")


def test_what_lies_ahead_is_judged_by_the_corrected_time(send, smoke, now):
    ahead = send(answer(smoke, now + HOUR), sent_at=now, received_at=now)
    fast = send(answer(smoke, now + HOUR), sent_at=now + HOUR, received_at=now)
    assert "which lies ahead" in ahead.message
    assert fast.fate == "taken"


def test_a_fast_phones_pass_does_not_outlive_the_fail_of_a_right_clock(send, smoke, now):
    """As it happened: ten minutes fast passed a point, another phone then failed it as impaired."""
    send(answer(smoke, now - MINUTE + 10 * MINUTE), sent_at=now + 10 * MINUTE, received_at=now)
    send(answer(smoke, now, "fail", defect=DEFECT), sent_at=now, received_at=now, person="office")
    smoke.refresh_from_db()
    defect = Defect.objects.get()
    assert (smoke.latest_result.outcome, defect.is_open, defect.severity) == ("fail", True, "impaired")


NOT_MEASURED = [pytest.param(wrong, False) for wrong in (timedelta(0), 10 * MINUTE, -HOUR)]


@pytest.mark.parametrize(
    ("wrong", "is_measured"), [*(pytest.param(*each.values, True, id=each.id) for each in PHONES), *NOT_MEASURED]
)
def test_no_clock_lets_a_pass_outvote_a_fail(send, smoke, now, wrong, is_measured):
    later = now + 12 * MINUTE
    send(answer(smoke, now, "fail", defect=DEFECT), sent_at=now, received_at=now)
    sent_at = later + wrong if is_measured else None
    send(answer(smoke, later + wrong), sent_at=sent_at, received_at=later, person="office")
    smoke.refresh_from_db()
    assert (smoke.latest_result.outcome, smoke.is_contradicted) == ("fail", True)
    assert Defect.objects.get().is_open


def test_an_old_result_keeps_its_time_and_claims_no_offset(town):
    result = builders.make_result()
    assert (result.clock_offset_s, result.clock_words) == (None, "")


def words_of(moment):
    return date_format(timezone.localtime(moment), "DATETIME_FORMAT")


def test_a_refused_time_of_a_wrong_clock_is_told_by_both_clocks(send, smoke, now):
    seen_at = now - 10 * DAY  # before the visit started
    fast = send(answer(smoke, seen_at + 3 * DAY), sent_at=now + 3 * DAY, received_at=now)
    right = send(answer(smoke, seen_at), sent_at=now, received_at=now)
    by_device, by_register = (words_of(one) for one in (seen_at + 3 * DAY, seen_at))
    told = f"was seen on {by_device}, by the register's clock {by_register}, before the visit started on "
    assert told in fast.message
    assert f"was seen on {by_register}, before the visit started on " in right.message
