"""How long a list of 5,000 rows takes. Run with ``make bench``."""

import time
from datetime import date

import pytest

from tests import builders
from tests.zones.device_lists.lists import effects, xlsx_of
from zones.device_lists import staging

HEADINGS = (
    "Ref",
    "Type",
    "Panel",
    "Zone no",
    "Zone name",
    "Vent",
    "Output",
    "Line no.",
    "Order",
    "Floor",
    "Room",
    "Location",
    "Make",
    "Model no.",
    "S/N",
    "Batch",
    "Date fitted",
)
KINDS = ("Smoke detector", "Actuator", "MCP")


def rows(count, serials):
    yield from (
        (f"P{n}", "Control panel", *[None] * 10, "Tarn Works", "Cabinet", f"C{serials}{n}", None, date(2026, 3, 1))
        for n in range(1, 11)
    )
    for n in range(count - 10):
        kind, zone = KINDS[n % 3], n % 40 + 1
        drive = kind == "Actuator"
        yield (
            f"Z{zone}-{n}",
            kind,
            f"P{n % 10 + 1}",
            zone,
            f"Stair {zone}",
            f"V{zone}.{n % 7}" if drive else None,
            n % 12 + 1 if drive else None,
            None if drive else n % 8 + 1,
            n % 30,
            str(n % 9),
            f"Room {n % 50}",
            "above the door, left",
            "Tarn Works",
            f"Model {kind}",
            f"{serials}-{n:06}",
            f"26/{n % 52}",
            date(2026, 3, 1),
        )


def timed(word, limit_s, call):
    start = time.perf_counter()
    result = call()
    seconds = time.perf_counter() - start
    print(f"\n{word}: {seconds:.1f} s (limit {limit_s} s)")
    assert seconds < limit_s
    return result


@pytest.mark.django_db
def test_five_thousand_rows_are_previewed_in_ten_seconds_and_applied_in_twenty():
    building, by = builders.make_building(), builders.make_person()

    def preview(content):
        run = staging.stage_file(building=building, name="list.xlsx", content=content, by=by)
        run = staging.confirm_columns(run=run, keys=run.column_keys)
        while run.state == "checking":
            run = staging.check_rows(run=run)
        return run

    for serials, effect in (("A", "new"), ("B", "swap")):
        content = xlsx_of(*rows(5_000, serials), headings=HEADINGS)
        run = timed(f"preview of 5,000 rows, all {effect}", 10, lambda content=content: preview(content))
        assert effects(run) == {effect: 5_000}
        timed(f"apply of 5,000 rows, all {effect}", 20, lambda run=run: staging.apply_run(run=run, by=by))
        assert effects(timed("the same list again", 10, lambda content=content: preview(content))) == {
            "unchanged": 5_000
        }
