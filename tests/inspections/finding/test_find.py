"""Find anything from one box, and nothing that is not yours."""

import re

import pytest
from django.db import connection

from inspections.finding.search import find_text
from sites_registry.folded import Folded, near_misses
from tests import builders
from zones.models import Position, Unit


def find(as_, name, text):
    return as_(name).get("/find/", {"q": text})


@pytest.mark.parametrize("text", ["ropewalk", "Quay", "SD", "AK-00"])
def test_the_office_finds_by_building_client_tag_and_part_of_a_serial(as_, town, text):
    html = find(as_, "office", text).content.decode()
    assert "Nothing found" not in html and "plain-list" in html


def test_the_office_finds_by_part_of_a_certificates_number(as_, town):
    year_and_half_a_number = town.certificate.number[:7]
    html = find(as_, "office", year_and_half_a_number).content.decode()
    assert "Nothing found" not in html and "plain-list" in html


def test_the_only_exact_hit_opens_at_once(as_, town):
    assert find(as_, "office", "ak-0001").url == town.unit.get_absolute_url()


def test_a_job_is_found_by_its_number(as_, town):
    assert find(as_, "office", town.job.number).url == town.job.get_absolute_url()


def test_a_manager_finds_own_building_and_not_anothers(as_, town):
    assert "Ropewalk Hall" in find(as_, "manager", "hall").content.decode()
    html = find(as_, "manager", "Mill").content.decode()
    assert "Nothing found" in html


def test_a_manager_does_not_find_a_unit_of_another_building(as_, town):
    position = builders.make_position(town.mill, tag="SD7")
    builders.fit(position, builders.make_unit(serial="MILL-77"))
    assert "Nothing found" in find(as_, "manager", "MILL-77").content.decode()
    assert "Nothing found" not in find(as_, "stranger", "MILL-7").content.decode()


@pytest.mark.parametrize("text", ["", "   ", "%", "'; drop", "x" * 500, "\0", "999999999999999999999999"])
def test_any_text_gets_an_answer(as_, town, text):
    assert find(as_, "office", text).status_code == 200


def names(hits):
    return [hit.name for _noun, hit in hits]


def whole(response):
    return names(response.context["found"].whole)


def near(response):
    return names(response.context["found"].near)


def places(response):
    return [hit.about.split(" · ")[-1] for _noun, hit in response.context["found"].whole]


# The exact first ---------------------------------------------------------------------------------------------------


def test_a_tag_is_found_before_the_many_that_contain_it(as_, town):
    for number in range(20):
        builders.make_position(builders.make_building(name=f"Aisle {number}"), tag="CP1")
    response = find(as_, "office", "P1")
    assert whole(response) == ["P1"]
    html = response.content.decode()
    assert html.index("Exactly “P1”") < html.index("CP1")


def test_what_begins_with_the_text_stands_before_what_contains_it(as_, town):
    builders.make_position(town.hall, tag="ASD3")
    builders.make_position(town.hall, tag="SD30")
    (group,) = [hits for heading, hits in find(as_, "office", "SD3").context["found"].groups if heading == "Positions"]
    assert [hit.name for hit in group] == ["SD30", "ASD3"]


@pytest.mark.parametrize("page", ["building", "visit", "panel", "position", "job", "certificate", "below the building"])
def test_the_building_one_is_in_comes_first(as_, town, page):
    for number in range(30):
        builders.make_panel(builders.make_building(name=f"Aisle {number}"), tag="P1")
    address = {
        "building": town.hall.get_absolute_url(),
        "visit": f"/visits/{town.visit.pk}/field/",
        "panel": town.panel.get_absolute_url(),
        "position": town.detector.get_absolute_url(),
        "job": town.job.get_absolute_url(),
        "certificate": town.certificate.get_absolute_url(),
        "below the building": town.hall.get_absolute_url() + "positions/",
    }[page]
    assert "Ropewalk Hall" not in places(as_("office").get("/find/", {"q": "P1"}))
    response = as_("office").get("/find/", {"q": "P1", "from": address})
    assert places(response)[0] == "Ropewalk Hall"
    assert "What belongs to Ropewalk Hall stands first" in response.content.decode()


def test_the_box_sends_the_page_it_stands_on_and_keeps_it_on_the_answer(as_, town):
    url = town.hall.get_absolute_url()
    assert f'name="from" value="{url}"' in as_("office").get(url).content.decode()
    assert f'name="from" value="{url}"' in as_("office").get("/find/", {"q": "D1", "from": url}).content.decode()


@pytest.mark.parametrize(
    "address",
    [
        "",
        "/",
        "//",
        "/buildings/",
        "/buildings/nowhere/",
        "/visits/99999999999999999999/",
        "/visits/x/",
        "/jobs/\0/",
        "/panels/²/",
        "/units/1/",
        "x" * 900,
    ],
)
def test_any_address_of_a_page_gets_an_answer(as_, town, address):
    assert as_("office").get("/find/", {"q": "P1", "from": address}).status_code in (200, 302)


def test_the_page_of_a_building_that_is_not_yours_names_no_building(as_, town):
    html = as_("stranger").get("/find/", {"q": "P", "from": town.hall.get_absolute_url()}).content.decode()
    assert "Ropewalk" not in html


def test_a_tag_with_a_word_of_its_building_is_that_one(as_, town):
    builders.make_panel(town.mill, tag="P1")
    assert places(find(as_, "office", "p1 ropewalk")) == ["Ropewalk Hall"]


# Near misses -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("typed", ["AK0001", "AK-OOO1", "AK-000I", "AB-0001", "AK-00001", "AK-001", "KA-0001"])
def test_a_mistyped_serial_is_offered(as_, town, typed):
    response = find(as_, "office", typed)
    assert near(response) == ["AK-0001"]
    html = response.content.decode()
    assert "Did you mean" in html and "Nothing found" not in html


@pytest.mark.parametrize("typed", ["SDI", "SD-1", "sd 1"])
def test_a_mistyped_tag_is_offered(as_, town, typed):
    assert "SD1" in near(find(as_, "office", typed))


@pytest.mark.parametrize(
    ("typed", "name"), [("Ropewolk", "Ropewalk Hall"), ("Orla Fnch", "Orla Finch"), ("Quay Housng", "Quay Housing")]
)
def test_a_mistyped_name_or_word_of_it_is_offered(as_, town, typed, name):
    assert near(find(as_, "office", typed)) == [name]


def test_what_differs_by_a_hyphen_or_a_look_alike_only_is_offered_alone(as_, town):
    builders.make_unit(serial="AK-0011")
    assert near(find(as_, "office", "AKOOO1")) == ["AK-0001"]
    assert near(find(as_, "office", "AX-0001")) == ["AK-0001"]


def test_what_is_two_characters_off_is_not_offered(as_, town):
    assert "Nothing found" in find(as_, "office", "AB-0O02").content.decode()


def test_no_near_miss_is_offered_beside_an_exact_hit(as_, town):
    builders.make_position(town.hall, tag="SD11")
    builders.make_position(town.hall, tag="SDI")
    assert whole(find(as_, "office", "SD1")) == ["SD1"]
    assert near(find(as_, "office", "SD1")) == []


def test_near_misses_of_the_building_one_is_in_come_first(as_, town):
    for number in range(20):
        builders.make_position(builders.make_building(name=f"Aisle {number}"), tag="SD1")
    response = as_("office").get("/find/", {"q": "SD-1", "from": town.hall.get_absolute_url()})
    assert "Ropewalk Hall" in response.context["found"].near[0][1].about


def test_a_manager_is_offered_nothing_of_anothers(as_, town):
    builders.fit(builders.make_position(town.mill, tag="SD7"), builders.make_unit(serial="MILL-77"))
    assert near(find(as_, "manager", "MILL77")) == []
    assert near(find(as_, "stranger", "MILL77")) == ["MILL-77"]


# Every kind --------------------------------------------------------------------------------------------------------


@pytest.fixture
def more(town):
    battery = builders.make_product_model("battery", name="BL 12-24")
    town.battery = builders.make_battery_set(town.panel, product_model=battery, date_code="24W06", batch="BK-77")
    builders.make_contact(town.quay_housing, name="Nell Harker", function="caretaker")
    return town


@pytest.mark.parametrize(
    ("text", "noun", "name"),
    [
        ("24w06", "battery set", "24W06"),
        ("BK-77", "battery set", "24W06"),
        ("BL 12-24", "product model", "Tarn Works BL 12-24"),
        ("Tarn Works BL 12-24", "product model", "Tarn Works BL 12-24"),
        ("Edwin Marsh", "person", "Edwin Marsh"),
        ("Nell Harker", "person at a client", "Nell Harker"),
        ("Quay Housing", "client", "Quay Housing"),
    ],
)
def test_the_office_finds_every_kind_of_thing(as_, more, text, noun, name):
    found = find_text(more.people["office"], text)
    assert (noun, name) in [(each, hit.name) for each, hit in found.whole]


def test_the_office_finds_a_job_a_certificate_and_a_visit(as_, more):
    visit = find(as_, "office", str(more.visit.pk)).context["found"].whole
    assert more.visit.get_absolute_url() in [hit.url for noun, hit in visit if noun == "visit"]
    assert find(as_, "office", more.certificate.number).url == more.certificate.get_absolute_url()
    assert find(as_, "office", more.job.number).url == more.job.get_absolute_url()


def test_a_battery_code_leads_to_its_panel(as_, more):
    assert find(as_, "manager", "24W06").url == more.panel.get_absolute_url()
    assert "Nothing found" in find(as_, "stranger", "24W06").content.decode()


@pytest.mark.parametrize("person", ["engineer", "manager"])
def test_only_the_office_finds_people(as_, more, person):
    for text in ("Edwin Marsh", "Edwin Mrsh", "Nell Harker", "office@tarn.example"):
        assert "Nothing found" in find(as_, person, text).content.decode()


@pytest.mark.parametrize("text", ["Quay Housing", "BL 12-24", "J-2026"])
def test_a_manager_does_not_find_what_is_the_firms(as_, more, text):
    nouns = {noun for noun, _hit in find(as_, "manager", text).context["found"].whole}
    assert not nouns & {"client", "product model", "job", "person"}


def test_a_unit_is_told_with_its_place_as_far_as_one_may_see_it(as_, town):
    text = find(as_, "office", "AK-000").content.decode()
    assert "Ropewalk Hall, SD1" in text


# At any size -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("text", ["SD1", "AK-OOO1", "nothing of the kind"])
def test_an_answer_costs_the_same_for_few_records_and_for_many(as_, town, text, django_assert_max_num_queries):
    office = as_("office")

    def cost():
        with django_assert_max_num_queries(30) as queries:
            assert office.get("/find/", {"q": text, "from": town.hall.get_absolute_url()}).status_code == 200
        return len(queries)

    builders.make_position(town.mill, tag="SD1")
    builders.fit(builders.make_position(town.hall, tag="SD12"), builders.make_unit(serial="SD1-5"))
    cost()
    few = cost()
    for number in range(20):
        building = builders.make_building(name=f"SD1 {number}")
        builders.fit(builders.make_position(building, tag="SD1"), builders.make_unit(serial=f"SD1-{number}0"))
        builders.make_person(full_name=f"SD1 {number}")
    assert cost() == few


@pytest.mark.parametrize(
    ("model", "column", "index"),
    [
        (Position, "tag", "position_tag_folded"),
        (Unit, "serial", "unit_serial_folded"),
        (Unit, "batch", "unit_batch_folded"),
    ],
)
def test_near_misses_are_looked_up_in_an_index_not_among_all(db, model, column, index):
    if connection.vendor == "postgresql":
        # A table of a test is so small that reading all of it is cheaper; whether the index can answer is asked.
        connection.cursor().execute("SET LOCAL enable_seqscan = off")
    records = model.objects.alias(key=Folded(column)).filter(key__in=sorted(near_misses("AK-0001")))
    plan = records.order_by().explain()
    assert index in plan
    assert not re.search(r"SCAN|Seq Scan", plan)
