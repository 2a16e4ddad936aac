"""The demo, small and whole, at the moment that the clock of this run shows (`make test-clock` sets it)."""

import pytest
from django.core.management import call_command
from django.utils import timezone

from inspections.demo import scenario
from sites_registry.models import Building
from tests.inspections.demo.test_dates import EVERY_STORY, ahead_of

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("sites", [pytest.param([EVERY_STORY], id="small"), pytest.param(scenario.SITES, id="whole")])
def test_the_demo_loads_and_nothing_lies_ahead(monkeypatch, sites):
    monkeypatch.setattr(scenario, "SITES", sites)
    call_command("load_demo")
    assert Building.objects.count() == len(sites)
    assert not ahead_of(timezone.now())
