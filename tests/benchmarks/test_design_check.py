"""From records to findings: how long a panel, a building's page and a portfolio take. Run with ``make bench``."""

import gc
import random
import time
import tracemalloc

import pytest
from django.db import connection
from django.urls import reverse

from sites_registry.models import Building
from tests import builders
from tests.zones.installations import make_installation, make_models
from zones.design_basis.practice import current_practice
from zones.design_check.checked import check_records, checked_panel, checked_portfolio
from zones.design_check.records import read_panels
from zones.models import Cable, ControlPanel

BUILDINGS = 50
COPIES = 20  # each building is checked this often, as a portfolio of that many times as many


@pytest.fixture
def portfolio(db):
    """Fifty buildings with a panel of ten circuits of four actuators, and ten lines."""
    models = make_models()
    client = builders.make_client()
    made = [
        make_installation(builders.make_building(client), models=models, circuits=10, actuators=4)
        for _ in range(BUILDINGS)
    ]
    # No two alike, so that nothing found for one serves another.
    lengths = random.Random(2026)
    cables = list(Cable.objects.order_by("pk"))
    for cable in cables:
        cable.length_m = round(lengths.uniform(4, 20), 1)
    Cable.objects.bulk_update(cables, ["length_m"])
    return made


def all_panels():
    return sum(len(checked.panels) for checked in checked_portfolio(Building.objects.all()))


def yardstick():
    """CPU time of a fixed piece of work: what is printed beside it can be compared between machines and days."""
    start, total = time.process_time(), 0.0
    for number in range(100_000):
        total += number * 0.5
    return 10 * (time.process_time() - start)


def best_ms(rounds, call):
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        call()
        times.append((time.perf_counter() - start) * 1000)
    return min(times)


def test_a_panel_of_ten_circuits_from_records_to_findings(db, client):
    panel = make_installation(circuits=10, actuators=4).panel
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


@pytest.fixture
def as_served():
    """The collector as sites_registry/wsgi.py sets it when the server starts."""
    gc.collect()
    default = gc.get_threshold()
    gc.freeze()
    gc.set_threshold(50_000, 5, 5)
    yield
    gc.set_threshold(*default)
    gc.unfreeze()


def test_a_thousand_panels_from_records_keep_their_pace(portfolio, as_served):
    all_panels()  # warm
    panels, cpu_s, yardstick_s = 0, 0.0, 0.0
    for _ in range(COPIES):
        start = time.process_time()
        panels += all_panels()
        cpu_s += time.process_time() - start
        yardstick_s += yardstick() / COPIES  # beside each pass: what else the machine does slows both
    start = time.process_time()
    told = sum(len(words_of(checked)) for checked in checked_portfolio(Building.objects.all()))
    told_s = time.process_time() - start
    print(
        f"\n{panels} panels × 10 circuits × 4 actuators from records, every verdict: {cpu_s:.1f} s of one core (goal "
        f"5 s), {cpu_s / panels * 1000:.1f} ms each; {cpu_s / yardstick_s:.0f} times the yardstick (a million "
        f"additions, {yardstick_s * 1000:.0f} ms now)"
    )
    print(
        f"  with every sentence and figure read ({told // BUILDINGS} a panel): {told_s / BUILDINGS * 1000:.1f} ms each"
    )
    assert panels == 1000
    assert cpu_s / yardstick_s < 150  # 88 where nothing is slower than it was


def words_of(checked):
    """Every sentence with its figures: made when read."""
    return [(one.sentence, one.inputs, one.compared) for one in checked.all_findings]


def test_a_thousand_panels_take_no_more_memory_than_a_hundred(portfolio, as_served):
    all_panels()  # warm
    peaks_mib = []
    for copies in (COPIES // 10, COPIES):  # of 50 panels, as many as are read at once
        gc.collect()
        tracemalloc.start()
        for _ in range(copies):
            all_panels()
        peaks_mib.append(tracemalloc.get_traced_memory()[1] / 2**20)
        tracemalloc.stop()
    print(f"\npeak of memory: {peaks_mib[0]:.1f} MiB for 100 panels, {peaks_mib[1]:.1f} MiB for 1 000")
    # Ten times as many panels: what differs is when the collector came by.
    assert peaks_mib[1] < 1.5 * peaks_mib[0]
