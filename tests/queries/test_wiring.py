"""Pages and lists of the wiring cost the same number of queries for a small panel and for a large one."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from tests import builders
from zones.units.patterns import use_panel_pattern
from zones.wiring.loops import loop_run

pytestmark = pytest.mark.django_db


def fill(town, first, last):
    """Lines of two detectors, looped, and an unlike cable each."""
    for number in range(first, last + 1):
        line = builders.make_line(town.panel, number=number, end_of_line_ohm=10_000)
        devices = [
            builders.make_position(
                town.hall, tag=f"SD{number}.{n}", panel=town.panel, detection_line=line, order_on_line=n
            )
            for n in (1, 2)
        ]
        use_panel_pattern(panel=town.panel, lines=number, links=1)
        loop_run(owner=line, devices=devices)
        link = town.panel.data_links.get(number=1)
        call_point = builders.make_position(
            town.hall, "manual_call_point", tag=f"CP{number}.1", data_link=link, order_on_line=number
        )
        builders.make_link_entry(
            link,
            place=number,
            position=call_point,
            confirmed_how="serial",
            confirmed_at=timezone.now(),
            zone_assigned=town.zone,
        )
        builders.make_input_port(town.panel, [devices[0]], number=number, smoke_zone=town.zone)


PAGES = {
    "panel-wiring": lambda town: [town.panel.pk],
    "terminal-schedule": lambda town: [town.panel.pk],
    "cable-schedule": lambda town: [town.hall.slug],
    "end-of-line-schedule": lambda town: [town.hall.slug],
    "wiring-list-export": lambda town: [town.panel.pk, "csv"],
    "line-loop": lambda town: [town.line.pk],
    "panel-terminal-pattern": lambda town: [town.panel.pk],
    "input-loop": lambda town: [town.panel.pk],
    "input-port-loop": lambda town: [town.panel.pk],
    "data-link-detail": lambda town: [town.panel.data_links.get().pk],
    "link-list": lambda town: [town.panel.data_links.get().pk],
}


def two_lines(town):
    fill(town, 1, 2)
    town.line = town.panel.detection_lines.get(number=1)


def eight_lines(town):
    two_lines(town)
    fill(town, 3, 8)


@pytest.mark.parametrize("url_name", PAGES)
def test_page_costs_the_same_for_two_lines_and_for_eight(queries_of, url_name):
    def address(town):
        return reverse(url_name, args=PAGES[url_name](town))

    few, many = queries_of(two_lines, address), queries_of(eight_lines, address)
    assert len(many) == len(few), many[-5:]
    assert len(many) <= 27  # the page of a panel: with the photographs beside it


def test_saving_a_row_costs_the_same_for_two_lines_and_for_eight(as_, town):
    counts, client = [], as_("office")
    client.get(reverse("panel-wiring", args=[town.panel.pk]))  # the first request of a session writes it
    for first, last in ((1, 2), (3, 8)):
        fill(town, first, last)
        cable = builders.make_cable(town.hall, cores_count=2)
        terminal = builders.make_terminal(town.panel, block="X9", electrical_kind="contact")
        with CaptureQueriesContext(connection) as queries:
            answer = client.post(
                reverse("terminal-wiring", args=[terminal.pk]),
                {"field": "core", "typed": f"{cable}.1", "seen": "", "panel": town.panel.pk},
            )
        assert answer.status_code == 200
        counts.append(len(queries))
    assert counts[0] == counts[1]
    assert counts[0] <= 60
