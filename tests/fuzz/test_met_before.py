"""Strange input that once ended in a server error, each with the answer it gets now."""

import json

import pytest
from django.urls import reverse

from inspections.visits.edits import start_visit
from tests import builders

LISTS = (
    "building-list",
    "client-list",
    "job-list",
    "unit-list",
    "product-model-list",
    "visit-list",
    "defect-list",
    "certificate-list",
    "due-list",
)


@pytest.mark.parametrize("per_page", ["-1", "0", "abc", "9" * 400, "1e3", "²", "\x00"])
@pytest.mark.parametrize("name", LISTS)
def test_a_list_takes_no_harm_from_a_page_size_that_makes_no_sense(as_, name, per_page):
    assert as_("office").get(reverse(name), {"per_page": per_page, "page": per_page}).status_code == 200


@pytest.mark.parametrize("sort", ["../../etc", "name.pk", "-", "--name", ",", "\x00", "name,name.pk"])
@pytest.mark.parametrize("name", LISTS)
def test_a_list_takes_no_harm_from_a_sort_by_what_is_no_column(as_, name, sort):
    assert as_("office").get(reverse(name), {"sort": sort}).status_code == 200


def test_a_page_never_shows_more_rows_than_one_screen_bears(as_, town):
    for _ in range(260):
        builders.make_client()
    page = as_("office").get(reverse("client-list"), {"per_page": "100000"}).content.decode()
    assert page.count('data-href="/clients/') == 200


@pytest.mark.parametrize("name", ["position-create", "position-run"])
def test_a_position_without_kind_asks_for_the_kind_though_a_model_is_chosen(as_, town, name):
    model = builders.make_product_model("smoke_detector")
    sent = {"product_model": model.pk, "tag": "SD9", "prefix": "SD", "first_number": 1, "count": 2, "digits": 2}
    before = town.hall.positions.count()
    answer = as_("engineer").post(reverse(name, args=[town.hall.slug]), {"kind": "", **sent})
    assert answer.status_code == 422
    assert answer.context["form"].errors["kind"] == ["This field is required."]
    assert town.hall.positions.count() == before


@pytest.mark.parametrize(
    "seen_at",
    [
        0,
        1764000000,
        1.5,
        True,
        [],
        {},
        "0001-01-01T00:00:00+14:00",
        "0001-01-01T00:00",
        "9999-12-31T23:59:59-12:00",
        "x" * 3000,
        "\x00",
    ],
)
def test_an_impossible_time_is_told_and_holds_up_no_other_answer(as_, town, seen_at):
    visit = start_visit(visit=town.visit, started_by=town.people["engineer"])
    first, second = visit.test_points.all()[:2]
    entered = {"outcome": "not_accessible", "reason": "Locked."}
    answers = [
        {"client_uuid": f"0b0c2b6e-2f4b-4b8e-9d3c-0f6f5e6a7b8{n}", "test_point": point.pk, **entered}
        for n, point in enumerate((first, second))
    ]
    answers[0]["seen_at"] = seen_at
    response = as_("engineer").post(
        reverse("visit-answers", args=[visit.pk]), json.dumps({"answers": answers}), content_type="application/json"
    )
    told, taken = response.json()["verdicts"]
    assert taken["fate"] == "taken"
    if seen_at in ([], {}):  # as good as empty: the time of receipt
        assert told["fate"] == "taken"
    else:
        assert (told["fate"], told["field"]) == ("refused", "seen_at")
        assert "Set the clock of the device" in told["message"]
        assert first.results.count() == 0


@pytest.mark.parametrize("token", ["%00", "a%00b", "%ff", "%F0%9F%9A%A8", "x" * 4000])
def test_a_certificate_code_that_cannot_be_one_is_not_found(client, db, token):
    assert client.get(f"/c/{token}/").status_code == 404
