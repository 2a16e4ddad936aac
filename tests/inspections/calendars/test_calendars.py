"""Visits and due dates in a person's calendar program.

The form is RFC 5545 (public): lines end with CRLF and have at most 75 octets (3.1), DTEND of a whole day is the day
after (3.6.1), UID stays and SEQUENCE grows (3.8.4.7, 3.8.7.4), a called-off event has STATUS:CANCELLED (3.8.1.11).
"""

import re
from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from icalendar import Calendar

from inspections.calendars.links import make_calendar_link, take_calendar_link_away
from inspections.due import next_due_on
from inspections.visits.edits import call_off_visit
from sites_registry.logs import redacted
from tests import builders

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def planned(town):
    town.visit.planned_on = timezone.localdate() + timedelta(days=7)
    town.visit.save()


def events(client):
    """The events of a person's calendar, by the first part of their UID."""
    answer = client.get(reverse("calendar-file"))
    assert answer["Content-Type"] == "text/calendar; charset=utf-8"
    read = Calendar.from_ical(answer.content)
    return {str(event["uid"]).partition("@")[0]: event for event in read.walk("VEVENT")}


def test_a_visit_is_a_whole_day_with_kind_building_and_address(as_, town):
    event = events(as_("office"))[f"visit-{town.visit.pk}"]
    assert event["summary"] == f"{town.visit.get_kind_display().capitalize()}: Ropewalk Hall"
    assert event["dtstart"].dt == town.visit.planned_on
    assert event["dtend"].dt == town.visit.planned_on + timedelta(days=1)
    assert str(event["url"]).endswith(town.visit.get_absolute_url())


def test_the_day_on_which_an_inspection_falls_due_is_an_entry(as_, town):
    event = events(as_("office"))[f"inspection-due-{town.hall.pk}"]
    last = timezone.localtime(town.finished.finished_at).date()
    assert event["dtstart"].dt == next_due_on(last, town.hall.inspection_interval_months)
    assert event["summary"] == "Inspection due: Ropewalk Hall"


def test_a_manager_reads_their_buildings_and_an_engineer_their_own_visits(as_, town):
    elsewhere = builders.make_visit(
        town.mill, engineer=builders.make_person("engineer"), planned_on=timezone.localdate()
    )
    assert f"visit-{elsewhere.pk}" in events(as_("office"))
    assert set(events(as_("manager"))) >= {f"visit-{town.visit.pk}", f"inspection-due-{town.hall.pk}"}
    assert f"visit-{elsewhere.pk}" not in events(as_("manager"))
    assert set(events(as_("engineer"))) == {f"visit-{town.visit.pk}", f"visit-{town.finished.pk}"}


def test_a_visit_that_is_moved_keeps_its_uid_and_one_called_off_is_cancelled(as_, town):
    before = events(as_("office"))[f"visit-{town.visit.pk}"]
    call_off_visit(visit=town.visit, reason="The building is closed.", called_off_by=town.people["office"])
    after = events(as_("office"))[f"visit-{town.visit.pk}"]
    assert (str(before["status"]), str(after["status"])) == ("CONFIRMED", "CANCELLED")
    assert before["uid"] == after["uid"] and after["sequence"] > before["sequence"]


def test_lines_end_as_the_standard_says_and_are_no_longer_than_75_octets(as_, town):
    town.hall.name = "Höchst, Łódź; " * 8
    town.hall.save()
    lines = as_("office").get(reverse("calendar-file")).content.split(b"\r\n")
    assert len(lines) > 20 and b"\n" not in b"".join(lines)
    assert max(map(len, lines)) <= 75
    assert events(as_("office"))[f"visit-{town.visit.pk}"]["summary"].endswith(town.hall.name)


def test_no_defect_stands_in_a_calendar(as_, town):
    builders.make_defect(town.hall, town.visit, description="Latch does not hold")
    assert b"Latch" not in as_("office").get(reverse("calendar-file")).content


class TestAddress:
    def test_a_calendar_program_reads_it_without_a_log_in(self, as_, town):
        page = as_("manager").post(reverse("calendar-link-make"), follow=True).content.decode()
        (address,) = re.findall(r"https?://[^/]+(/calendar/[\w-]+/register\.ics)", page)
        assert address not in as_("manager").get(reverse("calendar")).content.decode()
        read, own = Client().get(address), as_("manager").get(reverse("calendar-file"))
        without_stamps = [re.sub(rb"DTSTAMP:\w+", b"", one.content) for one in (read, own)]
        assert without_stamps[0] == without_stamps[1]
        assert redacted(f"GET {address}") == "GET /calendar/…/register.ics"

    def test_a_new_address_takes_the_place_of_the_old(self, town):
        first, second = (make_calendar_link(person=town.people["manager"]) for _ in range(2))
        answers = [Client().get(reverse("calendar-read", args=[one])).status_code for one in (first, second)]
        assert answers == [404, 200]

    def test_taken_away_or_with_a_closed_log_in_it_opens_nothing(self, town):
        manager, engineer = town.people["manager"], town.people["engineer"]
        addresses = [reverse("calendar-read", args=[make_calendar_link(person=one)]) for one in (manager, engineer)]
        take_calendar_link_away(person=manager)
        engineer.is_active = False
        engineer.save()
        assert [Client().get(one).status_code for one in addresses] == [404, 404]
