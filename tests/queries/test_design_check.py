"""Pages and papers of the design check cost the same for one circuit as for many, for one panel as for several."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from tests import builders
from tests.zones.installations import make_installation

pytestmark = pytest.mark.django_db

# session, person, record; panel, positions, models, battery, circuits, lines, zones, vents, groups, cables; practice
PAGES = {
    "panel-design-check": (18, lambda made: [made.panel.pk]),
    "panel-design-check-report": (19, lambda made: [made.panel.pk]),
    "building-design-check": (20, lambda made: [made.building.slug]),
    "building-design-check-report": (20, lambda made: [made.building.slug]),
    # the check beside what is typed
    "circuit-cables": (26, lambda made: [made.circuits[0].pk]),
    "line-cables": (26, lambda made: [made.lines[0].pk]),
    # the check; visits, what stands of them twice, positions not tested, defects, due, firm; members, cables, others
    "circuit-detail": (27, lambda made: [made.circuits[0].pk]),
    "line-detail": (27, lambda made: [made.lines[0].pk]),
    "line-locate-fault": (18, lambda made: [made.panel.pk, 1]),
}


CALCULATORS = (
    "voltage-drop",
    "cable-rating",
    "protection",
    "battery",
    "supply",
    "monitored-line",
    "locate-fault",
    "opening-time",
    "vent-area",
    "required-area",
    "insulation",
    "actuator-force",
)
CALCULATORS_THAT_SHOW_PRACTICE = (
    "voltage-drop",
    "protection",
    "monitored-line",
    "locate-fault",
    "opening-time",
    "actuator-force",
)


def cost(client, url):
    with CaptureQueriesContext(connection) as queries:
        assert client.get(url).status_code == 200
    return queries


def little_and_much(town):
    few = make_installation(town.hall, tag="P5")
    many = make_installation(town.mill, models=few.models, circuits=4, actuators=5, tag="P5")
    for number in (6, 7):
        make_installation(town.mill, models=few.models, tag=f"P{number}")
    builders.make_finished_visit(town.mill)
    return few, many


@pytest.mark.parametrize("url_name", PAGES)
def test_page_costs_the_same_for_little_and_for_much(as_, town, shared, url_name):
    few, many = shared.built(little_and_much, town)
    most, arguments = PAGES[url_name]
    client = as_("office")
    client.get("/practice/")  # the first request of a session writes it
    of_few = cost(client, reverse(url_name, args=arguments(few)) + "?severity=all")
    of_many = cost(client, reverse(url_name, args=arguments(many)) + "?severity=all")
    assert len(of_many) == len(of_few), [query["sql"][:120] for query in of_many]
    assert len(of_few) <= most, [query["sql"][:120] for query in of_few]


def test_the_marks_of_a_page_of_buildings_cost_the_same_for_little_and_for_much(as_, town, shared):
    few, many = shared.built(little_and_much, town)
    client, url = as_("office"), reverse("building-limits")
    client.get("/practice/")  # the first request of a session writes it
    of_one = cost(client, f"{url}?building={few.building.slug}")
    of_two = cost(client, f"{url}?building={few.building.slug}&building={many.building.slug}")
    # session, person, buildings twice, visits, what stands of them, practice, zones; the records of the panels
    assert (len(of_one), len(of_two)) == (20, 20)


def test_the_marks_of_a_page_of_batteries_cost_the_same_for_little_and_for_much(as_, town, shared):
    few, many = shared.built(little_and_much, town)
    client, url = as_("office"), reverse("battery-limits")
    client.get("/practice/")  # the first request of a session writes it
    of_one = cost(client, f"{url}?panel={few.panel.pk}")
    of_two = cost(client, f"{url}?panel={few.panel.pk}&panel={many.panel.pk}")
    assert (len(of_one), len(of_two)) == (15, 15)  # session, person, practice; the records of the panels


@pytest.mark.parametrize("slug", CALCULATORS)
def test_calculator_reads_only_who_asks_and_the_common_practice(as_, town, slug):
    client = as_("engineer")
    client.get("/calculator/")  # the first request of a session writes it
    url = f"/calculator/{slug}/"
    reads_practice = slug in CALCULATORS_THAT_SHOW_PRACTICE
    assert len(cost(client, url)) == 2 + reads_practice  # session, person, the practice that stands in empty boxes


def test_trying_other_figures_reads_nothing_more(as_, town):
    made = make_installation(town.hall, tag="P5")
    url = reverse("panel-design-check", args=[made.panel.pk])
    client = as_("office")
    client.get("/practice/")
    as_recorded = cost(client, url)
    tried = cost(client, url + "?circuit=1&area=1.5&lengths=2&actuators=5&capacity=7")
    assert len(tried) == len(as_recorded)
    assert not [query["sql"] for query in tried if query["sql"].startswith(("INSERT", "UPDATE", "DELETE"))]
