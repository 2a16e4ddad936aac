"""The log book: the building's own dated entries (handbook process.md §5). They add up and never change."""

import csv
import io
from datetime import datetime, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from inspections.log_book.entries import EntryRefused, end_entry
from inspections.log_book.rota import call_points_by_rota
from inspections.models import LogEntry
from inspections.models.log_book import EntriesNeverChange
from tests.builders import days_ago, make_defect, make_finished_visit, make_log_entry, make_position, make_zone

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
    ("changes", "field"),
    [
        ({"note": ""}, "note"),
        ({"note": "x" * 401}, "note"),
        ({"ended_at": "x"}, "ended_at"),
        ({"ended_at": stamp(days_ago(2))}, "ended_at"),
        ({"ended_at": stamp(timezone.now() + timedelta(days=1))}, "ended_at"),
    ],
)
def test_an_end_is_noted_with_how_and_a_possible_moment(as_, town, changes, field):
    entry = make_log_entry(town.hall, kind="fault")  # a day ago
    assert list(faults_of(note_end(as_, entry, **changes))) == [field]
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


# --- reading ---


def test_false_alarms_of_the_last_twelve_months_are_counted(as_, town):
    def false_alarm(days, **fields):
        return make_log_entry(town.hall, kind="false_alarm", cause="Steam", happened_at=days_ago(days), **fields)

    false_alarm(380)
    wrong = false_alarm(20)
    false_alarm(20, corrects=wrong)
    false_alarm(300)
    make_log_entry(town.mill, kind="false_alarm", cause="Dust")
    assert as_("manager").get(BOOK).context["false_alarm_count"] == 2


def test_the_book_shows_the_newest_first_and_only_this_building(as_, town):
    make_log_entry(town.hall, what="Older", happened_at=days_ago(9))
    make_log_entry(town.hall, what="Newer", happened_at=days_ago(2))
    make_log_entry(town.mill, what="Of the mill")
    page = as_("manager").get(BOOK).content.decode()
    assert page.index("Newer") < page.index("Older") and "Of the mill" not in page


@pytest.mark.parametrize(
    "query", [{"kind": "fault"}, {"text": "lamp"}, {"since": "2026-02-01"}, {"until": "2025-12-31"}]
)
def test_the_book_is_filtered_by_kind_text_and_day(as_, town, query):
    moment = timezone.make_aware
    late, early = moment(datetime(2026, 2, 1, 0, 30)), moment(datetime(2025, 12, 31, 23, 30))
    make_log_entry(town.hall, kind="fault", what="Lamp broken", happened_at=early if "until" in query else late)
    make_log_entry(town.hall, kind="other", what="Gutter swept", happened_at=moment(datetime(2026, 1, 15)))
    page = as_("manager").get(BOOK, query).content.decode()
    assert "Lamp broken" in page and "Gutter swept" not in page


@pytest.mark.parametrize(
    "query",
    [{"since": "9999-12-31"}, {"until": "9999-12-31"}, {"since": "0001-01-01"}, {"until": "x"}, {"kind": "\x00"}],
)
@pytest.mark.parametrize("page", ["log-book", "log-book-csv", "log-book-print"])
def test_nonsense_in_a_filter_is_no_error(as_, town, page, query):
    make_log_entry(town.hall)
    assert as_("manager").get(reverse(page, args=["ropewalk-hall"]), query).status_code == 200


def test_a_long_book_is_paged(as_, town):
    for _ in range(55):
        make_log_entry(town.hall, entered_by=town.people["manager"])
    assert "Page 1 of 2" in as_("manager").get(BOOK).content.decode()


def rows_of(response):
    return list(csv.DictReader(io.StringIO(response.content.decode("utf-8-sig"))))


def test_the_csv_holds_every_entry_oldest_first(as_, town):
    first = make_log_entry(town.hall, what="Roof swpt.", happened_at=days_ago(9))
    second = make_log_entry(town.hall, what="Roof swept.", happened_at=days_ago(9), corrects=first)
    response = as_("manager").get(reverse("log-book-csv", args=["ropewalk-hall"]))
    assert f"Ropewalk-Hall_log-book_{timezone.localdate()}.csv" in response["Content-Disposition"]
    rows = rows_of(response)
    assert [row["What happened"] for row in rows] == ["Roof swpt.", "Roof swept."]
    assert (rows[0]["Corrected by entry"], rows[1]["Corrects entry"]) == (str(second.pk), str(first.pk))


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t="])
def test_a_cell_that_a_spreadsheet_would_run_is_neutralised(as_, town, start):
    text = f"{start}HYPERLINK(1)"
    make_log_entry(town.hall, what=text, cause=text, action=text, told_to=text, seen_by=text)
    (row,) = rows_of(as_("manager").get(reverse("log-book-csv", args=["ropewalk-hall"])))
    for column in ("What happened", "Cause", "What was done", "Who was told", "Who"):
        assert row[column] == f"'{text}"


def test_the_print_page_holds_all_entries_with_what_was_corrected(as_, town):
    first = make_log_entry(town.hall, what="Roof swpt.")
    make_log_entry(town.hall, what="Roof swept.", corrects=first)
    page = as_("manager").get(reverse("log-book-print", args=["ropewalk-hall"])).content.decode()
    assert "Roof swpt." in page and "Roof swept." in page and "Corrected on" in page


@pytest.fixture
def put_right(town):
    """A fault that the visit which found it put right, and one that it left open."""
    visit = make_finished_visit(town.hall, finished_at=days_ago(5))
    result = visit.test_points.first().latest_result
    make_defect(town.hall, visit, description="Lamp dark.")
    return make_defect(
        town.hall,
        visit,
        position=result.test_point.position,
        description="Lead loose.",
        closing_note="Fastened.",
        found_at=days_ago(5),
        closed_at=days_ago(5),
        closed_by_result=result,
    )


def test_the_csv_holds_what_was_found_and_put_right_on_one_visit_at_its_date(as_, town, put_right):
    make_log_entry(town.hall, what="Roof swept.", happened_at=days_ago(9))
    make_log_entry(town.hall, what="Gutter swept.", happened_at=days_ago(1))
    rows = rows_of(as_("manager").get(reverse("log-book-csv", args=["ropewalk-hall"])))
    assert [row["What happened"] for row in rows] == ["Roof swept.", "Lead loose.", "Gutter swept."]
    row = rows[1]
    assert (row["Kind"], row["What was done"]) == ("found and put right on the same visit", "Fastened.")
    assert (row["Device"], row["Ended by"]) == (str(put_right.position), str(put_right.closed_by.recorded_by))


def test_the_print_page_holds_what_was_found_and_put_right_on_one_visit(as_, town, put_right):
    page = as_("manager").get(reverse("log-book-print", args=["ropewalk-hall"])).content.decode()
    assert "Found and put right on the same visit" in page and "Lead loose." in page and "Fastened." in page
    assert "Lamp dark." not in page


@pytest.mark.parametrize(
    ("query", "is_in"),
    [
        ({"text": "fasten"}, True),
        ({"text": "roof"}, False),
        ({"kind": "fault"}, False),
        ({"since": "2000-01-01"}, True),
        ({"until": "2000-01-01"}, False),
        ({"kind": "nonsense"}, True),
    ],
)
def test_a_choice_of_the_book_holds_for_what_was_put_right_too(as_, town, put_right, query, is_in):
    for page in ("log-book-csv", "log-book-print"):
        answer = as_("manager").get(reverse(page, args=["ropewalk-hall"]), query)
        assert ("Lead loose." in answer.content.decode()) is is_in


def test_an_entry_under_the_address_of_another_building_is_not_found(as_, town):
    entry = make_log_entry(town.mill)
    for name in ("log-entry-detail", "log-entry-end", "log-entry-correct"):
        assert as_("office").get(reverse(name, args=["ropewalk-hall", entry.pk])).status_code == 404
