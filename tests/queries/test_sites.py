"""Clients, buildings, jobs, variations: a long list costs what a short one costs."""

import pytest
from django.urls import reverse

from tests.builders import (
    make_building,
    make_client,
    make_contact,
    make_handed_over,
    make_job,
    make_person,
    make_variation,
)


def grow(town):
    """Ten times the town."""
    for _ in range(12):
        building = make_building(make_client(), use="school")
        make_building(town.quay_housing)
        make_contact(town.quay_housing)
        make_job(building, lead=town.people["engineer"])
        make_variation(town.hall, job=make_job(town.hall, lead=make_person("engineer")))
        make_handed_over(town.job)
        town.hall.managers.add(make_person("manager"))


@pytest.mark.parametrize(
    ("url_name", "arguments", "queries"),
    [
        ("client-list", [], 4),  # session, person, count for the pager, clients with number of buildings
        ("client-detail", ["quay_housing.pk"], 5),  # session, person, client, contacts, buildings
        # session, person, the firm, clients to choose from, buildings; of those shown: units, visits, what stands of
        # them, positions not tested
        ("building-list", [], 9),
        # session, person, building, its bar, managers, people to choose from
        ("building-managers", ["hall.slug"], 6),
        ("variation-list", ["hall.slug"], 5),  # session, person, building, its bar, variations with job
        ("job-list", [], 4),  # session, person, count for the pager, jobs
        # session, person, job; the bar of its building, contacts, variations, documents, files
        ("job-materials", ["job.number"], 15),
        ("job-detail", ["job.number"], 54),  # its bar; the whole record of the building, for what stands of it
        ("job-create", [], 5),  # session, person, the building of the address, buildings and engineers to choose from
        ("building-create", [], 3),  # session, person, clients to choose from
    ],
)
def test_page_costs_the_same_with_ten_times_the_data(
    as_, town, django_assert_num_queries, url_name, arguments, queries
):
    def value(path):
        record = town
        for name in path.split("."):
            record = getattr(record, name)
        return record

    url = reverse(url_name, args=[value(path) for path in arguments])
    make_contact(town.quay_housing)
    make_variation(town.hall, job=town.job)
    make_handed_over(town.job)
    office = as_("office")
    with django_assert_num_queries(queries):
        office.get(url)
    grow(town)
    with django_assert_num_queries(queries):
        office.get(url)
