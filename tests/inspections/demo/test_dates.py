"""Nothing that the demo loads lies ahead of the moment at which it is loaded, whatever that moment is."""

from dataclasses import replace
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from django.apps import apps
from django.core.management import CommandError, call_command
from django.db.models import DateField, DateTimeField
from django.utils import timezone

from inspections.demo import scenario
from inspections.demo.dates import DemoDates
from inspections.management.commands import load_demo
from inspections.models import Result, Visit
from zones.models import BatterySet

LONDON = ZoneInfo("Europe/London")
# What is meant to lie ahead: plans, due dates, and how long something is valid.
AHEAD_BY_NATURE = {
    "planned_on",
    "due_before",
    "calibration_due_on",
    "valid_until",
    "next_due_on",
    "planned_end_at",
    "competence_expires_on",
}
# A small building that lives every story at once, commissioned so lately that its papers are dated about now.
EVERY_STORY = scenario.Site(
    "Gauge Cabin",
    "Borough of Skellmere",
    "office",
    1,
    "4.0",
    (),
    (scenario.Panel("hall", "0", (scenario.Zone("Hall", "0", 1, 2, 1),)),),
    commissioned_months_ago=1,
    inspections_months_ago=(0,),
    story=tuple({word for site in scenario.SITES for word in site.story} - {"take_over", "revoked", "small_job"}),
)
UNDER_WAY = replace(EVERY_STORY, story=("under_way",))


@pytest.fixture
def load_at(db, monkeypatch, time_machine):
    """Loads the small building at a moment of the register's time zone."""

    def run(moment, site=UNDER_WAY, **options):
        monkeypatch.setattr(scenario, "SITES", [site])
        time_machine.move_to(datetime.fromisoformat(moment).replace(tzinfo=LONDON))
        call_command("load_demo", **options)

    return run


def ahead_of(moment):
    """Every stored date or moment after this one, as 'model.field: value'."""
    found = []
    for label in ("sites_registry", "zones", "inspections"):
        for model in apps.get_app_config(label).get_models():
            for field in model._meta.concrete_fields:
                if not isinstance(field, DateField) or field.name in AHEAD_BY_NATURE:
                    continue
                limit = moment if isinstance(field, DateTimeField) else timezone.localtime(moment).date()
                later = model._base_manager.filter(**{f"{field.name}__gt": limit}).values_list(field.name, flat=True)
                found += [f"{model._meta.label}.{field.name}: {value}" for value in later[:3]]
    return found


def test_nothing_that_is_loaded_lies_ahead(load_at):
    """At the start of work; `make test-clock` loads it at midnight, on Sundays, at New Year …"""
    load_at("2026-11-26T08:20", site=EVERY_STORY)
    assert Result.objects.exists()
    assert not ahead_of(timezone.now())


def under_way():
    visit = Visit.objects.get(state=Visit.State.UNDER_WAY)
    last = Result.objects.filter(test_point__visit=visit).latest("seen_at").seen_at
    return timezone.localtime(visit.started_at), timezone.localtime(last)


def test_by_day_a_visit_is_under_way_since_this_morning(load_at):
    load_at("2026-11-26T14:00")
    began, last = under_way()
    assert began == datetime(2026, 11, 26, 8, tzinfo=LONDON)
    assert began < last < began + timedelta(hours=2)


@pytest.mark.parametrize("moment", ["2026-11-27T23:50", "2026-11-28T12:00", "2026-11-30T00:10", "2026-11-30T09:00"])
def test_a_visit_is_under_way_since_the_last_working_day_until_enough_is_done_of_this_one(moment):
    day, _ = DemoDates(datetime.fromisoformat(moment).replace(tzinfo=LONDON)).work_under_way()
    assert day == date(2026, 11, 27)  # a Friday


def test_counted_back_from_a_day_that_is_over_nothing_lies_after_that_day(load_at):
    load_at("2026-11-26T03:00", site=EVERY_STORY, today=date(2026, 11, 20))
    began, last = under_way()
    assert began.date() == last.date() == date(2026, 11, 20)
    assert Visit.objects.filter(state=Visit.State.PLANNED).latest("planned_on").planned_on == began.date() + timedelta(
        9
    )


@pytest.mark.parametrize(
    ("day", "sentence"),
    [
        ("2026-11-27", "2026-11-27 is not between 2010-01-01 and today, 2026-11-26."),
        ("1999-12-31", "1999-12-31 is not between 2010-01-01 and today, 2026-11-26."),
        ("26.11.2026", "'26.11.2026' is not a day. Write it as 2026-11-26."),
        ("2026-02-29", "'2026-02-29' is not a day. Write it as 2026-11-26."),
    ],
)
def test_a_day_to_count_back_from_that_cannot_be_is_told(time_machine, day, sentence):
    time_machine.move_to(datetime(2026, 11, 26, 12, tzinfo=LONDON))
    with pytest.raises(CommandError) as refused:
        call_command("load_demo", "--today", day)
    assert sentence in str(refused.value)


def test_batteries_fitted_at_new_year_carry_the_week_of_the_year_that_it_belongs_to(load_at):
    load_at("2027-02-11T12:00")  # a month and ten days after 1 January 2027, which is in week 53 of 2026 (ISO 8601)
    battery = BatterySet.objects.get()
    assert (battery.fitted_on, battery.date_code) == (date(2027, 1, 1), "26W53")


def rows_and_files(settings):
    rows = [
        model._meta.label
        for label in ("sites_registry", "zones", "inspections")
        for model in apps.get_app_config(label).get_models()
        if model._base_manager.exists()
    ]
    return rows, [str(path) for path in settings.MEDIA_ROOT.rglob("*") if path.is_file()]


@pytest.mark.parametrize("problem", [RuntimeError("the disk went away"), KeyboardInterrupt()])
def test_a_load_that_fails_in_its_last_step_leaves_nothing_half_there(load_at, monkeypatch, settings, problem):
    def fail(*args):
        assert Result.objects.exists()
        raise problem

    monkeypatch.setattr(load_demo.Command, "write_log_book", fail)
    with pytest.raises((RuntimeError, CommandError)):
        load_at("2026-11-26T12:00")
    assert rows_and_files(settings) == ([], [])


def test_an_interruption_ends_in_a_sentence(load_at, monkeypatch):
    def interrupt(*args):
        raise KeyboardInterrupt

    monkeypatch.setattr(load_demo, "give_rules", interrupt)
    with pytest.raises(CommandError, match="Interrupted: nothing of the demo was loaded.") as told:
        load_at("2026-11-26T12:00")
    assert told.value.returncode == 130  # 128 and the number of SIGINT, as shells count
