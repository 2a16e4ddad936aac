"""What papers with long tables cost, in time of the processor with that of the typesetter. Run with ``make bench``.

A busy machine is slower: each limit is in additions, a million of which took 46 ms where the limits were set.
"""

import resource
import time

import pytest
from django.utils import timezone

from inspections.certificates.document import certificate_pdf
from inspections.visit_pages.report import visit_report_pdf
from tests import builders
from tests.benchmarks.test_device_lists import HEADINGS, rows
from tests.zones.device_lists.lists import xlsx_of
from zones.device_lists import staging
from zones.panels.device_schedule import device_schedule_pdf, parts_of, positions_of

ADDITIONS_A_SECOND = 1_000_000 / 0.046


def processor_s():
    used = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    return sum(one.ru_utime + one.ru_stime for one in used)


def yardstick_s():
    """A million additions, the least of three times."""
    times = []
    for _ in range(3):
        start = time.process_time()
        total = 0
        for number in range(1_000_000):
            total += number
        times.append(time.process_time() - start)
    return min(times)


def measured(word, limit_s, make):
    """Make a paper twice (the first time reads typefaces and templates), and hold the second against its limit."""
    make()
    before, start = yardstick_s(), processor_s()
    pdf = make()
    seconds = processor_s() - start
    additions = seconds / min(before, yardstick_s()) * 1_000_000
    quiet_s = additions / ADDITIONS_A_SECOND
    print(f"\n{word}: {seconds:.2f} s of processor here, {quiet_s:.2f} s on the quiet machine (limit {limit_s} s)")
    assert pdf.startswith(b"%PDF") and quiet_s < limit_s


@pytest.mark.django_db
def test_a_certificate_of_three_thousand_positions():
    certificate = builders.make_certificate()
    certificate.statement |= {"readings": [reading(number) for number in range(3_000)]}
    measured("certificate of 3,000 readings", 3.0, lambda: certificate_pdf(certificate))


@pytest.mark.django_db
def test_a_report_of_a_visit_to_three_hundred_positions():
    building, by = builders.make_building(), builders.make_person()
    for number in range(300):
        builders.make_position(building, tag=f"SD{number + 1}")
    visit = builders.make_finished_visit(building)
    measured(
        "report of a visit, 300 positions", 1.5, lambda: visit_report_pdf(visit, prepared_by=by, now=timezone.now())
    )


def reading(number):
    return {
        "tag": f"SD{number}",
        "storey": str(number // 150),
        "check": f"Check {number % 3}",
        "quantity": "resistance",
        "reading": f"{9.5 + number % 90 / 100:.2f}",
        "unit": "kΩ",
        "limits": "9.50 to 10.50 kΩ",
        "source": "common practice",
        "verdict": "outside" if number % 100 == 7 else "meets",
        "note": "",
    }


@pytest.mark.django_db
def test_a_device_schedule_of_a_thousand_rows():
    building, by = builders.make_building(), builders.make_person()
    run = staging.stage_file(
        building=building, name="list.xlsx", content=xlsx_of(*rows(1_000, "A"), headings=HEADINGS), by=by
    )
    staging.check_rows(run=staging.confirm_columns(run=run, keys=run.column_keys), limit=None)
    staging.apply_run(run=run, by=by)

    def make():
        return device_schedule_pdf(building, parts_of(positions_of(building)), prepared_by=by, now=timezone.now())

    measured("device schedule of 1,000 rows", 1.6, make)  # aimed at: 1.0
