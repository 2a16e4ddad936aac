"""What a phone takes along of a visit: every page of its walk, as whoever asks would be shown it, and nothing else."""

import re

import pytest
import time_machine
from django.contrib.messages import get_messages
from django.urls import reverse
from django.utils import timezone

from inspections.taken_along.views import PAGES_AT_ONCE
from inspections.visits.edits import start_visit
from inspections.visits.results import take_answers
from tests import builders
from tests.reading import as_read
from zones.models import Position


@pytest.fixture
def visit(town):
    return start_visit(visit=town.visit, started_by=town.people["engineer"])


def taken_along(client, visit):
    return client.get(reverse("visit-taken-along", args=[visit.pk])).json()


def pages(client, visit):
    found, start = {}, 0
    while start is not None:
        answer = client.get(reverse("visit-taken-pages", args=[visit.pk]), {"from": start}).json()
        found.update(answer["pages"])
        start = answer["next"]
    return found


def test_every_page_that_is_named_comes_as_it_is_shown(as_, town, visit):
    builders.make_line(builders.make_panel(town.hall, tag="P2"), number=7)
    client = as_("engineer")
    with time_machine.travel(timezone.now(), tick=False):  # pages say when they were made
        named, found = taken_along(client, visit)["pages"], pages(client, visit)
        assert list(found) == named
        for address in named:
            shown = client.get(address).content.decode()
            assert without_tokens(as_read(found[address])) == without_tokens(shown), address


def without_tokens(html):
    """What differs each time that a page is made, taken out: the tokens of its forms."""
    return re.sub(r"\b[A-Za-z0-9]{64}\b|[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}|[0-9a-f]{32}", "", html)


def test_the_walk_comes_first_and_each_stop_says_what_is_open(as_, town, visit):
    points = {point.position_id: point for point in visit.test_points.all()}
    answer = {"client_uuid": "a" * 32, "test_point": points[town.detector.pk].pk, "outcome": "pass"}
    take_answers(visit=visit, person=town.people["engineer"], answers=[answer])
    along = taken_along(as_("engineer"), visit)
    assert along["pages"][0] == reverse("visit-field", args=[visit.pk])
    stops = {stop["tag"]: stop for stop in along["stops"]}
    assert stops["SD1"]["open"] == []
    assert stops["CP1"]["open"] == [points[town.call_point.pk].pk]
    assert [stop["url"] for stop in along["stops"]] == along["pages"][1 : 1 + len(stops)]


def test_many_positions_come_some_at_a_time_and_none_is_missing(as_, town, visit):
    for number in range(PAGES_AT_ONCE):
        builders.make_position(town.hall, "manual_call_point", tag=f"CP{number + 20}")
    more = start_visit(
        visit=builders.make_visit(town.hall, job=town.job, engineer=town.people["engineer"]),
        started_by=town.people["engineer"],
    )
    found = pages(as_("engineer"), more)
    for position in Position.objects.filter(building=town.hall):
        assert reverse("visit-field-position", args=[more.pk, position.pk]) in found


def test_the_pages_of_many_positions_cost_the_queries_of_a_few(as_, town, django_assert_max_num_queries):
    line = builders.make_line(town.panel)
    for number in range(PAGES_AT_ONCE):
        position = builders.make_position(
            town.hall, "smoke_detector", tag=f"SD{number + 20}", panel=town.panel, detection_line=line
        )
        builders.fit(position, builders.make_unit(serial=f"MANY-{number}"))
    visit = start_visit(visit=town.visit, started_by=town.people["engineer"])
    client = as_("engineer")
    with django_assert_max_num_queries(60):  # as for one page of them
        answer = client.get(reverse("visit-taken-pages", args=[visit.pk]), {"from": 1}).json()
    assert len(answer["pages"]) == PAGES_AT_ONCE
    assert all("/field/" in address for address, _ in answer["pages"])


def test_a_swap_that_comes_along_costs_a_query_for_its_models_and_none_more(as_, town, django_assert_max_num_queries):
    for number in range(2 * PAGES_AT_ONCE):
        position = builders.make_position(town.hall, "smoke_detector", tag=f"SD{number + 20}", panel=town.panel)
        builders.fit(position, builders.make_unit(serial=f"MANY-{number}"))
    visit = start_visit(visit=town.visit, started_by=town.people["engineer"])
    client = as_("engineer")
    named = taken_along(client, visit)["pages"]
    first = next(number for number, address in enumerate(named) if address.endswith("/swap/"))
    with django_assert_max_num_queries(PAGES_AT_ONCE + 30):
        answer = client.get(reverse("visit-taken-pages", args=[visit.pk]), {"from": first}).json()
    assert len(answer["pages"]) == PAGES_AT_ONCE
    assert all(address.endswith("/swap/") for address, _ in answer["pages"])
    assert (
        sum("Swap the unit of" in html for _, html in answer["pages"]) >= PAGES_AT_ONCE - 2
    )  # the town's own lack units


@pytest.mark.parametrize("start", ["²", "9999999"])
def test_a_strange_place_to_go_on_from_is_no_fault(as_, visit, start):
    answer = as_("engineer").get(reverse("visit-taken-pages", args=[visit.pk]), {"from": start})
    assert answer.status_code == 200


def test_taking_along_does_not_use_up_what_is_to_be_told(as_, town, visit):
    client = as_("engineer")
    builders.make_position(town.hall, "manual_call_point", tag="CP9")
    client.post(reverse("visit-positions-add", args=[visit.pk]), {"all": "1"})  # says that it was added
    pages(client, visit)
    told = client.get(reverse("visit-field", args=[visit.pk]))
    assert list(get_messages(told.wsgi_request))


def test_the_end_of_a_visit_is_said(as_, town):
    assert taken_along(as_("engineer"), town.finished)["is_over"]
