"""The four answers on the office's start page: the worst of each heads it, the rest stands beside it."""

import pytest

from inspections.home.needs import needs_of_office

NOTHING = {"due": {}, "defects": [], "to_certify": 0, "late_visits": 0, "open_jobs": 0, "proposed_models": 0}


def answers(**what):
    return {need.heading: need.answer for need in needs_of_office(**(NOTHING | what))}


def test_with_nothing_to_do_every_answer_is_good():
    assert [(answer.state, answer.word) for answer in answers().values()] == [
        ("in_date", "none overdue"),
        ("closed", "none"),
        ("closed", "none to issue"),
        ("in_date", "none overdue"),
    ]


@pytest.mark.parametrize(
    ("due", "state", "word", "line"),
    [
        (
            {"overdue": 3, "due_soon": 1, "never": 2},
            "overdue",
            "3 overdue",
            "1 due soon, 2 with no inspection on record.",
        ),
        ({"due_soon": 1, "in_date": 5}, "due_soon", "1 due soon", ""),
        ({"never": 2}, "never", "none overdue", "2 with no inspection on record."),
    ],
)
def test_inspections_are_headed_by_those_overdue_then_by_those_due_soon(due, state, word, line):
    answer = answers(due=due)["Inspections"]
    assert (answer.state, answer.word, answer.line) == (state, word, line)


def test_defects_are_headed_by_the_worst_that_there_is():
    found = [("impaired", "impaired", 0), ("degraded", "degraded", 2), ("minor", "minor", 4), ("advice", "advice", 0)]
    answer = answers(defects=found)["Open defects"]
    assert (answer.state, answer.word, answer.line) == ("degraded", "2 degraded", "4 minor.")


def test_what_waits_for_the_office_has_a_way_in():
    needs = needs_of_office(**(NOTHING | {"to_certify": 1, "late_visits": 2, "open_jobs": 1, "proposed_models": 3}))
    words = {word for need in needs for word, _ in need.ways}
    assert {"To certify", "Visits", "Jobs", "3 proposed models to confirm"} <= words
    assert needs[3].answer.word == "2 visits overdue"
    assert needs[3].answer.line == "1 job open."
