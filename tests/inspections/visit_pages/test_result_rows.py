"""Test points as rows: a position's passes without figure or word share a row, whatever says more stands alone."""

import re

import pytest

from inspections.visit_pages.results import rows_of
from tests import builders


@pytest.fixture
def answered(town):
    """(answer, rows): gives test points of a position results; reads all rows of the visit."""

    def answer(position, *results):
        for number, fields in enumerate(results):
            point = builders.make_test_point(town.visit, position, code=f"test-{number}", title=f"test {number}")
            if fields is not None:
                builders.make_result(point, **{"recorded_by": town.people["engineer"], **fields})

    def rows():
        points = town.visit.test_points.select_related("position", "latest_result").with_reading_before()
        return [(row.position.tag, row.title) for row in rows_of(points.in_walking_order())]

    return answer, rows


def test_passes_of_a_position_share_a_row(town, answered):
    answer, rows = answered
    answer(town.detector, {}, {}, {})
    assert rows() == [(town.detector.tag, "test 0, test 1, test 2")]


def test_passes_of_two_positions_do_not(town, answered):
    answer, rows = answered
    other = builders.make_position(town.hall)
    answer(town.detector, {})
    answer(other, {})
    assert sorted(rows()) == sorted([(town.detector.tag, "test 0"), (other.tag, "test 0")])


@pytest.mark.parametrize(
    "more",
    [
        {"outcome": "fail", "remark": "Dead."},
        {"outcome": "remark", "remark": "Dusty."},
        {"outcome": "not_accessible", "reason": "Locked."},
        {"reading": "1.0"},
        {"remark": "Cleaned."},
        None,
    ],
    ids=["fail", "pass with remark", "not accessible", "reading", "pass with a word", "no outcome"],
)
def test_what_says_more_than_pass_stands_alone(town, answered, more):
    answer, rows = answered
    answer(town.detector, {}, more, {})
    assert [title for _, title in rows()] == ["test 0", "test 1", "test 2"]


def test_passes_by_two_persons_stand_apart(town, answered):
    answer, rows = answered
    other = builders.make_person(role="engineer")
    answer(town.detector, {}, {"recorded_by": other})
    assert [title for _, title in rows()] == ["test 0", "test 1"]


def test_who_recorded_what_on_which_day_stands_once_above_the_rows(as_, town, answered):
    answer, _ = answered
    answer(town.detector, *({"reading": f"{number}.0"} for number in range(1, 5)))
    page = as_("office").get(town.visit.get_absolute_url()).content.decode()
    results = page.split('id="results"')[1].split("</table>")[0]
    [head] = re.findall(r'<tr class="part">(.*?)</tr>', results, re.DOTALL)
    assert town.people["engineer"].full_name in head
    assert results.count(town.people["engineer"].full_name) == 1


def test_a_visit_with_two_results_says_it_in_each_row(as_, town, answered):
    answer, _ = answered
    answer(town.detector, {"reading": "1.0"}, {"reading": "2.0"})
    page = as_("office").get(town.visit.get_absolute_url()).content.decode()
    results = page.split('id="results"')[1].split("</table>")[0]
    assert 'class="part"' not in results
    assert results.count(town.people["engineer"].full_name) == 2


def test_a_reading_outside_its_limits_bears_the_mark_that_the_phone_shows(as_, town):
    point = builders.make_test_point(town.visit, town.detector, upper_limit="5.0", unit="s", quantity="time")
    builders.make_result(point, recorded_by=town.people["engineer"], reading="7.0", outcome="fail", remark="Slow.")
    page = as_("office").get(town.visit.get_absolute_url()).content.decode()
    results = page.split('id="results"')[1].split("</table>")[0]
    assert re.search(r'class="state alarm"[^>]*>.*Outside the limits \(5 s or less\)', results, re.DOTALL)
