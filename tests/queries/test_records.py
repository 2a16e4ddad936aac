"""Product models, positions, units, serials: as many queries for few rows as for many."""

from datetime import date

import pytest
from django.urls import reverse

from tests import builders
from tests.builders.saving import days_ago
from zones.models import Fitting
from zones.units.fittings import swap


def more(town, number):
    """Further rows of every kind that these pages show."""
    line = builders.make_line(town.panel)
    visit = builders.make_visit(town.hall, state="finished", started_at=days_ago(30), finished_at=days_ago(30))
    for _ in range(number):
        model = builders.make_product_model(standby_current_a="0.0001")
        zone = builders.make_zone(town.hall, panel=town.panel)
        position = builders.make_position(
            town.hall, smoke_zone=zone, panel=town.panel, detection_line=line, storey=f"{zone.number}"
        )
        builders.fit(position, builders.make_unit(model, batch="B7"))
        builders.make_position(town.hall, smoke_zone=zone, product_model=model)
        point = builders.make_test_point(visit, town.detector, code=f"reading-{position.pk}", quantity="time", unit="s")
        builders.make_result(point, seen_at=days_ago(30), reading="12.5")
        builders.fit(builders.make_position(builders.make_building()), builders.make_unit(town.unit.product_model))
    for _ in range(number):
        unit = builders.make_unit(town.unit.product_model)
        swap(position=town.detector, new_unit=unit, swapped_on=date(2025, 3, 3), reason="test")
        town.detector.refresh_from_db()
        town.detector.smoke_zone = builders.make_zone(town.hall)
        town.detector.save()


def in_service(town):
    """A unit that was tested on the last visit and is still fitted."""
    fitting = Fitting.objects.open().filter(position__building=town.hall, position__detection_line=None).earliest("pk")
    Fitting.objects.filter(pk=fitting.pk).update(fitted_on=date(2020, 1, 1))
    if not fitting.position.test_points.exists():
        point = builders.make_test_point(town.finished, fitting.position)
        builders.make_result(point, town.people["engineer"], seen_at=town.finished.finished_at)
    return fitting.unit


PAGES = {
    # session, person, count, models with maker and unit count, makers of the filter
    "product models": (5, lambda town: reverse("product-model-list")),
    # session, person, model, units, count of units, buildings, planned, figures of data plates, files
    "product model": (9, lambda town: town.unit.product_model.get_absolute_url()),
    # session, person, building, numbers of its bar, count, positions, zones and storeys of the filter
    "positions": (8, lambda town: reverse("position-list", args=[town.hall.slug])),
    # session, person, position, fittings, inputs it is on, lines and inputs it offers, identical units, proof, history,
    # zones that changed, bar; readings, since when its unit and its battery are there, repairs, rules of the readings
    # and for when its checks are due: protocol, its checks, first of each kind, last of each line, positions asked,
    # answers, fittings, firm, building; its place on a floor plan
    "position": (27, lambda town: town.detector.get_absolute_url()),
    # session, person, count, units, models, makers and buildings of the filter
    "units": (7, lambda town: reverse("unit-list")),
    # session, person, unit, fittings; whether another came off or on that day, visits that tested it; history, files
    "unit in store": (9, lambda town: town.unit.get_absolute_url()),
    # the same, not what came on that day; what stands of the visits twice, defects, log book, what is due, the firm
    "unit in service": (14, lambda town: in_service(town).get_absolute_url()),
    # session, person, models twice (choices, chosen), units, fitted, tags, buildings, batches
    "recall": (9, lambda town: reverse("unit-recall") + f"?model={town.unit.product_model_id}"),
    # session, person, building, storeys, counts (2), page count, positions, open fittings, models, bar
    "serials": (11, lambda town: reverse("serial-list", args=[town.hall.slug]) + "?show=all"),
    # session, person, model, fittings with their units, readings
    "trends of a model": (
        5,
        lambda town: reverse("product-model-trends", args=[town.unit.product_model_id]),
    ),
    # session, person, building, positions, bar
    "walking order": (5, lambda town: reverse("walking-order", args=[town.hall.slug])),
}


@pytest.mark.parametrize("name", PAGES)
def test_a_page_costs_the_same_for_few_rows_and_for_many(as_, town, name, django_assert_num_queries):
    expected, address_of = PAGES[name]
    office = as_("office")
    for number in (2, 12):
        more(town, number)
        address = address_of(town)
        with django_assert_num_queries(expected):
            office.get(address)
