"""Query counts of the import's pages and of the export: the same for few rows and for many."""

import pytest
from django.urls import reverse

from tests import builders
from tests.zones.device_lists.lists import check, csv_of, stage


def long_list(count):
    return csv_of(*[(f"N{n}", "SD", f"S-{n}") for n in range(count)], headings=("Tag", "Kind", "Storey"))


@pytest.mark.parametrize("count", [2, 200])
def test_preview(as_, town, count, django_assert_num_queries):
    run = check(town.hall, long_list(count))
    office = as_("office")
    with django_assert_num_queries(4):  # session, person, run with building and client, numbers of the bar
        office.get(run.get_absolute_url())


@pytest.mark.parametrize("count", [2, 200])
def test_columns(as_, town, count, django_assert_num_queries):
    run = stage(town.hall, long_list(count))
    office = as_("office")
    with django_assert_num_queries(4):
        office.get(reverse("import-run-columns", args=[town.hall.slug, run.pk]))


@pytest.mark.parametrize("count", [1, 12])
def test_lists_of_a_building(as_, town, count, django_assert_num_queries):
    for _ in range(count):
        stage(town.hall, long_list(1))
    office = as_("office")
    with django_assert_num_queries(5):  # session, person, building, runs with who began them, numbers of the bar
        office.get(reverse("device-list-import", args=[town.hall.slug]))


@pytest.mark.parametrize("count", [0, 30])
@pytest.mark.parametrize("extension", ["csv", "xlsx"])
def test_export(as_, town, count, extension, django_assert_num_queries):
    for number in range(count):
        position = builders.make_position(town.hall, tag=f"N{number}", smoke_zone=town.zone, panel=town.panel)
        builders.fit(position)
    office = as_("office")
    with django_assert_num_queries(5):  # session, person, building, fittings, positions
        office.get(reverse("device-list-export", args=[town.hall.slug, extension]))
