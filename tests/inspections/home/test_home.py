"""The start pages: what needs me now, for each of the three people."""

from datetime import date, timedelta

import pytest
from django.utils import timezone

from inspections.home.views import planned_buildings
from inspections.models import Certificate, LogEntry, Severity
from tests import builders
from tests.evidence import rewrite


def page(as_, name, address="/"):
    return as_(name).get(address).content.decode()


def overdue_building(name="Late Lodge", **fields):
    building = builders.make_building(name=name, **fields)
    builders.make_finished_visit(building, finished_at=builders.days_ago(400))
    return building


class TestOffice:
    def test_an_overdue_building_comes_first_with_its_days(self, as_):
        overdue_building()
        html = page(as_, "office")
        assert "Late Lodge" in html and "overdue by 35 days" in html

    def test_an_impaired_building_stands_above_an_overdue_one(self, as_, town):
        overdue_building()
        builders.make_defect(town.hall, town.finished, severity=Severity.IMPAIRED)
        table = page(as_, "office").split('id="due"')[1].split("</table>")[0]
        assert table.index("Ropewalk Hall") < table.index("Late Lodge")

    def test_a_visit_whose_day_is_past_is_not_recorded_as_done(self, as_, town):
        html = page(as_, "office")  # the visit of the town was planned for 2 March 2026
        overdue = html[html.index('id="late"') :]
        assert "2 Mar 2026" in overdue
        assert "not recorded as done" in overdue

    def test_a_building_in_date_is_not_listed(self, as_, town):
        due_table = page(as_, "office").split('id="due"')[1].split("</table>")[0]
        assert "Ropewalk Hall" not in due_table

    def test_a_building_with_a_visit_planned_says_so(self, as_):
        builders.make_visit(overdue_building(), planned_on=timezone.localdate() + timedelta(3))
        row = page(as_, "office").split("Late Lodge")[1].split("</tr>")[0]
        assert "planned" in row

    def test_a_building_whose_planned_day_is_past_does_not_count_as_planned(self, as_):
        builders.make_visit(overdue_building(), planned_on=timezone.localdate() - timedelta(3))
        row = page(as_, "office").split("Late Lodge")[1].split("</tr>")[0]
        assert "planned, not recorded as done" in row

    def test_open_defects_stand_worst_first(self, as_, town):
        builders.make_defect(town.hall, town.finished, severity=Severity.MINOR, description="Lamp broken.")
        builders.make_defect(town.hall, town.finished, severity=Severity.IMPAIRED, description="Vent stuck.")
        html = page(as_, "office")
        assert html.index("Vent stuck.") < html.index("Lamp broken.")

    def test_the_numbers_of_open_defects_lead_to_those_of_each_severity(self, as_, town):
        builders.make_defect(town.hall, town.finished, severity=Severity.IMPAIRED, description="Vent stuck.")
        html = page(as_, "office")
        assert 'href="/defects/?severity=impaired"' in html
        assert 'href="/defects/?severity=minor"' not in html, "none of these is open"

    def test_a_finished_visit_without_certificate_waits_to_be_certified(self, as_):
        builders.make_finished_visit(builders.make_building(name="Uncertified Court"))
        assert "Uncertified Court" in page(as_, "office").split('id="certify"')[1].split("</section>")[0]

    def test_a_disablement_past_its_planned_end_is_shown(self, as_, town):
        LogEntry.objects.create(
            building=town.hall,
            kind="disablement",
            happened_at=builders.days_ago(9),
            seen_by="M",
            what="Zone 1 off.",
            planned_end_at=builders.days_ago(2),
            interim_measure="Patrol.",
            entered_by=town.people["manager"],
        )
        assert "Zone 1 off." in page(as_, "office")

    def test_with_a_building_the_page_says_what_needs_the_office(self, as_, town):
        assert "What needs you now" in page(as_, "office")


class TestEngineer:
    def test_visits_of_mine_are_listed_and_those_of_others_are_not(self, as_, town):
        other = builders.make_building(name="Other House")
        builders.make_visit(other, engineer=builders.make_person("engineer"))
        html = page(as_, "engineer")
        assert "Ropewalk Hall" in html and "Other House" not in html

    def test_a_visit_of_an_earlier_date_is_overdue(self, as_, town):
        town.visit.planned_on = date(2020, 1, 1)
        town.visit.save()
        assert "Ropewalk Hall" in page(as_, "engineer").split("Overdue")[1]

    def test_a_visit_of_a_past_day_stands_above_that_of_today_and_is_not_recorded_as_done(self, as_, town):
        today = builders.make_building(name="Today House")
        builders.make_visit(today, engineer=town.people["engineer"], planned_on=timezone.localdate())
        html = page(as_, "engineer")
        assert html.index("was planned for 2 Mar 2026, not recorded as done") < html.index("Today House")


class TestManager:
    def test_an_impaired_building_is_headed_by_that_and_not_by_its_date(self, as_, town):
        builders.make_defect(town.hall, town.finished, severity=Severity.IMPAIRED)
        head = page(as_, "manager").split('class="answer-figure"')[1].split("</p>")[0]
        assert head.index("smoke control impaired") < head.index("in date")

    def test_the_worst_building_comes_first(self, as_, town):
        quiet = builders.make_building(name="Anchor House", managers=[town.people["manager"]])
        builders.make_finished_visit(quiet)
        builders.make_defect(town.hall, town.finished, severity=Severity.IMPAIRED)
        html = page(as_, "manager")
        assert html.index("Ropewalk Hall") < html.index("Anchor House")

    def test_a_visit_of_a_past_day_is_not_the_next_one(self, as_, town):
        ahead = builders.make_visit(town.hall, planned_on=timezone.localdate() + timedelta(9))
        html = page(as_, "manager")
        assert f"{ahead.planned_on:%-d %b %Y}" in html.split("<dt>Next visit</dt>")[1].split("<dt>")[0]
        assert "was planned for 2 Mar 2026, not recorded as done" in html

    def test_without_a_visit_ahead_none_is_shown_as_next(self, as_, town):
        assert "none planned ahead" in page(as_, "manager")

    def test_a_visit_under_way_is_the_next_one_whatever_its_day(self, as_, town):
        town.visit.state, town.visit.started_at = "under_way", timezone.now()
        town.visit.save()
        assert "under way since" in page(as_, "manager")

    def test_a_certificate_past_its_date_says_so(self, as_, town):
        rewrite(Certificate.objects, next_due_on=timezone.localdate() - timedelta(3))
        html = page(as_, "manager")
        assert "not withdrawn; next inspection was due on" in html and "3 days ago" in html

    def test_own_building_shows_due_date_certificate_and_defect(self, as_, town):
        builders.make_defect(town.hall, town.finished, description="Vent V1 will not close.")
        html = page(as_, "manager")
        assert town.certificate.number in html and "Vent V1 will not close." in html and "inspection due" in html

    def test_another_clients_building_is_not_there(self, as_, town):
        assert "Mill House" not in page(as_, "manager")

    def test_without_a_building_the_page_says_whom_to_ask(self, client, db):
        client.force_login(builders.make_person("manager"), backend="django.contrib.auth.backends.ModelBackend")
        assert "No building is assigned to you yet" in client.get("/").content.decode()


class TestDueList:
    def test_the_worst_comes_first_whatever_its_date(self, as_, town):
        overdue_building()
        builders.make_defect(town.hall, town.finished, severity=Severity.IMPAIRED)
        html = page(as_, "office", "/due/")
        assert html.index("Ropewalk Hall") < html.index("Late Lodge")

    def test_it_can_be_narrowed_to_overdue_buildings(self, as_, town):
        overdue_building()
        html = page(as_, "office", "/due/?state=overdue")
        assert "Late Lodge" in html and "Ropewalk Hall" not in html

    def test_an_unknown_page_shows_the_last_one(self, as_, town):
        assert as_("office").get("/due/?page=999").status_code == 200


@pytest.mark.parametrize(
    "visits, shown",
    [
        ([("planned", 5), ("under_way", -1)], "under way"),
        ([("under_way", -1), ("planned", 5)], "under way"),
        ([("planned", -3), ("planned", 5)], "planned"),
        ([("planned", -3)], ""),
        ([], None),
    ],
)
@pytest.mark.django_db
def test_who_plans_sees_whether_a_visit_is_under_way_planned_or_past_its_day(visits, shown):
    building = builders.make_building()
    for state, days in visits:
        started = timezone.now() if state == "under_way" else None
        day = timezone.localdate() + timedelta(days=days)
        builders.make_visit(building, state=state, planned_on=day, started_at=started)
    assert planned_buildings(builders.make_person()).get(building.pk) == shown
