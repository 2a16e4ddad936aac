"""The menu and the bars of sibling pages: each role sees its pages in their order, and none that it may not open."""

import re
from datetime import date

import pytest
from django.core.exceptions import ImproperlyConfigured

from sites_registry import navigation, siblings
from sites_registry.access import Role
from tests.access.test_urls import EXPECTED, address_of
from tests.conftest import PEOPLE


def words(role):
    return [link["word"] for link in navigation.links_of(role=role, path="/elsewhere/")]


def beside(role, path):
    return [page["word"] for page in navigation.pages_beside(role=role, path=path)]


def test_each_role_sees_its_entries_in_their_order():
    records = ["Buildings", "Visits", "Defects", "Certificates", "Units"]
    assert words(Role.OFFICE) == ["Home", *records, "Office"]
    assert words(Role.ENGINEER) == ["My visits", *records, "Calculator"]
    assert words(Role.MANAGER) == ["Home", "Buildings", "Defects", "Certificates", "Batteries"]


def test_the_pages_of_a_section_stand_beside_each_other():
    assert beside(Role.OFFICE, "/product-models/7/") == ["Units", "Batteries", "Models", "Instruments"]
    assert beside(Role.OFFICE, "/firm/") == [
        *("Jobs", "Clients", "People", "Protocols", "Common practice", "The firm", "Mails", "Evidence")
    ]
    assert beside(Role.OFFICE, "/defects/") == []
    assert beside(Role.MANAGER, "/batteries/") == []


@pytest.mark.parametrize("role", Role)
def test_no_entry_leads_to_a_page_that_its_role_may_not_open(role):
    for section in navigation.MAIN[role]:
        for page in section.pages:
            assert EXPECTED[page][PEOPLE.index(role.value)] == "open", (role, page)


def test_each_entry_of_an_app_is_seen_by_somebody():
    seen = {page for menu in navigation.MAIN.values() for section in menu for page in section.pages}
    assert set(navigation.ENTRIES) == seen


def test_a_menu_that_names_an_entry_no_app_has_stops_the_start(monkeypatch):
    monkeypatch.setitem(navigation.MAIN, Role.MANAGER, (navigation.Section(("moon-list",)),))
    with pytest.raises(ImproperlyConfigured, match="moon-list"):
        navigation.read_menus()


def test_a_page_below_an_entry_marks_it_as_here(as_, town):
    page = as_("office").get("/visits/new/").content.decode()
    assert '<a href="/visits/" aria-current="page">' in page
    assert '<a href="/" aria-current="page">' not in page


@pytest.mark.parametrize("role", Role)
def test_every_page_that_a_role_may_open_lies_in_one_section_of_its_menu(town, role):
    for page, row in EXPECTED.items():
        if row[PEOPLE.index(role.value)] == "open":
            marked = [link for link in navigation.links_of(role=role, path=address_of(page, town)) if link["is_here"]]
            assert len(marked) == 1, page


def test_what_belongs_to_a_building_lies_among_the_buildings(town):
    for page in ("panel-detail", "position-detail", "cable-detail", "rule-list", "zone-detail", "hand-over-detail"):
        [here] = [
            link for link in navigation.links_of(role=Role.OFFICE, path=address_of(page, town)) if link["is_here"]
        ]
        assert here["word"] == "Buildings", page


@pytest.mark.parametrize("kind", siblings.ORDER)
def test_a_bar_shows_each_person_the_pages_that_person_may_open(kind):
    for page in siblings.ORDER[kind]:
        shown_to = {role for role in Role if role in siblings.PAGES[page].roles}
        may_open = {role for role in Role if EXPECTED[page][PEOPLE.index(role.value)] == "open"}
        assert shown_to == may_open, page


def test_a_bar_that_names_a_page_no_app_has_stops_the_start(monkeypatch):
    monkeypatch.setitem(siblings.ORDER, "panel", ("panel-detail", "panel-moon"))
    with pytest.raises(ImproperlyConfigured, match="panel-moon"):
        siblings.read_siblings()


def test_a_bar_says_how_many_there_are_in_one_query(town, django_assert_num_queries):
    panel = town.panel
    with django_assert_num_queries(1):
        bar = siblings.siblings_of("panel", panel, role=Role.OFFICE, page="rule-list")
    numbers = {page["word"]: page["number"] for page in bar}
    assert numbers["Cause and effect"] == panel.rules.count()
    assert numbers["Wiring"] == panel.terminals.count()
    assert numbers["Logic proof"] is None
    assert [page["word"] for page in bar if page["is_here"]] == ["Cause and effect"]


def test_a_bar_counts_the_positions_in_use_as_their_list_shows_them(town):
    def number():
        bar = siblings.siblings_of("building", town.hall, role=Role.MANAGER, page="position-list")
        return next(page["number"] for page in bar if page["word"] == "Positions")

    before = number()
    town.hall.positions.filter(pk=town.detector.pk).update(retired_on=date(2026, 3, 2))
    assert number() == before - 1


@pytest.mark.parametrize(
    ("page", "lies_below"),
    [
        ("defect-detail", "Defects"),
        ("certificate-detail", "Papers"),
        ("job-detail", "Visits"),
        ("job-materials", "Visits"),
        ("zone-detail", "Zones"),
    ],
)
def test_what_belongs_to_a_building_bears_its_bar_with_the_page_it_lies_below(as_, town, page, lies_below):
    html = as_("office").get(address_of(page, town)).content.decode()
    bar = html.split(f'aria-label="Pages of {town.hall}"')[1].split("</nav>")[0]
    [marked] = re.findall(r'aria-current="page"\s*>([^<]+)<|aria-current="page">([^<]+)', bar)
    assert "".join(marked).strip() == lies_below
