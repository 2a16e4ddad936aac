"""No paper costs more queries when there is ten times as much on it: every file of the registry of papers."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests.access import table_papers
from tests.access.test_urls import address_of
from tests.queries.test_every_page import fill, fill_building


def counted_papers():
    """The names of the addresses whose cost is counted: every file of every paper."""
    return [name for name in table_papers.rows() if name not in table_papers.WITHOUT_A_CHOICE]


@pytest.fixture
def cost(as_, town):
    client = as_("office")

    def of(name):
        with CaptureQueriesContext(connection) as queries:
            assert client.get(address_of(name, town)).status_code == 200, name
        return len(queries)

    return of


def test_no_paper_costs_more_for_ten_times_as_much(cost, town):
    fill_building(town, 30)
    names = counted_papers()
    assert len(names) > 20
    for name in names:
        cost(name)  # what the first call reads once and keeps
    before = {name: cost(name) for name in names}
    fill(town)
    dearer = [name for name in names if cost(name) > before[name]]
    after = {name: cost(name) for name in dearer}  # again: what is made once of new rules is kept by now
    assert {name: (before[name], after[name]) for name in dearer if after[name] > before[name]} == {}
