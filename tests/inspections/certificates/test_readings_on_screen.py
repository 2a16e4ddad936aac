"""The readings on the page of a certificate: every one of the statement, by check, each source once."""

from inspections.certificates.readings import by_check

PRACTICE = "common practice"


def reading(tag, check="Current", **fields):
    said = {"reading": "0.65", "unit": "A", "limits": "0.5 to 0.8 A", "source": PRACTICE, "verdict": "meets"}
    return {"tag": tag, "check": check, "quantity": "current", "note": "", **said, **fields}


def shown(*readings):
    found = by_check({"readings": list(readings)})
    return [(check, [(row.tags, row.says["reading"], row.source) for row in rows]) for check, rows in found.checks]


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
    assert [row.source for row in found.checks[0][1]] == [1, 2, 1]


def test_a_reading_without_limits_has_no_source_of_them():
    assert shown(reading("P1", "Log book", limits="")) == [("Log book", [(("P1",), "0.65", None)])]


def test_a_statement_without_readings_shows_none():
    assert by_check({}).checks == []
