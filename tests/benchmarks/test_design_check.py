"""From records to findings: how long a panel, a building's page and a portfolio take. Run with ``make bench``."""

import resource
import time

import pytest
from django.db import connection
from django.urls import reverse

from sites_registry.models import Building
from tests import builders
from tests.zones.installations import make_installation, make_models
from zones.design_basis.practice import current_practice
from zones.design_check.checked import check_records, checked_panel, checked_portfolio
from zones.design_check.records import read_panels
from zones.models import ControlPanel

BUILDINGS = 20
COPIES = 40  # each building is checked this often, as a portfolio of that many times as many


@pytest.fixture
def portfolio(db):
    """Twenty buildings with a panel of ten circuits of four actuators, and ten lines."""
    models = make_models()
    client = builders.make_client()
    return [
        make_installation(builders.make_building(client), models=models, circuits=10, actuators=4)
        for _ in range(BUILDINGS)
    ]


def best_ms(rounds, call):
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        call()
        times.append((time.perf_counter() - start) * 1000)
    return min(times)


def test_a_panel_of_ten_circuits_from_records_to_findings(portfolio, client):
    panel = portfolio[0].panel
    records = read_panels(ControlPanel.objects.filter(pk=panel.pk))[0]
    practice = current_practice()
    reading_ms = best_ms(20, lambda: read_panels(ControlPanel.objects.filter(pk=panel.pk)))
    checking_ms = best_ms(20, lambda: check_records(records, practice))
    whole_ms = best_ms(20, lambda: checked_panel(panel))
    client.force_login(builders.make_person("office"), backend="django.contrib.auth.backends.ModelBackend")
    page_ms = best_ms(5, lambda: client.get(reverse("panel-design-check", args=[panel.pk]) + "?severity=all"))
    building_ms = best_ms(5, lambda: client.get(panel.building.get_absolute_url()))
    findings = len(checked_panel(panel).findings)
    print(f"\none panel, 10 circuits × 4 actuators, 10 lines, {findings} findings ({connection.vendor})")
    print(f"  records read {reading_ms:.1f} ms, made and checked {checking_ms:.1f} ms, together {whole_ms:.1f} ms")
    print(f"  its page with every finding {page_ms:.0f} ms; the building's page {building_ms:.0f} ms")
    assert whole_ms < 200
    assert building_ms < 500


def test_a_portfolio_from_records_keeps_its_pace_and_its_memory(portfolio):
    for _ in checked_portfolio(Building.objects.all()):  # warm
        pass
    before_kib = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    start, panels = time.process_time(), 0
    for _ in range(COPIES):
        for checked in checked_portfolio(Building.objects.all()):
            panels += len(checked.panels)
    cpu_s = time.process_time() - start
    grown_mib = (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before_kib) / 1024
    print(
        f"\n{panels} panels × 10 circuits from records: {cpu_s:.1f} s of one core, {cpu_s / panels * 1000:.1f} ms each"
    )
    print(f"  10 000 such panels would take {cpu_s / panels * 10_000 / 60:.1f} min; memory grew by {grown_mib:.1f} MiB")
    assert grown_mib < 20
