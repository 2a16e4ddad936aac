"""As-installed pages cost the same number of queries for few devices and revisions and for many."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from tests import builders
from zones.as_installed.revisions import take_revision
from zones.models import CoreEnd


@pytest.fixture
def revised_hall(town):
    grow(town, "first")
    return town


def grow(town, word):
    """One more device, core with both ends, setting and revision."""
    detector = builders.make_position(town.hall, "smoke_detector")
    builders.fit(detector)
    core = builders.make_core(builders.make_cable(town.hall), number=1)
    ends = {"near": {"panel": town.panel}, "far": {"position": detector}}
    for end, owner in ends.items():
        terminal = builders.make_terminal(**owner, block=word, number=f"{core.pk}")
        CoreEnd.objects.create(core=core, end=end, terminal=terminal)
    builders.make_setting(town.panel, name=f"{word} setting")
    take_revision(building=town.hall, taken_by=town.people["office"], reason=word)


@pytest.mark.parametrize(("name", "number"), [("as-installed-list", 7), ("as-installed-changes", 28)])
def test_page_costs_the_same_for_one_revision_and_for_many(as_, revised_hall, name, number):
    town, url = revised_hall, reverse(name, args=["ropewalk-hall"])
    client = as_("manager")
    client.get(url)
    with CaptureQueriesContext(connection) as few:
        client.get(url)
    for count in range(8):
        grow(town, f"round {count}")
    with CaptureQueriesContext(connection) as many:
        client.get(url)
    assert (len(few), len(many)) == (number, number)
