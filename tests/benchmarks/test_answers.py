"""What it costs to take a day's answers off a phone: 2,000 on a visit to 300 positions, and taking that visit along."""

import time
from uuid import uuid4

import pytest
from django.urls import reverse

from inspections.models import Result
from inspections.visits.edits import start_visit
from tests import builders
from zones.models import Position
from zones.models.kinds import DeviceKind

POSITIONS, ANSWERS, AT_ONCE = 300, 2_000, 200

pytestmark = pytest.mark.django_db


@pytest.fixture
def visit(town):
    Position.objects.bulk_create(
        Position(
            building=town.hall,
            kind=DeviceKind.MANUAL_CALL_POINT,
            tag=f"CP-{i}",
            tag_key=f"CP-{i:08}",
            storey=str(i // 60),
            walking_order=i,
        )
        for i in range(POSITIONS)
    )
    visit = start_visit(visit=town.visit, started_by=town.people["engineer"])
    positions = list(Position.objects.filter(tag__startswith="CP-"))
    for number in range(ANSWERS - visit.test_points.count()):
        position = positions[number % len(positions)]
        builders.make_test_point(visit, position, code=f"more{number}", title=f"More {number}")
    return visit


def test_two_thousand_answers(as_, town, visit):
    client = as_("engineer")
    points = list(visit.test_points.filter(quantity="").values_list("pk", flat=True))
    answers = [{"client_uuid": str(uuid4()), "test_point": pk, "outcome": "pass", "knows": []} for pk in points]
    address = reverse("visit-answers", args=[visit.pk])
    yardstick_s = cpu_of(lambda: [Result.objects.count() for _ in range(1_000)])
    taken_s = cpu_of(
        lambda: [
            client.post(address, {"answers": answers[i : i + AT_ONCE]}, content_type="application/json")
            for i in range(0, len(answers), AT_ONCE)
        ]
    )
    assert Result.objects.filter(test_point__visit=visit).count() == len(answers)
    one_s = cpu_of(lambda: client.post(address, {"answers": answers[:1]}, content_type="application/json"))
    along_s = cpu_of(lambda: client.get(reverse("visit-taken-pages", args=[visit.pk]), {"from": 0}))
    print(f"\n{len(answers)} answers, {AT_ONCE} at once: {taken_s:.2f} s ({taken_s / yardstick_s:.1f} × 1,000 counts)")
    print(f"one answer that was taken before: {one_s * 1e3:.0f} ms; 25 pages taken along: {along_s:.2f} s")


def cpu_of(act):
    started = time.process_time()
    act()
    return time.process_time() - started
