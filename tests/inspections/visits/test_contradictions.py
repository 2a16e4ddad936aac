"""A fail is never outvoted and a defect never closed unless a person who has seen the answers says so."""

import itertools
import uuid
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from inspections.certificates.issue import NotCertifiable, issue_certificate
from inspections.models import Defect
from inspections.visits.edits import finish_visit, start_visit
from inspections.visits.results import take_answers
from tests import builders

DEFECT = {"severity": "impaired", "description": "Vent stays shut."}


@pytest.fixture
def visit(town):
    return start_visit(visit=town.visit, started_by=town.people["engineer"])


@pytest.fixture
def smoke(visit, town):
    return visit.test_points.get(position=town.detector)


@pytest.fixture
def colleague():
    return builders.make_person("engineer", full_name="Ada Quill")


@pytest.fixture
def take(town, visit):
    def send(*answers, person=None):
        return take_answers(visit=visit, person=person or town.people["engineer"], answers=answers)

    return send


def answer(point, outcome="pass", minutes=0, **fields):
    seen_at = (timezone.now() + timedelta(minutes=minutes)).isoformat()
    if outcome == "fail":
        fields.setdefault("defect", DEFECT)
    return {"client_uuid": str(uuid.uuid4()), "test_point": point.pk, "outcome": outcome, "seen_at": seen_at, **fields}


def knowing(point, *answers, outcome="pass", **fields):
    return answer(point, outcome, knows=[one["client_uuid"] for one in answers], **fields)


def state_of(point):
    point.refresh_from_db()
    return point.latest_result.outcome, point.is_contradicted


@pytest.fixture
def contradicted(take, smoke, colleague):
    """A pass and a fail of two people who did not know of each other."""
    passed, failed = answer(smoke, minutes=-1), answer(smoke, "fail", -2)
    take(failed)
    take(passed, person=colleague)
    return passed, failed


@pytest.mark.parametrize("minutes", [-5, 5])
@pytest.mark.parametrize("order", list(itertools.permutations(range(2))))
def test_a_fail_counts_against_a_pass_that_did_not_know_of_it_in_any_order(take, smoke, colleague, order, minutes):
    answers = [(answer(smoke, "fail", -10), None), (answer(smoke, "pass", -10 + minutes), colleague)]
    for i in order:
        sent, person = answers[i]
        take(sent, person=person)
    assert state_of(smoke) == ("fail", True)
    assert Defect.objects.get().is_open


def test_the_phone_is_told_of_the_contradiction(take, smoke, colleague, town):
    take(answer(smoke, "fail"))
    (verdict,) = take(answer(smoke), person=colleague)
    assert verdict.fate == "taken"
    assert f"This contradicts the answer of {town.people['engineer']}" in verdict.notes[0]
    assert "The fail counts until somebody who has seen both says otherwise." in verdict.notes[0]


@pytest.mark.parametrize("order", [(0, 1), (1, 0)])
def test_not_applicable_contradicts_a_pass_that_did_not_know_of_it(take, smoke, colleague, order):
    answers = (answer(smoke, minutes=-2), answer(smoke, "not_applicable", -1, reason="No such device."))
    for i in order:
        (verdict,) = take(answers[i], person=colleague if i else None)
    assert "The answer seen last counts until somebody who has seen both says otherwise." in verdict.notes[0]
    assert state_of(smoke) == ("not_applicable", True)


def test_not_applicable_and_a_pass_are_settled_by_somebody_who_has_seen_both(take, smoke, colleague):
    passed, absent = answer(smoke, minutes=-2), answer(smoke, "not_applicable", -1, reason="No such device.")
    take(passed)
    take(absent, person=colleague)
    take(knowing(smoke, passed, absent, correction_reason="Behind the ceiling."))
    assert state_of(smoke) == ("pass", False)


@pytest.mark.parametrize("minutes", [-5, 5])
def test_what_was_tested_counts_before_a_not_accessible_that_did_not_know_of_it(take, smoke, colleague, minutes):
    take(answer(smoke, minutes=-10))
    take(answer(smoke, "not_accessible", -10 + minutes, reason="Locked."), person=colleague)
    assert state_of(smoke) == ("pass", False)


def test_a_fail_after_a_pass_that_was_known_contradicts_nothing(take, smoke):
    passed = answer(smoke, minutes=-1)
    take(passed)
    take(knowing(smoke, passed, outcome="fail"))
    assert state_of(smoke) == ("fail", False)


def test_a_pass_that_closes_what_the_fail_opened_counts(take, smoke):
    failed = answer(smoke, "fail", -1)
    take(failed)
    (verdict,) = take(knowing(smoke, failed, closes_fails=True, correction_reason="Fuse replaced, tested again."))
    defect = Defect.objects.get()
    assert verdict.notes == (f"Defect {defect.pk} is closed.",)
    assert state_of(smoke) == ("pass", False)
    assert (defect.closed_by_result_id, defect.closing_note) == (verdict.result_id, "Fuse replaced, tested again.")


def test_a_pass_closes_its_fail_even_by_a_clock_that_puts_it_before_the_fail(take, smoke):
    failed = answer(smoke, "fail")
    take(failed)
    retest = {
        **knowing(smoke, failed, closes_fails=True, correction_reason="Fuse replaced."),
        "seen_at": (timezone.now() - timedelta(minutes=50)).isoformat(),
    }
    take(retest)
    assert state_of(smoke) == ("pass", False)
    assert not Defect.objects.get().is_open


@pytest.mark.parametrize(
    ("fields", "field", "words"),
    [
        ({}, "closes_fails", "its defect stands open. Say that this pass closes it, or leave the fail."),
        ({"correction_reason": "Slip of the finger."}, "closes_fails", "Say that this pass closes it"),
        ({"closes_fails": True}, "correction_reason", "Say why that no longer counts"),
    ],
)
def test_a_pass_over_a_known_fail_must_close_its_defect_and_say_why(take, smoke, fields, field, words):
    failed = answer(smoke, "fail", -1)
    take(failed)
    (verdict,) = take(knowing(smoke, failed, **fields))
    assert (verdict.fate, verdict.field) == ("refused", field)
    assert words in verdict.message
    assert state_of(smoke) == ("fail", False)
    assert Defect.objects.get().is_open


def test_a_pass_does_not_close_what_another_fail_says_that_it_did_not_know_of(take, smoke, colleague):
    failed = answer(smoke, "fail", -3)
    take(failed)
    take(answer(smoke, "fail", -2), person=colleague)
    (verdict,) = take(knowing(smoke, failed, closes_fails=True, correction_reason="Fuse replaced."))
    assert "failed again" in verdict.message and "Ada Quill" in verdict.message
    assert Defect.objects.get().is_open


def test_a_fail_that_arrives_after_its_point_was_passed_opens_a_defect_of_its_own(take, smoke, colleague):
    failed = answer(smoke, "fail", -3)
    take(failed)
    take(knowing(smoke, failed, closes_fails=True, correction_reason="Fuse replaced."))
    take(answer(smoke, "fail", -2), person=colleague)
    assert state_of(smoke) == ("fail", True)
    assert sorted(defect.is_open for defect in Defect.objects.all()) == [False, True]


def test_a_known_fail_becomes_not_accessible_with_a_reason_and_its_defect_stays_open(take, smoke):
    failed = answer(smoke, "fail", -1)
    take(failed)
    without, with_reason = take(
        knowing(smoke, failed, outcome="not_accessible", reason="Locked."),
        knowing(smoke, failed, outcome="not_accessible", reason="Locked.", correction_reason="Wrong head tested."),
    )
    assert (without.fate, with_reason.fate) == ("refused", "taken")
    assert state_of(smoke) == ("not_accessible", False)
    assert Defect.objects.get().is_open


def test_a_contradiction_is_settled_by_a_pass_of_somebody_who_has_seen_both(take, smoke, contradicted):
    assert state_of(smoke) == ("fail", True)
    take(knowing(smoke, *contradicted, closes_fails=True, correction_reason="Tested again together: opens."))
    assert state_of(smoke) == ("pass", False)
    assert not Defect.objects.get().is_open


def test_a_contradiction_is_settled_by_a_fail_of_somebody_who_has_seen_both(take, smoke, contradicted):
    take(knowing(smoke, *contradicted, outcome="fail", correction_reason="Confirmed."))
    assert state_of(smoke) == ("fail", False)
    assert Defect.objects.get().is_open


def test_a_contradiction_is_not_settled_by_somebody_who_has_seen_one_answer(take, smoke, contradicted):
    passed, _failed = contradicted
    take(knowing(smoke, passed))
    assert state_of(smoke) == ("fail", True)


def test_a_fail_and_its_retest_from_one_queue_without_network_are_settled_together(take, smoke):
    failed = answer(smoke, "fail", -2)
    take(failed, knowing(smoke, failed, closes_fails=True, correction_reason="Fuse replaced."))
    assert state_of(smoke) == ("pass", False)
    assert not Defect.objects.get().is_open


@pytest.mark.parametrize("knows", ["x", 5, {"a": 1}, ["x"] * 51])
def test_knowledge_that_makes_no_sense_is_refused_with_a_sentence(take, smoke, knows):
    (verdict,) = take({**answer(smoke), "knows": knows})
    assert (verdict.fate, verdict.message[-1]) == ("refused", ".")


def finished(visit, take, town):
    for point in visit.test_points.without_outcome():
        take(answer(point, reading="27.3" if point.quantity else ""))
    return finish_visit(visit=visit, finished_by=town.people["engineer"])


def issue(visit, town):
    builders.accept_what_stands(visit)
    return issue_certificate(
        visit=visit, issued_by=town.people["office"], issued_on=timezone.localdate(), scope="All", capacity="x"
    )


def test_no_certificate_while_answers_contradict(take, smoke, contradicted, visit, town):
    done = finished(visit, take, town)
    with pytest.raises(NotCertifiable, match="answers that contradict each other: 1"):
        issue(done, town)
    take(knowing(smoke, *contradicted, closes_fails=True, correction_reason="Tested again together: opens."))
    assert issue(done, town).number


def test_remedial_work_that_closes_the_defect_ends_the_contradiction(take, smoke, contradicted, visit, town):
    finished(visit, take, town)
    later = builders.make_visit(town.hall, state="under_way", started_at=timezone.now())
    retest = builders.make_test_point(later, town.detector)
    soon = timezone.now() + timedelta(minutes=1)
    take_answers(
        visit=later,
        person=town.people["engineer"],
        received_at=soon,
        answers=[{**answer(retest, minutes=1), "closes": [Defect.objects.get().pk]}],
    )
    assert state_of(smoke) == ("fail", False)  # what was found then stays found


PLACES = {
    "visit page of the office": ("office", "visit-detail", lambda visit, town: [visit.pk]),
    "home of the office": ("office", "home", lambda visit, town: []),
    "home of the engineer": ("engineer", "home", lambda visit, town: []),
    "end of the visit": ("engineer", "visit-finish", lambda visit, town: [visit.pk]),
    "test point in the field": ("engineer", "visit-field-position", lambda visit, town: [visit.pk, town.detector.pk]),
    "defect": ("office", "defect-detail", lambda visit, town: [Defect.objects.get().pk]),
}


@pytest.mark.parametrize("place", PLACES)
def test_a_contradiction_is_shown_until_it_is_settled(as_, take, smoke, contradicted, visit, town, place):
    person, url_name, arguments = PLACES[place]
    url = reverse(url_name, args=arguments(visit, town))
    assert "nswers contradict each other" in as_(person).get(url).content.decode().replace(
        "that contradict", "contradict"
    )
    take(knowing(smoke, *contradicted, closes_fails=True, correction_reason="Tested again together: opens."))
    assert "contradict each other" not in as_(person).get(url).content.decode()


@pytest.mark.parametrize("place", ["visit page of the office", "end of the visit", "test point in the field"])
def test_both_answers_are_shown_with_who_gave_them(as_, contradicted, visit, town, place):
    person, url_name, arguments = PLACES[place]
    page = as_(person).get(reverse(url_name, args=arguments(visit, town))).content.decode()
    shown = page[page.index("contradiction") :]
    assert "Ada Quill" in shown and str(town.people["engineer"]) in shown


def test_the_walk_and_the_list_of_defects_say_so_too(as_, contradicted, visit):
    assert "answers contradict" in as_("engineer").get(reverse("visit-field", args=[visit.pk])).content.decode()
    assert "open, contradicted by a pass" in as_("office").get(reverse("defect-list")).content.decode()


def test_the_page_of_the_certificate_says_why_there_is_none(as_, contradicted, take, visit, town):
    finished(visit, take, town)
    page = as_("office").get(reverse("certificate-issue", args=[visit.pk])).content.decode()
    assert "answers contradict each other" in page


def test_without_script_the_form_says_what_it_showed_and_settles_the_contradiction(as_, smoke, contradicted, visit):
    fields = {
        "client_uuid": str(uuid.uuid4()),
        "test_point": smoke.pk,
        "outcome": "pass",
        "closes_fails": "true",
        "knows": [one["client_uuid"] for one in contradicted],
        "correction_reason": "Tested again together.",
    }
    as_("engineer").post(reverse("visit-answers", args=[visit.pk]), fields)
    assert state_of(smoke) == ("pass", False)
