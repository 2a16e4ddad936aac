"""The pages of floor plans: which storeys have one, what is on it, what the page's script and its form store."""

import json
import re

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from tests import builders
from tests.zones.floor_plans.plans import add_plan, drawn, put
from zones.floor_plans import keeping, rasterising, views
from zones.models import FloorPlan

pytestmark = pytest.mark.django_db


@pytest.fixture
def storey(town):
    """Storey 7 with its plan and two detectors, of which `SD31` is on it."""
    town.placed, town.unplaced = (
        builders.make_position(town.hall, tag=tag, storey="7", smoke_zone=town.zone) for tag in ("SD31", "SD32")
    )
    town.plan = add_plan(town, storey="7")
    town.place = put(town.plan, town.placed, town.people["office"], x=0.25, y=0.75)
    return town


def page(client, name, *arguments):
    return client.get(reverse(name, args=arguments)).content.decode()


def send(client, plan, body):
    return client.post(reverse("floor-plan-places", args=[plan.pk]), json.dumps(body), content_type="application/json")


def upload(client, town, **fields):
    file = SimpleUploadedFile(fields.pop("name", "plan.png"), fields.pop("content", drawn()))
    return client.post(reverse("floor-plan-create", args=[town.hall.slug]), {"storey": "1", "file": file, **fields})


def test_an_uploaded_plan_is_shown_with_its_picture(as_, town):
    client = as_("engineer")
    response = upload(client, town, title="A-102", drawn_on="3 Oct 2025")
    plan = FloorPlan.objects.get()
    assert response.url == plan.get_absolute_url()
    shown = page(client, "floor-plan-detail", plan.pk)
    assert "Revision 1, A-102, drawn 3 Oct 2025" in shown and plan.picture_url in shown
    picture = client.get(plan.picture_url)
    assert picture["Content-Type"] == "image/png" and picture.content.startswith(b"\x89PNG")
    assert client.get(reverse("floor-plan-file", args=[plan.pk])).content == drawn()


def test_a_browser_asks_each_time_whether_the_picture_may_still_be_seen(as_, storey):
    picture = as_("manager").get(storey.plan.picture_url)
    again = {"HTTP_IF_NONE_MATCH": picture["ETag"]}
    assert picture["Cache-Control"] == "private, no-cache"
    assert as_("manager").get(storey.plan.picture_url, **again).status_code == 304
    assert as_("stranger").get(storey.plan.picture_url, **again).status_code == 404


def test_while_a_plan_is_drawn_others_can_write(as_, town, monkeypatch):
    """Each transaction of SQLite is the only one that writes."""
    seen = []

    def draw(*args, **options):
        seen.append(len(connection.atomic_blocks))
        return rasterising.plan_picture(*args, **options)

    monkeypatch.setattr(views, "plan_picture", draw)
    monkeypatch.setattr(keeping, "plan_picture", draw)
    upload(as_("office"), town)
    assert FloorPlan.objects.exists() and seen == [len(connection.atomic_blocks)]


def test_a_refused_file_is_told_at_its_field_and_nothing_is_kept(as_, town):
    response = upload(as_("office"), town, content=b"Not a drawing.")
    assert response.status_code == 422
    assert "The file is plain text by its content. Choose a PDF, PNG, JPEG or WebP." in response.content.decode()
    assert not FloorPlan.objects.exists()


def test_the_list_of_storeys_says_what_is_missing(as_, storey):
    builders.make_position(storey.hall, storey="roof")
    shown = " ".join(re.sub("<[^>]+>", " ", page(as_("office"), "floor-plan-list", storey.hall.slug)).split())
    assert "Storey 7 revision 1 2 1 ▲ some not placed" in shown
    assert "Roof Add its plan 1 no plan" in shown


def test_positions_with_and_without_a_place_are_told_apart(as_, storey):
    shown = page(as_("manager"), "floor-plan-detail", storey.plan.pk)
    assert 'x="25.000%" y="75.000%"' in " ".join(shown.split())
    without, on = shown.split("On the plan</h2>")
    assert "SD32" in without.split("Without a place</h2>")[1] and "SD31" in on


def test_a_manager_looks_and_places_nothing(as_, storey):
    shown = page(as_("manager"), "floor-plan-detail", storey.plan.pk)
    assert "plan-data" not in shown and "data-choose" not in shown
    assert reverse("position-detail", args=[storey.placed.pk]) in shown


def test_a_position_that_moved_to_another_storey_is_listed_and_no_longer_shown(as_, storey):
    storey.placed.storey = "2"
    storey.placed.save()
    shown = page(as_("office"), "floor-plan-detail", storey.plan.pk)
    assert "No longer of this storey" in shown and "now storey 2" in shown
    assert f'class="plan-pin" data-position="{storey.placed.pk}"' not in " ".join(shown.split())


def test_the_script_places_and_is_answered_with_the_places_as_they_stand(as_, storey):
    move = {"position": storey.unplaced.pk, "x": 0.5, "y": 0.5, "seen": None}
    answer = send(as_("engineer"), storey.plan, {"moves": [move]})
    assert {"id": storey.unplaced.pk, "x": 0.5, "y": 0.5, "version": 0} in answer.json()["places"]


def test_the_second_of_two_people_is_told_and_shown_where_it_is_now(as_, storey):
    client = as_("engineer")
    move = {"position": storey.placed.pk, "x": 0.5, "y": 0.5, "seen": 0}
    send(client, storey.plan, {"moves": [move]})
    answer = send(client, storey.plan, {"moves": [move | {"x": 0.9}]})
    assert answer.status_code == 409 and "SD31 was placed, moved or taken off" in answer.json()["message"]
    assert answer.json()["places"] == [{"id": storey.placed.pk, "x": 0.5, "y": 0.5, "version": 1}]


def test_a_run_is_sent_as_its_line(as_, storey):
    run = {"first": storey.placed.pk, "last": storey.unplaced.pk, "points": [[0.1, 0.1], [0.9, 0.1]]}
    places = send(as_("office"), storey.plan, {"run": run}).json()["places"]
    assert [(place["x"], place["y"]) for place in places] == [(0.1, 0.1), (0.9, 0.1)]


@pytest.mark.parametrize(
    "body",
    [
        [],
        {"moves": 7},
        {"moves": [{"position": "1", "x": 0, "y": 0}]},
        {"moves": [{"position": 1, "x": 0}]},
        {"moves": [{"position": 1, "x": float("nan"), "y": 0}]},
        {"run": {"first": 1, "last": 2, "points": [[0]]}},
        {"run": 5},
    ],
)
def test_what_the_page_would_never_send_changes_nothing(as_, storey, body):
    answer = send(as_("office"), storey.plan, body)
    assert answer.status_code == 400 and "Nothing was stored" in answer.json()["message"]
    assert storey.plan.places.count() == 1


def test_a_position_is_placed_by_figures_without_a_script(as_, storey):
    client, url = as_("engineer"), reverse("floor-plan-places", args=[storey.plan.pk])
    figures = {"position": storey.unplaced.pk, "x_percent": "40", "y_percent": "60"}
    assert client.post(url, figures).url == storey.plan.get_absolute_url()
    place = storey.plan.places.get(position=storey.unplaced)
    assert (place.x, place.y, place.confirmed_by) == (0.4, 0.6, storey.people["engineer"])
    refused = client.post(url, figures | {"x_percent": "140"})
    assert refused.status_code == 422 and "less than or equal to 100" in refused.content.decode()


def test_places_of_a_new_revision_are_confirmed_all_at_once(as_, storey):
    newer = add_plan(storey, storey="7", mark="B")
    client = as_("engineer")
    assert "1 place carried over" in " ".join(page(client, "floor-plan-detail", newer.pk).split())
    client.post(reverse("floor-plan-confirm", args=[newer.pk]))
    assert newer.places.get().confirmed_by == storey.people["engineer"]


@pytest.mark.parametrize("position", ["", "²", "-1", "9" * 30])
def test_a_position_that_is_none_confirms_no_place(as_, storey, position):
    newer = add_plan(storey, storey="7", mark="B")
    as_("engineer").post(reverse("floor-plan-confirm", args=[newer.pk]), {"position": position})
    assert newer.places.to_confirm().count() == 1


def test_a_plan_whose_storey_is_renamed_keeps_its_revisions_and_places(as_, storey):
    newer = add_plan(storey, storey="7", mark="B")
    storey.hall.positions.filter(storey="7").update(storey="Deck 7")
    url = reverse("floor-plan-update", args=[newer.pk])
    sent = {"storey": "Deck 7", "title": "A-107", "drawn_on": "", "seen_version": newer.row_version}
    assert as_("engineer").post(url, sent).url == newer.get_absolute_url()
    assert [plan.storey for plan in FloorPlan.objects.all()] == ["Deck 7"] * 2
    assert newer.places.of_its_storey().get().position == storey.placed


def test_a_plan_is_not_moved_to_a_storey_that_has_one(as_, storey):
    other = add_plan(storey, storey="8", mark="B")
    sent = {"storey": "7", "title": "", "drawn_on": "", "seen_version": other.row_version}
    response = as_("engineer").post(reverse("floor-plan-update", args=[other.pk]), sent)
    assert response.status_code == 422
    other.refresh_from_db()
    assert other.storey == "8"


def test_a_plan_out_of_force_is_kept_and_takes_no_places(as_, storey):
    client = as_("office")
    client.post(reverse("floor-plan-withdraw", args=[storey.plan.pk]))
    assert not FloorPlan.objects.in_force().exists()
    assert "is not in force any more" in page(client, "floor-plan-detail", storey.plan.pk)
    move = {"position": storey.unplaced.pk, "x": 0.5, "y": 0.5, "seen": None}
    assert send(client, storey.plan, {"moves": [move]}).status_code == 422


def test_who_placed_and_moved_what_stands_on_the_page_of_the_plan(as_, storey):
    client = as_("engineer")
    for x, seen in ((0.5, None), (0.6, 0), (None, 1)):
        move = {"position": storey.unplaced.pk, "x": x, "y": x and 0.5, "seen": seen}
        send(client, storey.plan, {"moves": [move]})
    shown = page(client, "floor-plan-detail", storey.plan.pk)
    told = [shown.index(f"SD32 {words}") for words in ("taken off", "moved, now at 60.0 %", "placed at 50.0 %")]
    assert told == sorted(told) and "Edwin Marsh" in shown[told[0] - 800 : told[0]]


def test_the_page_of_a_position_leads_to_its_pin(as_, storey):
    shown = page(as_("manager"), "position-detail", storey.placed.pk)
    assert f"{storey.plan.get_absolute_url()}#pin-{storey.placed.pk}" in shown
    assert "on its floor plan" not in page(as_("manager"), "position-detail", storey.unplaced.pk)


@pytest.mark.parametrize("name", ["floor-plan-detail", "floor-plan-list"])
def test_a_plan_costs_the_same_for_few_positions_and_for_many(as_, storey, name):
    client = as_("office")
    url = reverse(name, args=[storey.plan.pk if name == "floor-plan-detail" else storey.hall.slug])

    def cost():
        with CaptureQueriesContext(connection) as queries:
            client.get(url)
        return len(queries)

    cost()
    few = cost()
    for number in range(12):
        position = builders.make_position(storey.hall, storey="7", smoke_zone=builders.make_zone(storey.hall))
        put(storey.plan, position, storey.people["engineer"])
        builders.make_position(storey.hall, storey=str(number))
    assert cost() <= few <= 14
