"""No page costs more queries when there is ten times as much to show: every address as the office, lists as a manager.

The modules beside this one fix the number for each list and detail page; this one catches the page that nobody
thought of.
"""

import copy
from datetime import date

import pytest
from django.contrib.auth import SESSION_KEY
from django.db import connection, transaction
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from inspections.models import LogEntry
from sites_registry.models import Contact, HandedOverDocument, Variation
from tests import builders
from tests.access import table_papers
from tests.access.test_urls import ARGUMENTS, EXPECTED, address_of
from zones.models import Cable, CauseAndEffectRule, Core, PanelSetting, Terminal, Vent, VentGroup

# Papers compose whole files: test_papers.py counts what they cost.
LEFT_OUT = {"log-out", *table_papers.EXPECTED}


def fill(town):
    """Ten times as much of everything, much of it at Ropewalk Hall."""
    for number in range(2, 14):
        fill_building(town, number)
        Contact.objects.create(client=town.quay_housing, name=f"Contact {number}")
        builders.make_person("manager")
        Variation.objects.create(
            building=town.hall, job=town.job, what=f"V{number}", why="w", agreed_by="a", agreed_on=date(2025, 1, 1)
        )
        HandedOverDocument.objects.create(job=town.job, kind="other", title=f"Paper {number}", handed_over_to="M")
        LogEntry.objects.create(
            building=town.hall,
            kind="fault",
            happened_at=timezone.now(),
            seen_by="M",
            what=f"Fault {number}",
            entered_by=town.people["manager"],
        )
        builders.make_job(town.hall)
        elsewhere = builders.make_building(town.quay_housing, managers=[town.people["manager"]])
        visit = builders.make_finished_visit(elsewhere, finished_at=builders.days_ago(400))
        builders.make_certificate(visit, town.people["office"])
        builders.make_defect(town.hall, town.finished)
        builders.make_visit(town.hall, engineer=town.people["engineer"])
        builders.make_photo(town.finished, position=town.detector)


def fill_building(town, number):
    panel = builders.make_panel(town.hall, tag=f"P{number}")
    zone = builders.make_zone(town.hall, panel=town.panel, number=number)
    circuit, line = builders.make_circuit(town.panel), builders.make_line(town.panel, smoke_zone=town.zone)
    group = VentGroup.objects.create(smoke_zone=town.zone, number=number)
    vent = Vent.objects.create(smoke_zone=town.zone, tag=f"V{number}")
    PanelSetting.objects.create(panel=town.panel, name=f"Setting {number}", value="1")
    cable = Cable.objects.create(building=town.hall, tag=f"W{number}")
    Core.objects.create(cable=cable, number=1)
    Terminal.objects.create(panel=town.panel, block="X1", number=str(number))
    for tag, fields in {
        f"M{number}": {"kind": "actuator", "actuator_circuit": circuit, "vent": vent, "vent_group": group},
        f"SD{number + 40}": {"kind": "smoke_detector", "detection_line": line},
    }.items():
        position = builders.make_position(town.hall, tag=tag, smoke_zone=town.zone, panel=town.panel, **fields)
        builders.fit(position)
        builders.make_result(builders.make_test_point(town.finished, position), town.people["engineer"])
        Terminal.objects.create(position=position, block="X1", number="1")
    CauseAndEffectRule.objects.create(panel=town.panel, cause="device", position=position, smoke_zone=zone, effect="O")
    return panel


@pytest.fixture
def costs(town, shared):
    """`costs(person, names)`: queries of each page that opens; with `filled=True` where there is ten times as much."""
    client = Client()  # nobody reads these pages, so they need not be laid out for reading

    def cost(address):
        with CaptureQueriesContext(connection) as queries:
            response = client.get(address)
        return len(queries) if response.status_code == 200 else None

    def costs(person, names, filled=False):
        with transaction.atomic():
            its_town = copy.deepcopy(town)
            if filled:
                shared.built(fill, its_town)
            addresses = {name: address_of(name, its_town) for name in EXPECTED}  # puts on record what they lead to
            client.force_login(town.people[person], backend="django.contrib.auth.backends.ModelBackend")
            found = {name: cost(addresses[name]) for name in names}
            assert SESSION_KEY in client.session, "A page ended the log-in: those after it were not counted."
            transaction.set_rollback(True)
        return {name: count for name, count in found.items() if count is not None}

    return costs


def grown(few, many):
    """Paging and "what is there at all" may add a query or two when the first rows appear; rows may not add any."""
    return {name: (few[name], many[name]) for name in few.keys() & many.keys() if many[name] > few[name] + 3}


@pytest.mark.parametrize("person", ["office", "manager"])
def test_no_page_costs_more_for_ten_times_as_much(costs, person):
    names = [name for name in EXPECTED if name not in LEFT_OUT]
    if (
        person == "manager"
    ):  # of one record a manager sees what the office sees; of lists, what his buildings leave of them
        names = [name for name in names if name not in ARGUMENTS or name.startswith("building-")]
    many, few = costs(person, names, filled=True), costs(person, names)
    assert len(few) > 20 and few.keys() == many.keys()
    # The first call of a page may read something once and keep it, so what seems to have grown is asked once more.
    assert not grown(few, costs(person, grown(few, many), filled=True))
