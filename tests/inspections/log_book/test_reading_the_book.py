"""Reading the log book: on screen by kind, text and day; on paper; as a spreadsheet; with what a visit put right."""

import csv
import io
from datetime import datetime

import pytest
from django.urls import reverse
from django.utils import timezone

from tests.builders import days_ago, make_defect, make_finished_visit, make_log_entry

BOOK = "/buildings/ropewalk-hall/log-book/"


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
