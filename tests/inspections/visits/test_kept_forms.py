"""Forms that a phone kept without a network and sends later: each counts from when it was filled in."""

import uuid
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from inspections.visits.edits import start_visit
from inspections.visits.results import take_answers
from tests import builders
from zones.models import PlaceConfirmation

pytestmark = pytest.mark.django_db
NOW = timezone.now
SLACK = timedelta(minutes=2)


@pytest.fixture
def visit(town):
    return start_visit(visit=town.visit, started_by=town.people["engineer"], started_at=NOW() - timedelta(hours=6))


def kept(ago):
    """Headers of a form that was filled in so long ago."""
    return {"X-Filled-In-At": (NOW() - ago).isoformat(), "X-Sent-At": NOW().isoformat()}


def is_about(moment, ago):
    return abs(NOW() - ago - moment) < SLACK


def swap(client, town, visit, ago):
    typed = {"old_serial": "AK-0001", "new_serial": "AK-0002", "reason": "Contaminated"}
    model = town.detector.fittings.open().get().unit.product_model_id
    address = reverse("visit-swap", args=[visit.pk, town.detector.pk])
    return client.post(address, typed | {"product_model": model}, headers=kept(ago))


def test_a_test_repeated_after_a_swap_counts_though_both_are_sent_later(as_, town, visit):
    point = visit.test_points.filter(position=town.detector).first()
    assert swap(as_("engineer"), town, visit, ago=timedelta(hours=3)).status_code == 302
    seen_at = (NOW() - timedelta(hours=2)).isoformat()
    answer = {"client_uuid": "a" * 32, "test_point": point.pk, "outcome": "pass", "seen_at": seen_at}
    (fate,) = take_answers(visit=visit, person=town.people["engineer"], answers=[answer], sent_at=NOW().isoformat())
    assert fate.fate == "taken"
    point.refresh_from_db()
    assert point.latest_result == point.results.get()


def test_what_was_seen_before_a_swap_counts_no_more(as_, town, visit):
    point = visit.test_points.filter(position=town.detector).first()
    swap(as_("engineer"), town, visit, ago=timedelta(hours=3))
    seen_at = (NOW() - timedelta(hours=4)).isoformat()
    answer = {"client_uuid": "a" * 32, "test_point": point.pk, "outcome": "pass", "seen_at": seen_at}
    take_answers(visit=visit, person=town.people["engineer"], answers=[answer], sent_at=NOW().isoformat())
    point.refresh_from_db()
    assert point.latest_result is None and point.results.count() == 1


def test_a_visit_ended_without_network_ended_then(as_, town, visit):
    points = visit.test_points.values_list("pk", flat=True)
    answer = {"outcome": "not_accessible", "reason": "Roof closed"}
    answers = [answer | {"client_uuid": f"{i:032x}", "test_point": pk} for i, pk in enumerate(points, 1)]
    take_answers(visit=visit, person=town.people["engineer"], answers=answers)
    visit.refresh_from_db()
    typed = {
        "seen_version": visit.row_version,
        "how": "nobody",
        "why_nobody": "Caretaker away",
        "notes": "Key box 4",
        "is_restored": "on",
        "submission_key": str(uuid.uuid4()),
    }
    address = reverse("visit-finish", args=[visit.pk])
    answer = as_("engineer").post(address, typed, headers=kept(timedelta(hours=1)))
    assert answer.status_code == 302
    visit.refresh_from_db()
    assert visit.notes == "Key box 4"
    assert is_about(visit.finished_at, timedelta(hours=1))
    again = as_("engineer").post(address, typed, headers=kept(timedelta(hours=1)))  # no word of the first came back
    assert (again.status_code, again.url) == (302, answer.url)


def test_a_place_confirmed_without_network_was_confirmed_then(as_, town, visit):
    typed = {"method": "serial", "serial": "AK-0001"}
    address = reverse("place-confirmation-create", args=[town.detector.pk])
    assert as_("engineer").post(address, typed, headers=kept(timedelta(hours=2))).status_code == 302
    assert is_about(PlaceConfirmation.objects.get().at, timedelta(hours=2))


def test_a_terminal_ticked_without_network_was_seen_then(as_, town):
    terminal = builders.make_terminal(town.panel, block="X3", number="5")
    address = reverse("terminal-tick", args=[terminal.pk])
    as_("engineer").post(address, {"checked": "1"}, headers=kept(timedelta(hours=2)))
    terminal.refresh_from_db()
    assert is_about(terminal.checked_at, timedelta(hours=2))


def test_a_visit_started_without_network_started_then(as_, town):
    as_("engineer").post(reverse("visit-start", args=[town.visit.pk]), headers=kept(timedelta(hours=5)))
    town.visit.refresh_from_db()
    assert is_about(town.visit.started_at, timedelta(hours=5))
