"""The log book: a long one costs what a short one costs."""

import pytest
from django.urls import reverse

from tests.builders import days_ago, make_log_entry, make_person, make_position


def fill(town, number):
    for days in range(1, number + 1):
        position = make_position(town.hall, "manual_call_point")
        first = make_log_entry(
            town.hall, kind="weekly_check", check_result="in_order", position=position, happened_at=days_ago(days)
        )
        make_log_entry(
            town.hall, kind="disablement", position=position, smoke_zone=town.zone, entered_by=make_person("manager")
        )
        make_log_entry(town.hall, kind="fault", corrects=first)


@pytest.mark.parametrize(
    ("url_name", "queries"),
    [
        # session, person, building; disablements, faults, false alarms, this week's check, rota; count, entries
        ("log-book", 14),
        ("log-book-print", 6),  # session, person, building, its bar, entries, faults put right where found
        ("log-book-csv", 5),
        ("log-entry-create", 6),  # session, person, building, rota, zones and devices to choose from
    ],
)
def test_page_costs_the_same_with_ten_times_the_data(as_, town, django_assert_num_queries, url_name, queries):
    url = reverse(url_name, args=[town.hall.slug])
    fill(town, 1)
    manager = as_("manager")
    with django_assert_num_queries(queries):
        manager.get(url)
    fill(town, 10)
    with django_assert_num_queries(queries):
        manager.get(url)


def test_one_entry(as_, town, django_assert_num_queries):
    entry = make_log_entry(town.hall, position=town.call_point, smoke_zone=town.zone)
    manager = as_("manager")
    with django_assert_num_queries(4):  # session, person, entry, the bar of the building
        manager.get(entry.get_absolute_url())
