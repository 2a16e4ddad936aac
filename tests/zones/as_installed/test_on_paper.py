"""As-installed revisions on drawings and schedules: which the record equals, who drew it, and what each changed."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from tests import builders
from tests.paper_text import text_of
from zones.as_installed.changes import ChangeKind, RecordChange
from zones.as_installed.on_paper import SHOWN, revisions_of, words_of
from zones.as_installed.revisions import take_revision


def taken(town, times=1):
    for _ in range(times):
        revision = take_revision(building=town.hall, taken_by=town.people["engineer"], reason="Checked on site.")
    return revision


def shown(town):
    return revisions_of(town.hall, timezone.now())


def test_without_a_revision_it_says_so_and_that_costs_one_question(town):
    with CaptureQueriesContext(connection) as queries:
        found = shown(town)
    assert (found.as_installed, found.rows) == ("no revision taken", ()) and len(queries) == 1


def test_it_names_who_took_the_revision_until_something_changes(town):
    revision = taken(town)
    day = f"{timezone.localtime(revision.taken_at):%-d %b %Y}"
    found = shown(town)
    assert (found.as_installed, found.drawn) == ("revision 1", f"{town.people['engineer'].full_name}, {day}")
    assert (found.checked, found.approved) == ("not checked", "not approved")
    builders.make_position(town.hall, tag="SD9")
    found = shown(town)
    assert found.as_installed == "changed since revision 1"
    assert [(row.number, row.by, row.words) for row in found.rows] == [
        ("now", "–", "1 change: SD9 added"),
        ("1", town.people["engineer"].full_name, "first record"),
    ]
    taken(town)
    assert shown(town).as_installed == "revision 2"
    assert [row.words for row in shown(town).rows] == ["1 change: SD9 added", "first record"]


def test_the_index_is_cut_to_what_fits_and_counts_the_older_ones(town):
    taken(town, SHOWN + 2)
    found = shown(town)
    assert [row.number for row in found.rows] == ["7", "6", "5", "4", "3"] and found.older == 2
    assert {row.words for row in found.rows} == {"nothing changed"}
    builders.make_position(town.hall, tag="SD9")
    found = shown(town)
    assert [row.number for row in found.rows] == ["now", "7", "6", "5", "4"] and found.older == 3


@pytest.mark.parametrize(
    ("letters", "words"),
    [
        (62, "3 changes: M1 added, M2 added, M3 added"),
        (36, "3 changes: M1 added, and 2 more"),
        (12, "3 changes"),
    ],
)
def test_changes_are_told_by_their_number_and_the_first_that_fit(letters, words):
    changes = [RecordChange(ChangeKind.ADDED, "positions", str(n), f"M{n}") for n in (1, 2, 3)]
    assert words_of(changes, letters) == words


@pytest.mark.parametrize("name", ["device-schedule-pdf", "zone-overview-pdf"])
def test_both_engines_print_the_revision_and_the_index(as_, town, name):
    taken(town)
    builders.make_position(town.hall, tag="SD9")
    of = town.panel.pk if name.startswith("zone") else town.hall.slug
    words = text_of(as_("office").get(reverse(name, args=[of])).content)
    assert "changed since revision 1" in " ".join(words.split())
    assert "1 change: SD9 added" in words and "first record" in words
