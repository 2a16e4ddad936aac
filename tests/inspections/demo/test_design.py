"""The buildings of the demo as built: every kind of finding of the design check beside buildings that are sound; ten
or more wired to the last core; storeys in the order in which one walks them."""

import itertools
import re
from datetime import date
from pathlib import Path
from types import SimpleNamespace

import pytest
from dateutil.relativedelta import relativedelta
from django.test import override_settings
from django.utils import timezone

from inspections.demo import design_faults, scenario
from inspections.demo.design_faults import FAULTS
from inspections.demo.product_models import MODELS
from inspections.demo.systems import SystemBuilder, make_models
from inspections.demo.wiring import HARDLY_RECORDED, WITH_FAULTS
from tests import builders
from zones.design_check import checked as design_check
from zones.design_check.checked import checked_building, counts_of
from zones.engineering import Severity
from zones.wiring.check import findings_of_wiring
from zones.wiring.state import state_of_building

pytestmark = pytest.mark.django_db  # so that the database is made for the fixture of the module
TODAY = date(2026, 11, 25)
CODE = re.compile(r'"((?:cable|protection|supply|battery|line|time|area|air|class|force|consistency|figure)\.[a-z_]+)"')

# What the rules of the records keep out: it can be said of plain designs, and of rows older than a rule.
NEVER_FROM_RECORDS = {
    "cable.tree": "a run goes on from a run of its own circuit, without a ring",
    "figure.refused": "forms refuse what cannot be computed with",
    "consistency.vent_zone": "a vent is made in its zone",
    "consistency.group": "a group is made in its zone, and a position is in one group",
    "consistency.panel": "every building of the demo has a panel",
}


def every_code():
    """Codes as they stand in the source, of engineering and of the bridge; the numbered ones are composed there."""
    bridge = Path(design_check.__file__).parent
    files = [*bridge.parent.glob("engineering/*.py"), *bridge.glob("*.py")]
    found = {code for file in files for code in CODE.findall(file.read_text())}
    assert len(found) > 40, "The sources of the codes are not where this looks for them."
    return found | {"consistency.zone_numbers", "consistency.group_numbers"}


@pytest.fixture(scope="module")
def built(django_db_setup, django_db_blocker):
    """Every building of the demo as built, without its years of visits, and what the checks say of it, by its name."""
    from django.db import transaction

    # No check asks who changed what: keeping it would take a sixth of the time.
    with django_db_blocker.unblock(), override_settings(SIMPLE_HISTORY_ENABLED=False), transaction.atomic():
        with pytest.MonkeyPatch.context() as patched:
            patched.setattr(timezone, "localdate", lambda *given: TODAY)
            models, serials, result = make_models(), itertools.count(1), {}
            engineer = builders.make_person("engineer")
            for site in scenario.SITES:
                building = builders.make_building(name=site.name)
                fitted_on = TODAY - relativedelta(months=max(site.commissioned_months_ago, 1), days=10)
                SystemBuilder(building, site, models, fitted_on, engineer, serials, TODAY).build()
                result[site.name] = seen_of(building)
        transaction.set_rollback(True)
    return result


def seen_of(building):
    panels = list(building.panels.select_related("position"))
    return SimpleNamespace(
        design=checked_building(building).all_findings,
        wiring=state_of_building(building),
        wiring_codes={
            panel.tag: {one.code for found in findings_of_wiring(panel) for one in (found, *found.follow_ons)}
            for panel in panels
        },
        zones={panel.tag: panel.smoke_zones.count() for panel in panels},
        walk=list(building.positions.in_walking_order().values_list("storey", flat=True)),
    )


@pytest.fixture(scope="module")
def checked(built):
    """What the design check says of each building."""
    return {name: seen.design for name, seen in built.items()}


def test_every_kind_of_finding_is_shown(checked):
    shown = {finding.code for findings in checked.values() for finding in findings}
    assert not sorted(every_code() - shown - set(NEVER_FROM_RECORDS))


def test_what_cannot_come_from_records_does_not(checked):
    shown = {finding.code for findings in checked.values() for finding in findings}
    assert not shown & set(NEVER_FROM_RECORDS)


@pytest.mark.parametrize(
    ("code", "severity", "words"),
    [
        ("battery.age", Severity.FAIL, "days ago. Replace all blocks"),
        ("battery.age", Severity.QUESTION, "due for replacement on"),
        ("cable.voltage", Severity.FAIL, "the cable cannot deliver this power"),
        ("line.normal", Severity.FAIL, "leaves the normal range"),
        ("line.break", Severity.FAIL, "not open"),
        ("line.removal", Severity.FAIL, "is not seen as a fault"),
        ("time.run_time", Severity.QUESTION, "far longer than"),
    ],
)
def test_what_one_code_says_in_several_ways_is_shown_too(checked, code, severity, words):
    shown = [
        finding.sentence
        for findings in checked.values()
        for finding in findings
        if finding.code == code and finding.severity == severity
    ]
    assert any(words in sentence for sentence in shown), shown


@pytest.mark.parametrize(
    "family",
    ["cable", "protection", "supply", "battery", "line", "time", "area", "air", "class", "force", "consistency"],
)
def test_every_family_shows_what_is_not_met_beside_what_meets(checked, family):
    severities = {
        finding.severity
        for findings in checked.values()
        for finding in findings
        if finding.code.startswith(f"{family}.")
    }
    assert {Severity.FAIL, Severity.MISSING, Severity.MEETS} <= severities


def test_at_least_five_buildings_are_sound(checked):
    sound = []
    for name, findings in checked.items():
        counts = counts_of(findings)
        if not (counts[Severity.FAIL] or counts[Severity.MISSING] or counts[Severity.QUESTION]):
            sound.append(name)
    assert len(sound) >= 5, {name: dict(counts_of(findings)) for name, findings in checked.items()}
    assert not set(sound) & set(FAULTS)


def test_every_fault_names_a_building_of_the_scenario():
    assert set(FAULTS) <= {site.name for site in scenario.SITES}


# Wiring --------------------------------------------------------------------------------------------------------------


def test_at_least_ten_buildings_are_wired_to_the_last_core(built):
    """In one of them a core is loosened on purpose, so one terminal is open."""
    lacking = {
        name: seen.wiring.needed - seen.wiring.wired for name, seen in built.items() if name not in HARDLY_RECORDED
    }
    assert len(lacking) >= 10
    assert {name: number for name, number in lacking.items() if number} == {WITH_FAULTS[0]: 1}
    assert all(built[name].wiring.needed > (50 if name == scenario.SITES[0].name else 100) for name in lacking)


def test_no_finding_of_the_wiring_stands_on_them_but_the_planted_ones(built):
    found = {
        (name, tag): codes
        for name, seen in built.items()
        if name not in HARDLY_RECORDED
        for tag, codes in seen.wiring_codes.items()
        if codes
    }
    assert set(found) == {WITH_FAULTS}
    planted = {"polarity", "element_place", "element_two", "core_open"}
    assert {f"wiring.{code}" for code in planted} <= found[WITH_FAULTS]


def test_panels_of_four_and_of_twelve_zones_are_among_them(built):
    zones = {number for name, seen in built.items() if name not in HARDLY_RECORDED for number in seen.zones.values()}
    assert {4, 12} <= zones


def test_where_little_is_recorded_the_building_says_so(built):
    assert {built[name].wiring.word for name in HARDLY_RECORDED} == {"incomplete"}


# Walk and names ------------------------------------------------------------------------------------------------------

UPWARDS = ["−1", *(str(number) for number in range(20)), "roof"]  # as the scenario writes its storeys


@pytest.mark.parametrize("name", [site.name for site in scenario.SITES])
def test_storeys_are_walked_from_the_lowest_to_the_roof(built, name):
    places = [UPWARDS.index(storey) for storey in built[name].walk]
    assert places == sorted(places)


def test_every_model_of_the_demo_is_named_as_an_example():
    with_variants = re.findall(r'variant\([^"]*"([^"]+)"', Path(design_faults.__file__).read_text())
    names = [name for _, name, *_ in MODELS.values()] + with_variants
    assert len(with_variants) > 8
    assert [name for name in names if not name.startswith("Example ")] == []
