"""What the start pages, the building's page, find and certificates cost: the same with few rows and with many."""

import pytest
from django.db import connection, transaction
from django.test.utils import CaptureQueriesContext

from tests import builders


@pytest.fixture
def cost(as_, town):
    def of(person, address):
        client = as_(person)
        with CaptureQueriesContext(
            connection,
        ) as queries:
            assert client.get(address).status_code == 200
        return len(queries)

    return of


def fill(town):
    """Ten times as much of everything that the pages show."""
    for _ in range(12):
        building = builders.make_building(town.quay_housing, managers=[town.people["manager"]])
        zone = builders.make_zone(building, panel=builders.make_panel(building))
        for _ in range(4):
            builders.fit(builders.make_position(building, smoke_zone=zone))
        visit = builders.make_finished_visit(building, finished_at=builders.days_ago(400))
        builders.make_certificate(visit, town.people["office"])
        builders.make_defect(building, visit)
        builders.make_visit(building, engineer=town.people["engineer"])
    for number in range(20):
        builders.fit(builders.make_position(town.hall, tag=f"SD{number + 50}", smoke_zone=town.zone))


@pytest.mark.parametrize(
    ("person", "address", "most"),
    [
        ("office", "/", 20),
        ("engineer", "/", 8),
        ("manager", "/", 10),
        ("office", "/due/", 8),
        ("office", "/buildings/ropewalk-hall/", 51),
        ("manager", "/buildings/ropewalk-hall/", 51),
        ("office", "/buildings/ropewalk-hall/particulars/", 8),
        ("manager", "/buildings/ropewalk-hall/particulars/", 6),
        ("office", "/buildings/ropewalk-hall/visits/", 8),
        ("manager", "/buildings/ropewalk-hall/visits/", 8),
        ("office", "/buildings/ropewalk-hall/defects/", 8),
        ("manager", "/buildings/ropewalk-hall/defects/", 8),
        ("office", "/find/?q=1", 30),
        ("office", "/certificates/", 8),
        ("office", "/certificates/2026-0001/", 9),
    ],
)
def test_a_page_costs_the_same_for_few_rows_and_for_many(cost, shared, town, person, address, most):
    shared.built(one_defect, town)
    with transaction.atomic():
        shared.built(fill, town)
        many = cost(person, address)
        transaction.set_rollback(True)
    assert many <= cost(person, address) <= most


def one_defect(town):
    builders.make_defect(town.hall, town.finished)
