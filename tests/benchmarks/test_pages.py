"""What the main pages take at 2,000 buildings, 100,000 positions with units and 4,000 visits, against the log-in page.

Run by `make bench`; prints milliseconds and the ratio to the log-in page of the same run. Not a test of speed: it only
asserts that the pages answer.
"""

import statistics
import time
from datetime import date, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from inspections.models import Visit
from sites_registry.models import Building
from tests import builders
from zones.engineering.natural_order import natural_key
from zones.models import Fitting, Position, Unit

BUILDINGS, POSITIONS_EACH = 2_000, 50
PAGES = (
    ("office home", lambda town: reverse("home")),
    ("inspections due", lambda town: reverse("due-list")),
    ("building list", lambda town: reverse("building-list")),
    ("a building's four answers", lambda town: town.hall.get_absolute_url()),
    ("device list of a building", lambda town: reverse("position-list", args=["bench-7"])),
    ("find by part of a serial", lambda town: reverse("find") + "?q=B-000123"),
    ("find a tag that every building has", lambda town: reverse("find") + "?q=SD7&from=/buildings/bench-7/"),
    ("find a mistyped serial", lambda town: reverse("find") + "?q=B-OOO9l234"),
    ("find, nothing there", lambda town: reverse("find") + "?q=zzzz-nothing"),
    ("unit list, by serial", lambda town: reverse("unit-list") + "?serial=B-0001"),
    ("visit list", lambda town: reverse("visit-list")),
)


@pytest.fixture
def large(town):
    model = builders.make_product_model()
    Building.objects.bulk_create(
        Building(client=town.quay_housing, name=f"Bench {n}", slug=f"bench-{n}") for n in range(BUILDINGS)
    )
    buildings = list(Building.objects.filter(slug__startswith="bench-"))
    positions = Position.objects.bulk_create(
        (
            Position(
                building=building, tag=f"SD{n}", tag_key=natural_key(f"SD{n}"), kind="smoke_detector", walking_order=n
            )
            for building in buildings
            for n in range(POSITIONS_EACH)
        ),
        batch_size=2_000,
    )
    units = Unit.objects.bulk_create(
        (Unit(product_model=model, maker=model.maker, serial=f"B-{n:07}") for n in range(len(positions))),
        batch_size=2_000,
    )
    Fitting.objects.bulk_create(
        (
            Fitting(position=position, unit=unit, fitted_on=date(2025, 1, 1))
            for position, unit in zip(positions, units, strict=True)
        ),
        batch_size=2_000,
    )
    now = timezone.now()
    Visit.objects.bulk_create(
        Visit(
            building=building,
            job=town.job,
            kind="inspection",
            state="finished",
            planned_on=date(2025, 1, 1),
            started_at=now,
            finished_at=now - timedelta(days=(building.pk * 7) % 500 + 366 * year),
        )
        for building in buildings
        for year in (0, 1)
    )
    return town


def milliseconds(client, address):
    taken = []
    for _ in range(5):
        started = time.perf_counter()
        assert client.get(address).status_code in (200, 302)
        taken.append(1000 * (time.perf_counter() - started))
    return statistics.median(taken)


def test_main_pages_at_a_hundred_thousand_positions(client, large):
    baseline = milliseconds(client, reverse("log-in"))
    client.force_login(large.people["office"], backend="django.contrib.auth.backends.ModelBackend")
    print(f"\n{'log-in page (baseline)':32} {baseline:8.1f} ms")
    for name, address in PAGES:
        taken = milliseconds(client, address(large))
        print(f"{name:32} {taken:8.1f} ms  {taken / baseline:6.1f} ×")
