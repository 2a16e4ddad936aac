"""A position found by its label: on a visit, and from the code that the phone's own camera read."""

import json
import re

import pytest
from django.urls import reverse

from inspections.visits.edits import start_visit


@pytest.fixture
def visit(town):
    return start_visit(visit=town.visit, started_by=town.people["engineer"])


@pytest.fixture
def find(as_, visit):
    def find(text=""):
        return as_("engineer").get(reverse("visit-find", args=[visit.pk]), {"q": text} if text else {})

    return find


def rows_of(response):
    page = response.content.decode()
    return re.findall(r'<span class="tag">(\w+)</span>', page[page.index("data-found") :].partition("</ul>")[0])


@pytest.mark.parametrize(("text", "tags"), [("sd1", ["SD1"]), ("ak-0001", ["SD1"]), ("1", ["P1", "CP1", "SD1"])])
def test_a_position_of_the_visit_is_found_by_its_tag_or_serial(find, text, tags):
    assert sorted(rows_of(find(text))) == sorted(tags)


def test_a_text_that_names_nothing_is_repeated_with_what_it_is_not(find):
    assert "“zz” is the tag or serial of nothing on this visit." in find("zz").content.decode()


def test_the_page_holds_every_position_of_the_visit_for_where_there_is_no_network(find, town, visit):
    page = find().content.decode()
    data = json.loads(re.search(r'<script id="find-data" type="application/json">(.*?)</script>', page)[1])
    places = {place["tag"]: place for place in data["places"]}
    assert set(places) == {"P1", "SD1", "CP1"}
    assert places["SD1"]["serial"] == "AK-0001"
    assert places["SD1"]["url"] == reverse("visit-field-position", args=[visit.pk, town.detector.pk])


def test_only_the_page_that_reads_codes_may_run_what_reads_them(as_, find, visit):
    assert "wasm-unsafe-eval" in find()["Content-Security-Policy"]
    walk = as_("engineer").get(reverse("visit-field", args=[visit.pk]))
    assert "wasm-unsafe-eval" not in walk["Content-Security-Policy"]


def at(client, position):
    return client.get(reverse("position-at", args=[position.pk]))


def test_the_code_on_a_label_leads_an_engineer_on_a_visit_to_the_test(as_, town, visit):
    response = at(as_("engineer"), town.detector)
    assert response.url == reverse("visit-field-position", args=[visit.pk, town.detector.pk])


@pytest.mark.parametrize("name", ["office", "manager"])
def test_the_code_on_a_label_leads_anybody_else_to_the_position(as_, town, visit, name):
    assert at(as_(name), town.detector).url == town.detector.get_absolute_url()


def test_the_code_on_a_label_leads_to_the_position_while_no_visit_is_under_way(as_, town):
    assert at(as_("engineer"), town.detector).url == town.detector.get_absolute_url()


def test_the_code_of_another_clients_label_leads_nowhere(as_, town):
    assert at(as_("stranger"), town.detector).status_code == 404


def test_the_page_of_a_position_leads_to_its_test_on_a_visit_under_way(as_, town, visit):
    test = reverse("visit-field-position", args=[visit.pk, town.detector.pk])
    assert test in as_("engineer").get(town.detector.get_absolute_url()).content.decode()
    assert test not in as_("office").get(town.detector.get_absolute_url()).content.decode()
