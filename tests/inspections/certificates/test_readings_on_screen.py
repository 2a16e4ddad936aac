"""The readings and exceptions on the page of a certificate: every one of the statement, what repeats said once."""

from inspections.certificates.page import on_screen
from inspections.certificates.readings import by_check

PRACTICE = "common practice"


def reading(tag, check="Current", **fields):
    said = {"reading": "0.65", "unit": "A", "limits": "0.5 to 0.8 A", "source": PRACTICE, "verdict": "meets"}
    return {"tag": tag, "check": check, "quantity": "current", "note": "", **said, **fields}


def shown(*readings):
    found = by_check({"readings": list(readings)})
    return [(one.name, [(row.tags, row.says["reading"], row.source) for row in one.rows]) for one in found.checks]


def test_readings_stand_by_check_in_the_order_of_the_statement():
    assert shown(reading("M1"), reading("M1", "Full stroke", reading="52"), reading("M2", reading="0.7")) == [
        ("Current", [(("M1",), "0.65", 1), (("M2",), "0.7", 1)]),
        ("Full stroke", [(("M1",), "52", 1)]),
    ]


def test_readings_that_say_the_same_share_a_row_and_none_is_lost():
    assert shown(reading("M1"), reading("M2"), reading("M3", note="Slow."), reading("M4")) == [
        ("Current", [(("M1", "M2"), "0.65", 1), (("M3",), "0.65", 1), (("M4",), "0.65", 1)])
    ]


def test_each_source_has_one_number():
    found = by_check({"readings": [reading("M1"), reading("M2", source="EN 12101-2"), reading("M3", reading="1")]})
    assert found.sources == [PRACTICE, "EN 12101-2"]
    assert [row.source for row in found.checks[0].rows] == [1, 2, 1]


def test_a_reading_without_limits_has_no_source_of_them():
    assert shown(reading("P1", "Log book", limits="")) == [("Log book", [(("P1",), "0.65", None)])]


def test_a_statement_without_readings_shows_none():
    assert by_check({}).checks == []


def folded(*readings):
    """What is said of the readings of one check while they are folded."""
    [check] = by_check({"readings": list(readings)}).checks
    return check.number, check.limits, check.verdicts


def test_folded_readings_say_how_many_they_are_their_limits_and_each_verdict():
    assert folded(reading("M1"), reading("M2"), reading("M3", verdict="outside")) == (
        3,
        "0.5 to 0.8 A",
        [("meets", 2), ("outside", 1)],
    )
    assert folded(reading("M1"), reading("M2", limits="0.4 to 0.6 A")) == (2, "limits of each", [("meets", 2)])
    assert folded(reading("P1", limits="", verdict="no limit")) == (1, "no limits", [("no limit", 1)])


def test_what_is_outside_its_limits_or_has_a_note_stands_before_the_folds():
    found = by_check(
        {"readings": [reading("M1"), reading("M2", verdict="outside"), reading("M3", "Full stroke", note="Slow.")]}
    )
    seen = [(check, [row.tags for row in rows]) for check, rows in found.to_be_seen]
    assert seen == [("Current", [("M2",)]), ("Full stroke", [("M3",)])]


def exception(tag, check, **fields):
    return {"tag": tag, "place": "", "check": check, "outcome": "not accessible", "reason": "Locked.", **fields}


def test_checks_of_one_position_not_made_for_one_reason_stand_in_one_row_and_none_is_lost():
    rows = [
        exception("SD1", "Smoke at the head"),
        exception("SD1", "Dirt, age, siting"),
        exception("SD1", "Release", reason="No key."),
        exception("SD2", "Smoke at the head"),
    ]
    shown = [(row["tag"], row["check"], row["reason"]) for row in on_screen({"not_tested": rows}).not_tested]
    assert shown == [
        ("SD1", "Smoke at the head; Dirt, age, siting", "Locked."),
        ("SD1", "Release", "No key."),
        ("SD2", "Smoke at the head", "Locked."),
    ]
