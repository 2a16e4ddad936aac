"""The pages of a circuit and a line: answers of the design check and of the visits, members, cables, neighbours."""

import re

import pytest
from django.urls import reverse

from tests import builders
from tests.zones.installations import make_installation
from zones.models import Position

pytestmark = pytest.mark.django_db


@pytest.fixture
def made(town, shared):
    return shared.built(installation_at_the_hall, town)


def installation_at_the_hall(town):
    return make_installation(town.hall, tag="P7", circuits=2)


def page_of(client, made, kind="circuit", index=0):
    run = (made.circuits if kind == "circuit" else made.lines)[index]
    return client.get(reverse(f"{kind}-detail", args=[run.pk]))


def text_of(response):
    return " ".join(re.sub(r"<[^>]+>", " ", response.content.decode()).split())


def read_on_a_visit(made, *readings, upper_limit=60, outcome="pass"):
    """A finished visit that read the actuators of the first circuit."""
    visit = builders.make_finished_visit(made.building)
    for position, reading in zip(made.circuits[0].positions.order_by("order_on_line"), readings, strict=False):
        point = builders.make_test_point(
            visit, position, code="opening-time", title="Full stroke", unit="s", upper_limit=upper_limit
        )
        builders.make_result(point, visit.engineer, reading=reading, outcome=outcome, seen_at=visit.finished_at)
    return visit


def test_it_opens_with_the_answers_of_the_check_and_of_the_visits(as_, made):
    response = page_of(as_("office"), made)
    text = text_of(response)
    assert [one.heading for one in response.context["answers"]][1:2] == ["Current of the output"]
    assert (
        text.index("Current of the output")
        < text.index("Did it work when last tested?")
        < text.index("in the order of the cable")
    )


@pytest.mark.parametrize("kind", ["circuit", "line"])
def test_before_any_visit_nothing_is_said_to_have_worked(as_, town, kind):
    made = make_installation(town.mill)
    tested = page_of(as_("office"), made, kind).context["tested"]
    assert (tested.worked.state, tested.read.state) == ("untested", "not_known")
    assert tested.due.state == "never"


def test_the_last_test_counts_what_was_found_at_its_own_positions_only(as_, made):
    visit = read_on_a_visit(made, 50, 52)
    other = made.circuits[1].positions.first()
    builders.make_result(
        builders.make_test_point(visit, other, code="leaf"), visit.engineer, outcome="fail", seen_at=visit.finished_at
    )
    first, second = (page_of(as_("office"), made, index=index).context["tested"] for index in (0, 1))
    assert (first.worked.state, first.worked.word) == ("pass", "4 of 4 passed")  # two functions, two strokes
    assert (second.worked.state, second.worked.word) == ("fail", "1 of 3 points failed")


def test_readings_stand_in_a_row_for_each_check(as_, made):
    read_on_a_visit(made, 50, 75)
    tested = page_of(as_("office"), made).context["tested"]
    assert (tested.read.state, tested.read.word) == ("fail", "1 of 2 readings outside limits")
    (row,) = tested.readings
    assert (row.title, row.number, row.least, row.greatest, row.limits) == ("Full stroke", 2, 50, 75, "60 s or less")
    assert (row.state, row.word) == ("fail", "1 outside")


def test_a_reading_without_a_limit_is_no_good_reading(as_, made):
    read_on_a_visit(made, 50, 52, upper_limit=None)
    tested = page_of(as_("office"), made).context["tested"]
    assert (tested.read.state, tested.readings[0].state, tested.readings[0].word) == (
        "not_known",
        "not_known",
        "no limit",
    )


def test_a_position_stands_as_its_worst_outcome(as_, made):
    read_on_a_visit(made, 75, outcome="fail")
    members = page_of(as_("office"), made).context["members"]
    assert [one.tested.outcome for one in members] == ["fail", "pass"]


def test_a_position_that_nobody_tested_for_a_year_is_said(as_, made):
    builders.make_finished_visit(made.building, finished_at=builders.days_ago(400))
    worked = page_of(as_("office"), made).context["tested"].worked
    assert (worked.state, worked.word) == ("not_accessible", "2 positions not tested")


def test_open_defects_of_its_positions_are_listed_the_worst_first(as_, made):
    for position, severity in (
        (made.circuits[0].positions.first(), "minor"),
        (made.circuits[1].positions.first(), "impaired"),
    ):
        builders.make_defect(made.building, position=position, severity=severity, description=f"{severity} thing")
    response = page_of(as_("office"), made)
    assert (response.context["tested"].faults.state, response.context["tested"].faults.word) == (
        "minor",
        "1 open, minor",
    )
    assert "minor thing" in text_of(response) and "impaired thing" not in text_of(response)


def test_members_stand_in_the_order_of_the_cable_without_those_no_longer_used(as_, made):
    first, second = made.circuits[0].positions.order_by("order_on_line")
    Position.objects.filter(pk=first.pk).update(order_on_line=9)
    assert [one.pk for one in page_of(as_("office"), made).context["members"]] == [second.pk, first.pk]
    Position.objects.filter(pk=first.pk).update(retired_on="2026-01-01")
    assert [one.pk for one in page_of(as_("office"), made).context["members"]] == [second.pk]


def test_cables_say_how_long_they_are_together_and_what_is_not_known(as_, made):
    cable = made.circuits[0].cables.first()
    cable.length_m = None
    cable.save()
    cables = page_of(as_("office"), made).context["cables"]
    assert (cables.total_m, cables.unknown, len(cables.rows)) == (10, 1, 2)
    assert "10 m and 1 run of unknown length" in text_of(page_of(as_("office"), made))


def test_it_leads_to_the_one_before_and_after_of_its_panel(as_, made):
    first, second = (page_of(as_("office"), made, index=index).content.decode() for index in (0, 1))
    assert made.circuits[1].get_absolute_url() in first and made.circuits[0].get_absolute_url() in second


@pytest.mark.parametrize("kind", ["circuit", "line"])
def test_panel_and_position_lead_to_it(as_, made, kind):
    run = (made.circuits if kind == "circuit" else made.lines)[0]
    address = f'href="{run.get_absolute_url()}"'
    manager = as_("manager")
    assert address in manager.get(made.panel.get_absolute_url()).content.decode()
    assert address in manager.get(run.positions.first().get_absolute_url()).content.decode()


@pytest.mark.parametrize("kind", ["circuit", "line"])
def test_a_run_with_nothing_on_it_says_what_comes_next(as_, town, kind):
    run = builders.make_circuit(town.panel) if kind == "circuit" else builders.make_line(town.panel)
    response = as_("engineer").get(run.get_absolute_url())
    assert "Nothing is on it yet." in text_of(response)
    assert "Nothing is on it yet." in text_of(as_("manager").get(run.get_absolute_url()))


def test_what_is_missing_leads_to_its_form_and_back(as_, made):
    made.circuits[0].cables.update(length_m=900)
    page = page_of(as_("office"), made)
    (url,) = {line.url for line in page.context["standing"].group.lines if line.finding.code == "cable.voltage"}
    assert url.startswith(reverse("circuit-cables", args=[made.circuits[0].pk]))
    assert "next=" in url


def test_a_manager_reads_it_without_ways_to_change_it(as_, made):
    text = text_of(page_of(as_("manager"), made))
    assert "Change circuit" not in text and "Enter cable runs" not in text
