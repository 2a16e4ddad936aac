"""The life line: days to scale on any width, no word over another or off the sheet."""

from datetime import date, timedelta
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from zones.plots.labels import text_width
from zones.plots.life_line import HEIGHT, WORD_SIZE, Happening, life_line

TODAY = date(2026, 11, 29)
WORDS = {
    "commissioned": "commissioned",
    "inspected": "inspected",
    "remedial": "",
    "defect": "3 defects open",
    "defect closed": "1 defect, closed 21 days later",
    "planned": "visit planned",
}


def drawn(*happenings, today=TODAY, least_width=576):
    return life_line([Happening(*one) for one in happenings], today=today, least_width=least_width)


def share(place):
    return float(place.removesuffix("%")) / 100


def boxes_of(life, width):
    """left, right, row and text of each word on a sheet of some width."""
    for word in life.words:
        long, at = text_width(word.text, WORD_SIZE), share(word.at) * width
        left = at - {"start": 0, "middle": long / 2, "end": long}[word.anchor]
        yield left, left + long, word.y, word.text


def words_of(life, kind):
    return [word.text for word in life.words if word.kind == kind]


def test_a_day_stands_where_its_share_of_the_years_is():
    life = drawn((date(2024, 1, 1), "commissioned"), (date(2025, 1, 1), "inspected"), (date(2026, 1, 1), "inspected"))
    first, second, third = (share(mark.at) for mark in life.marks)
    # 2024 has 366 days, 2025 has 365 [calendar].
    assert first == 0
    assert second / third == pytest.approx(366 / 731, abs=1e-3)


def test_the_line_begins_with_the_first_year_and_each_year_has_its_tick():
    life = drawn((date(2024, 5, 3), "commissioned"), (date(2027, 5, 3), "due"))
    assert life.ticks[0] == "0.00%"
    assert len(life.ticks) == 4
    assert words_of(life, "year") == ["2024", "2025", "2026", "2027"]


def test_what_is_ahead_is_dashed_from_today_to_the_last_day_ahead():
    life = drawn((date(2024, 5, 3), "commissioned"), (date(2027, 5, 3), "due", "due 3 May 2027"))
    past, ahead = life.spans
    (today,) = (word for word in life.words if word.kind == "today")
    assert (past.kind, past.start, past.end) == ("past", "0.00%", today.at)
    assert (ahead.kind, ahead.start, ahead.end) == ("ahead", today.at, life.marks[-1].at)


def test_what_is_overdue_is_a_stretch_up_to_today_and_nothing_is_ahead():
    life = drawn((date(2024, 5, 3), "commissioned"), (date(2026, 5, 3), "overdue", "was due 3 May 2026"))
    assert [span.kind for span in life.spans] == ["past", "late"]
    assert life.spans[1].start == life.marks[-1].at
    assert life.spans[1].end == life.spans[0].end


def test_where_there_is_not_room_for_all_the_due_date_keeps_its_word():
    crowd = [(TODAY + timedelta(days=n), "inspected", "inspected") for n in range(-5, 5)]
    life = drawn((date(2010, 1, 1), "commissioned", "commissioned"), *crowd, (TODAY, "due", "due 29 Nov 2026"))
    assert words_of(life, "due") == ["due 29 Nov 2026"]
    assert words_of(life, "commissioned") == ["commissioned"]
    assert len(words_of(life, "inspected")) < len(crowd)
    assert len(life.marks) == len(crowd) + 2


days = st.dates(date(1990, 1, 1), date(2040, 12, 31))
happenings = st.lists(
    st.builds(lambda day, kind: Happening(day, kind, WORDS[kind]), days, st.sampled_from(sorted(WORDS))), min_size=1
)


@given(happenings, days, st.sampled_from([288, 576]), st.integers(0, 3000))
def test_no_word_lies_over_another_or_off_the_sheet_on_any_width(happenings, today, least_width, wider):
    due = Happening(today + timedelta(days=200), "due", f"due {today:%-d %b %Y}")
    life = life_line([*happenings, due], today=today, least_width=least_width)
    width = least_width + wider
    boxes = list(boxes_of(life, width))
    assert all(left >= -0.5 and right <= width + 0.5 and y < HEIGHT for left, right, y, _ in boxes)
    for one, other in combinations(boxes, 2):
        if one[2] == other[2]:
            assert one[1] < other[0] + 0.5 or other[1] < one[0] + 0.5, (one, other)


@given(happenings, days)
def test_everything_that_happened_is_marked_and_in_order(happenings, today):
    life = life_line(happenings, today=today, least_width=288)
    places = [share(mark.at) for mark in life.marks]
    assert len(places) == len(happenings)
    assert places == sorted(places)
    assert all(0 <= place <= 1 for place in places)
    assert words_of(life, "year")
