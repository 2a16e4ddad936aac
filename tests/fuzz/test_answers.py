"""Whatever a batch of answers holds: each is taken or refused with a sentence, and none holds up another."""

import json
import os
import random

import pytest
from django.db import transaction
from django.urls import reverse

from inspections.models import Outcome
from inspections.visits.edits import start_visit
from tests.fuzz.strange_values import NUMBERS, STRANGE

SEED = os.environ.get("FUZZ_SEED", "2026")
STRANGE_JSON = (
    None,
    True,
    False,
    0,
    -1,
    1,
    2**31,
    2**63,
    10**400,
    -(10**30),
    1.5,
    1e308,
    5e-324,
    float("nan"),
    float("inf"),
    [],
    {},
    [[]],
    [None],
    {"a": {}},
    ["x"] * 50,
    "\ud800",
    "x" * 5000,
    *NUMBERS,
    *STRANGE,
)


def valid_answer(chance, points):
    point = chance.choice(points)
    return {
        "client_uuid": f"{chance.getrandbits(128):032x}",
        "test_point": point.pk,
        "outcome": chance.choice(Outcome.values),
        "reading": "27.3" if point.quantity else None,
        "remark": "Seen.",
        "reason": "Locked.",
        "seen_at": None,
        "defect": {"severity": "minor", "description": "Loose.", "interim_measure": "", "told_to": ""},
        "correction_reason": "",
        "closes": [],
        "closing_note": "",
    }


def spoil(chance, answer):
    """One to three of its values replaced, one level down too; rarely the whole answer."""
    if chance.random() < 0.05:
        return chance.choice(STRANGE_JSON)
    for name in chance.sample(sorted(answer), chance.choice((1, 1, 2, 3))):
        if name == "defect" and chance.random() < 0.7:
            answer["defect"][chance.choice(sorted(answer["defect"]))] = chance.choice(STRANGE_JSON)
        else:
            answer[name] = chance.choice(STRANGE_JSON)
    return answer


@pytest.mark.parametrize("part", range(8))
def test_every_answer_of_a_strange_batch_is_taken_or_told(as_, town, part):
    chance = random.Random(f"{SEED} answers {part}")
    visit = start_visit(visit=town.visit, started_by=town.people["engineer"])
    points = list(visit.test_points.all())
    client, address = as_("engineer"), reverse("visit-answers", args=[visit.pk])
    for _ in range(6):
        batch = [spoil(chance, valid_answer(chance, points)) for _ in range(12)]
        batch.append(valid_answer(chance, points) | {"outcome": "not_accessible", "reading": None})
        body = {"answers": batch, "sent_at": chance.choice(STRANGE_JSON)}
        with transaction.atomic():
            response = client.post(address, json.dumps(body), content_type="application/json")
            transaction.set_rollback(True)
        assert response.status_code == 200, (response.status_code, batch)
        verdicts = response.json()["verdicts"]
        assert len(verdicts) == len(batch)
        assert all(verdict["fate"] in ("taken", "already_taken") or verdict["message"] for verdict in verdicts)
        assert verdicts[-1]["fate"] == "taken", verdicts[-1]


@pytest.mark.parametrize(
    "body",
    [
        b"\x00",
        b"[]",
        b"null",
        b'{"answers": 1}',
        b'{"answers": null}',
        b"[" * 100_000,
        b"\xff\xfe",
        b'{"answers": [' + b"1," * 2000 + b"1]}",
    ],
)
def test_a_body_that_cannot_be_read_is_told_so(as_, town, body):
    address = reverse("visit-answers", args=[town.visit.pk])
    response = as_("engineer").post(address, body, content_type="application/json")
    assert response.status_code == 400
    assert "othing was taken" in response.json()["message"]
