"""The menu: each role sees its entries in its order, and none leads to a page that the role may not open."""

import pytest
from django.core.exceptions import ImproperlyConfigured

from sites_registry import navigation
from sites_registry.access import Role
from tests.access.test_urls import EXPECTED
from tests.conftest import PEOPLE

MENUS = {"main": navigation.MAIN, "account": navigation.ACCOUNT}


def words(menu, role):
    return [link["word"] for link in navigation.links_of(menu, role=role, path="/elsewhere/")]


def test_each_role_sees_its_entries_in_its_order():
    assert words(navigation.MAIN, Role.OFFICE) == [
        "Home",
        "Buildings",
        "Jobs",
        "Visits",
        "Defects",
        "Certificates",
        "Units",
        "Batteries",
        "Models",
        "Clients",
        "People",
    ]
    assert words(navigation.MAIN, Role.ENGINEER) == [
        "My visits",
        "Buildings",
        "Visits",
        "Defects",
        "Certificates",
        "Units",
        "Batteries",
        "Models",
        "Calculator",
    ]
    assert words(navigation.MAIN, Role.MANAGER) == ["Home", "Buildings", "Defects", "Batteries", "Certificates"]
    assert words(navigation.ACCOUNT, Role.OFFICE) == ["The firm", "Common practice"]
    assert words(navigation.ACCOUNT, Role.ENGINEER) == []


@pytest.mark.parametrize("menu", MENUS)
def test_no_entry_leads_to_a_page_that_its_role_may_not_open(menu):
    for role, pages in MENUS[menu].items():
        for page in pages:
            assert EXPECTED[page][PEOPLE.index(role.value)] == "open", (role, page)


def test_each_entry_of_an_app_is_seen_by_somebody():
    seen = {page for menu in MENUS.values() for pages in menu.values() for page in pages}
    assert set(navigation.ENTRIES) == seen


def test_a_menu_that_names_an_entry_no_app_has_stops_the_start(monkeypatch):
    monkeypatch.setitem(navigation.ACCOUNT, Role.MANAGER, ("moon-list",))
    with pytest.raises(ImproperlyConfigured, match="moon-list"):
        navigation.read_menus()


def test_a_page_below_an_entry_marks_it_as_here(as_, town):
    page = as_("office").get("/visits/new/").content.decode()
    assert '<a href="/visits/" aria-current="page">' in page
    assert '<a href="/" aria-current="page">' not in page
