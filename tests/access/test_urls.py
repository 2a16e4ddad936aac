"""Every address × every person, by GET and by POST.

Words: "log in" sent to the log-in page · "refused" 403 · "hidden" 404 · "elsewhere" a redirect · "open" anything else.
A method that an address does not take (405) proves nothing and is passed over; test_every_row_is_open_to_someone
sees to it that a wrong argument cannot turn a whole row "hidden".
"""

from itertools import product

import pytest
from django.conf import settings
from django.test import Client
from django.urls import URLPattern, get_resolver, reverse

from tests.access import table_inspections, table_papers, table_sites_registry, table_zones
from tests.conftest import PEOPLE

TABLES = (table_sites_registry, table_zones, table_inspections, table_papers)
EXPECTED = {name: row for table in TABLES for name, row in table.EXPECTED.items()}
ARGUMENTS = {name: arguments for table in TABLES for name, arguments in table.ARGUMENTS.items()}


def every_url_name(patterns):
    for pattern in patterns:
        if isinstance(pattern, URLPattern):
            yield pattern.name
        elif pattern.namespace != "admin":
            yield from every_url_name(pattern.url_patterns)


def outcome(response):
    if response.status_code in (301, 302):
        return "log in" if response.url.startswith(reverse(settings.LOGIN_URL)) else "elsewhere"
    return {403: "refused", 404: "hidden", 405: "other method"}.get(response.status_code, "open")


def address_of(url_name, town):
    arguments = ARGUMENTS.get(url_name)
    return reverse(url_name, args=arguments(town) if arguments else [])


def log_in(client, town, person):
    if person != "anonymous":
        client.force_login(town.people[person], backend="django.contrib.auth.backends.ModelBackend")


def test_every_url_is_in_the_table():
    assert sorted(set(every_url_name(get_resolver().url_patterns))) == sorted(EXPECTED)


def test_every_row_is_open_to_someone():
    for url_name, row in EXPECTED.items():
        if url_name == "log-out":
            continue
        assert {"open", "elsewhere"} & set(row), url_name


@pytest.mark.parametrize("url_name", EXPECTED)
def test_url_by_person(town, url_name):
    clients = {person: Client() for person in PEOPLE}
    for person, client in clients.items():
        log_in(client, town, person)
    # GET for all before POST for any: what a POST changes must not turn a later answer.
    address = address_of(url_name, town)
    for method, (person, expected) in product(("get", "post"), zip(PEOPLE, EXPECTED[url_name], strict=True)):
        if method == "post":
            address = address_of(url_name, town)  # anew: the person before may have ended what it leads to
        found = outcome(getattr(clients[person], method)(address))
        allowed = {expected, "other method"}
        if method == "post" and expected == "open":
            allowed.add("elsewhere")  # a form that was taken
        assert found in allowed, f"{method} {url_name} as {person}: {found}, not {expected}"


def test_support_pages_need_support_access(client, town):
    for person in ("manager", "engineer", "office"):
        log_in(client, town, person)
        assert client.get("/support/").status_code == 302
