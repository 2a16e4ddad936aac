"""Wiring declared complete, per run and for a whole panel, by who is logged in."""

from datetime import date

import pytest
from django.urls import reverse

from tests import builders
from zones.engineering.findings import Severity
from zones.units.patterns import use_panel_pattern
from zones.wiring.check import findings_of_wiring
from zones.wiring.complete import declare_complete

pytestmark = pytest.mark.django_db


@pytest.fixture
def line(town):
    line = builders.make_line(town.panel, number=1, end_of_line_ohm=10_000)
    builders.make_position(town.hall, tag="SD11", panel=town.panel, detection_line=line, order_on_line=1)
    return line


def declare(client, town, **fields):
    client.post(reverse("wiring-complete", args=[town.panel.pk]), {"on": "2026-03-04", **fields})
    return " ".join(client.get(reverse("panel-wiring", args=[town.panel.pk])).content.decode().split())


def test_a_run_is_declared_complete_with_name_and_date(as_, town, line):
    page = declare(as_("engineer"), town, declare=f"line-{line.pk}")
    line.refresh_from_db()
    assert (line.wiring_complete_by, line.wiring_complete_on) == (town.people["engineer"], date(2026, 3, 4))
    assert "by Edwin Marsh, 4 Mar 2026" in page
    assert "what is missing counts as not known" in page  # of the panel's own part
    assert line.history.first().history_user == town.people["engineer"]


def test_what_is_missing_is_a_fault_only_once_the_run_is_declared_complete(town, line):
    use_panel_pattern(panel=town.panel, lines=1)
    before = {finding.severity for finding in findings_of_wiring(town.panel)}
    declare_complete(panel=town.panel, by=town.people["engineer"], on=date(2026, 3, 4), part=f"line-{line.pk}")
    after = {finding.severity for finding in findings_of_wiring(town.panel)}
    assert Severity.FAIL not in before
    assert Severity.FAIL in after


def test_the_whole_panel_keeps_what_was_declared_before(as_, town, line):
    declare_complete(panel=town.panel, by=town.people["office"], on=date(2026, 3, 1), part=f"line-{line.pk}")
    declare(as_("engineer"), town, declare="all")
    town.panel.refresh_from_db(), line.refresh_from_db()
    assert (line.wiring_complete_by, line.wiring_complete_on) == (town.people["office"], date(2026, 3, 1))
    assert town.panel.wiring_complete_by == town.people["engineer"]


def test_it_is_taken_back_and_the_history_keeps_it(as_, town, line):
    declare(as_("engineer"), town, declare="all")
    declare(as_("office"), town, take_back="all")
    line.refresh_from_db()
    assert line.wiring_complete_on is None and line.wiring_complete_by is None
    assert [one.wiring_complete_on for one in line.history.all()] == [None, date(2026, 3, 4), None]


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"on": "2226-01-01", "declare": "all"}, "is in the future"),
        ({"on": "soon", "declare": "all"}, "is not a day"),
        ({"declare": "line-0"}, "is no part of the wiring of P1"),
        ({}, "Choose which part"),
    ],
)
def test_what_cannot_be_declared_is_told_and_nothing_is_changed(as_, town, line, fields, sentence):
    assert sentence in declare(as_("engineer"), town, **fields)
    line.refresh_from_db()
    assert line.wiring_complete_on is None
