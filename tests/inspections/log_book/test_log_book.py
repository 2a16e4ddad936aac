"""The log book: the building's own dated entries (handbook process.md §5). They add up and never change."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from inspections.log_book.entries import EntryRefused, end_entry
from inspections.log_book.rota import call_points_by_rota
from inspections.models import LogEntry
from inspections.models.log_book import EntriesNeverChange
from tests.builders import days_ago, make_log_entry, make_position, make_zone

BOOK = "/buildings/ropewalk-hall/log-book/"
NEW = f"{BOOK}new/"


def stamp(moment):
    return timezone.localtime(moment).strftime("%Y-%m-%dT%H:%M")


def typed(**changes):
    return {
        "kind": "other",
        "happened_at": stamp(days_ago(1)),
        "seen_by": "Mara Hollin",
        "what": "Roof swept.",
        **changes,
    }


def write(as_, person="manager", **changes):
    return as_(person).post(NEW, typed(**changes))


def disablement(**changes):
    return {
        "kind": "disablement",
        "what": "Zone 1 switched off for painting.",
        "planned_end_at": stamp(timezone.now() + timedelta(days=1)),
        "interim_measure": "Hourly patrol.",
        **changes,
    }


def faults_of(response):
    assert response.status_code == 422
    return response.context["form"].errors


# --- writing ---


@pytest.mark.parametrize("person", ["manager", "engineer", "office"])
def test_who_sees_the_building_writes_in_its_log_book(as_, town, person):
    assert write(as_, person).url == BOOK
    entry = LogEntry.objects.get()
    assert (entry.building, entry.entered_by, entry.what) == (town.hall, town.people[person], "Roof swept.")


def test_the_manager_of_another_building_does_not(as_, town):
    assert write(as_, "stranger").status_code == 404
    assert not LogEntry.objects.exists()


def test_a_second_click_writes_once(as_, town):
    key = "5f0c2b1e-0000-4000-8000-000000000004"
    assert write(as_, submission_key=key).url == write(as_, submission_key=key).url
    assert LogEntry.objects.count() == 1


def test_a_weekly_check_needs_a_result_and_the_call_point(as_, town):
    assert set(faults_of(write(as_, kind="weekly_check"))) == {"check_result", "position"}
    response = write(as_, kind="weekly_check", check_result="in_order", position=town.call_point.pk, what="")
    assert response.status_code == 302
    entry = LogEntry.objects.get()
    assert (entry.position, entry.what) == (town.call_point, "Weekly check: in order.")


def test_a_zone_will_do_in_place_of_the_call_point(as_, town):
    response = write(as_, kind="weekly_check", check_result="in_order", smoke_zone=town.zone.pk)
    assert response.status_code == 302


def test_a_building_without_call_points_is_checked_without_one(as_, town):
    town.call_point.retired_on = timezone.localdate()
    town.call_point.save()
    assert write(as_, kind="weekly_check", check_result="in_order").status_code == 302


def test_a_check_not_in_order_leads_to_the_fault(as_, town):
    form = typed(kind="weekly_check", check_result="not_in_order", position=town.call_point.pk)
    page = as_("manager").post(NEW, form, follow=True).content.decode()
    assert f"{NEW}?kind=fault" in page


def test_a_disablement_needs_its_planned_end_and_what_protects_meanwhile(as_, town):
    faults = faults_of(write(as_, **disablement(planned_end_at="", interim_measure="")))
    assert set(faults) == {"planned_end_at", "interim_measure"}
    assert write(as_, **disablement()).status_code == 302


def test_a_disablement_cannot_be_planned_to_end_before_it_starts(as_, town):
    faults = faults_of(write(as_, **disablement(planned_end_at=stamp(days_ago(2)))))
    assert faults == {"planned_end_at": ["The planned end is before the start."]}


def test_a_false_alarm_needs_its_cause(as_, town):
    assert list(faults_of(write(as_, kind="false_alarm"))) == ["cause"]
    assert write(as_, kind="false_alarm", cause="Steam from the kitchen").status_code == 302


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("kind", ""),
        ("kind", "party"),
        ("happened_at", ""),
        ("happened_at", "yesterday"),
        ("happened_at", "9999-12-31T23:59"),
        ("seen_by", ""),
        ("what", ""),
        ("what", "x" * 601),
        ("what", "\x00"),
        ("position", "999999"),
        ("position", "9" * 40),
        ("smoke_zone", "NaN"),
        ("check_result", "in_order"),  # of a check only
        ("interim_measure", "Patrol"),  # of a disablement only
        ("planned_end_at", "2026-01-01T10:00"),
    ],
)
def test_nonsense_is_told_at_its_field_and_what_was_typed_is_kept(as_, town, field, value):
    response = write(as_, **{"told_to": "The caretaker", field: value})
    assert list(faults_of(response)) == [field]
    assert "The caretaker" in response.content.decode()
    assert not LogEntry.objects.exists()


def test_what_is_still_to_come_is_not_written(as_, town):
    faults = faults_of(write(as_, happened_at=stamp(timezone.now() + timedelta(hours=2))))
    assert "is still to come. The log book holds what has happened." in faults["happened_at"][0]


@pytest.mark.parametrize("field", ["position", "smoke_zone"])
def test_a_device_or_zone_of_another_building_is_not_a_choice(as_, town, field):
    other = {"position": make_position, "smoke_zone": make_zone}[field](town.mill)
    assert list(faults_of(write(as_, **{field: other.pk}))) == [field]


def test_device_and_zone_must_agree(as_, town):
    other = make_zone(town.hall, number=2)
    faults = faults_of(write(as_, position=town.call_point.pk, smoke_zone=other.pk))
    assert faults == {"smoke_zone": ["CP1 belongs to another zone. Choose that one, or leave the zone empty."]}


# --- the rota of the weekly check: a different call point each week ---


def check(town, position, days, **fields):
    return make_log_entry(
        town.hall, kind="weekly_check", check_result="in_order", position=position, happened_at=days_ago(days), **fields
    )


def test_the_call_point_longest_not_used_is_next(town):
    second = make_position(town.hall, "manual_call_point", tag="CP2")
    third = make_position(town.hall, "manual_call_point", tag="CP3")
    assert list(call_points_by_rota(town.hall)) == [town.call_point, second, third]  # none used: walking order
    check(town, town.call_point, 7)
    check(town, second, 14)
    assert list(call_points_by_rota(town.hall)) == [third, second, town.call_point]
    check(town, third, 1)
    assert call_points_by_rota(town.hall).first() == second


def test_only_a_weekly_check_that_stands_counts_in_the_rota(town):
    second = make_position(town.hall, "manual_call_point", tag="CP2")
    check(town, second, 7)
    make_log_entry(town.hall, kind="alarm", position=town.call_point)
    assert call_points_by_rota(town.hall).first() == town.call_point
    wrong = check(town, town.call_point, 3)
    check(town, second, 3, corrects=wrong)
    assert call_points_by_rota(town.hall).first() == town.call_point


def test_the_form_of_the_weekly_check_proposes_the_next_call_point(as_, town):
    page = as_("manager").get(NEW, {"kind": "weekly_check"}).content.decode()
    assert f'<option value="{town.call_point.pk}" selected>' in page
    page = as_("manager").get(NEW, {"kind": "fault"}).content.decode()
    assert f'<option value="{town.call_point.pk}" selected>' not in page


# --- what lasts, and its end ---


def note_end(as_, entry, **changes):
    form = {"ended_at": stamp(timezone.now()), "note": "Restored by the painter's foreman.", **changes}
    return as_("manager").post(reverse("log-entry-end", args=["ropewalk-hall", entry.pk]), form)


@pytest.mark.parametrize("kind", ["disablement", "fault"])
def test_a_disablement_and_a_fault_stay_open_until_somebody_notes_the_end(as_, town, kind):
    entry = make_log_entry(town.hall, kind=kind, what="Zone 1 off")
    assert "Note the end" in as_("manager").get(BOOK).content.decode()
    assert note_end(as_, entry).url == BOOK
    entry.refresh_from_db()
    assert (entry.ended_by, entry.ending_note) == (town.people["manager"], "Restored by the painter's foreman.")
    assert not LogEntry.objects.open_disablements().exists() and not LogEntry.objects.open_faults().exists()


def test_an_end_is_noted_once(as_, town):
    entry = make_log_entry(town.hall, kind="fault")
    note_end(as_, entry)
    response = note_end(as_, entry, note="Another story.")
    assert "already, noted by Mara Hollin." in faults_of(response)["__all__"][0]
    entry.refresh_from_db()
    assert entry.ending_note == "Restored by the painter's foreman."


@pytest.mark.parametrize(
    ("changes", "field", "words"),
    [
        ({"note": ""}, "note", "required"),
        ({"note": "x" * 401}, "note", "at most 400"),
        ({"ended_at": "x"}, "ended_at", "is not a day and an hour"),
        ({"ended_at": stamp(days_ago(2))}, "ended_at", "is before it began"),
        ({"ended_at": stamp(timezone.now() + timedelta(days=1))}, "ended_at", "is still to come"),
    ],
)
def test_an_end_is_noted_with_how_and_a_possible_moment(as_, town, changes, field, words):
    entry = make_log_entry(town.hall, kind="fault")  # a day ago
    faults = faults_of(note_end(as_, entry, **changes))
    assert list(faults) == [field]
    assert words in str(faults)
    entry.refresh_from_db()
    assert entry.ended_at is None


def test_what_does_not_last_does_not_end(town):
    entry = make_log_entry(town.hall, kind="false_alarm", cause="Steam")
    with pytest.raises(EntryRefused, match="A false alarm does not last"):
        end_entry(entry=entry, ended_at=timezone.now(), ended_by=town.people["office"], note="Over.")


def test_a_disablement_past_its_planned_end_is_an_alarm(as_, town):
    make_log_entry(town.hall, kind="disablement", happened_at=days_ago(3), planned_end_at=days_ago(1))
    page = as_("manager").get(BOOK).content.decode()
    assert 'class="state alarm"' in page and "past planned end" in page


def test_a_disablement_within_its_planned_end_is_not(as_, town):
    make_log_entry(town.hall, kind="disablement")
    assert "past planned end" not in as_("manager").get(BOOK).content.decode()


# --- correcting ---


def correct(as_, entry, **changes):
    return as_("manager").post(reverse("log-entry-correct", args=["ropewalk-hall", entry.pk]), typed(**changes))


def test_a_correction_is_a_further_entry_and_the_first_stays_in_sight(as_, town):
    first = make_log_entry(town.hall, what="Roof swpt.")
    assert correct(as_, first, what="Roof swept.").status_code == 302
    first.refresh_from_db()
    assert first.what == "Roof swpt." and first.corrected_by.what == "Roof swept."
    page = as_("manager").get(BOOK).content.decode()
    assert "Roof swpt." in page and "struck" in page
    page = as_("manager").get(first.get_absolute_url()).content.decode()
    assert first.corrected_by.get_absolute_url() in page


def test_an_entry_is_corrected_once_then_its_correction_is(as_, town):
    first = make_log_entry(town.hall)
    correct(as_, first, what="Roof swept at noon.")
    faults = faults_of(correct(as_, first, what="Roof swept at night."))
    assert "Mara Hollin corrected this entry on" in faults["__all__"][0]
    assert correct(as_, first.corrected_by, what="Roof swept at night.").status_code == 302
    assert [entry.what for entry in LogEntry.objects.current()] == ["Roof swept at night."]


def test_a_correction_is_held_to_the_same_rules(as_, town):
    first = make_log_entry(town.hall)
    assert list(faults_of(correct(as_, first, kind="false_alarm"))) == ["cause"]
    assert LogEntry.objects.count() == 1


def test_a_corrected_disablement_stays_ended(as_, town):
    first = make_log_entry(town.hall, kind="disablement")
    note_end(as_, first)
    correct(as_, first, **disablement(what="Zone 1 off for plastering."))
    assert first.corrected_by.ended_at is not None
    assert not LogEntry.objects.open_disablements().exists()


def test_what_was_ended_cannot_be_corrected_to_begin_after_its_end(as_, town):
    first = make_log_entry(town.hall, kind="fault", happened_at=days_ago(3))
    note_end(as_, first, ended_at=stamp(days_ago(2)))
    faults = faults_of(correct(as_, first, kind="fault", happened_at=stamp(days_ago(1))))
    assert "That is after it ended" in faults["happened_at"][0]


def test_a_corrected_disablement_no_longer_counts_as_open(as_, town):
    first = make_log_entry(town.hall, kind="disablement")
    correct(as_, first, what="Nothing was switched off; the panel was only looked at.")
    assert not LogEntry.objects.open_disablements().exists()
    assert "corrected" in str(faults_of(note_end(as_, first)))


# --- nothing changes or vanishes ---


def test_an_entry_is_neither_changed_nor_taken_out(town):
    entry = make_log_entry(town.hall)
    entry.what = "Something else."
    for attempt in (
        entry.save,
        lambda: entry.save(update_fields=["what", "ended_at"]),
        entry.delete,
        LogEntry.objects.all().delete,
        lambda: LogEntry.objects.update(what="Something else."),
    ):
        with pytest.raises(EntriesNeverChange):
            attempt()
    assert LogEntry.objects.get().what == "Roof swept."
