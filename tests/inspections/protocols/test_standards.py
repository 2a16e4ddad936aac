"""Which standards the checks of a visit cite, as their sources name them."""

import pytest

from inspections.protocols.standards import citations_in, cited_in_words, is_cited, standards_of
from tests import builders


@pytest.mark.parametrize(
    ("source", "citations"),
    [
        ("common practice; the maker's figure wins", []),
        ("EN 12101-2:2017 (open within 60 s), second-hand", [("EN 12101-2:2017", "second-hand")]),
        ("BS 5839-1:2017 cl. 45.3 (by analogy), from memory", [("BS 5839-1:2017 cl. 45.3", "from memory")]),
        ("EN 54-2:1997 annex A", [("EN 54-2:1997 annex A", "")]),
        (
            "BS 5839-1:2017 cl. 45.3, to be verified against the document",
            [("BS 5839-1:2017 cl. 45.3", "to be verified against the document")],
        ),
        (
            "DIN 18232-2, second-hand; DIN VDE 0833-2:2017",
            [("DIN 18232-2", "second-hand"), ("DIN VDE 0833-2:2017", "")],
        ),
        (
            "EN 54-2:1997, from memory; EN 54-5:2017, second-hand",
            [("EN 54-2:1997", "from memory"), ("EN 54-5:2017", "second-hand")],
        ),
    ],
)
def test_a_source_is_read_as_it_is_written(source, citations):
    assert [(one.words, one.how_known) for one in citations_in(source)] == citations


def points(*sources):
    visit = builders.make_visit()
    return [
        builders.make_test_point(visit, code=f"check-{k}", title=f"Check {k}", limit_source=source)
        for k, source in enumerate(sources, 1)
    ]


def test_checks_are_counted_by_what_they_rest_on(db):
    found = standards_of(points("EN 12101-2:2017, second-hand", "common practice", "", "EN 12101-2:2017, second-hand"))
    assert found["cited"] == [
        {"standard": "EN 12101-2:2017", "name": "EN 12101-2", "known": "second-hand", "checks": ["Check 1", "Check 4"]}
    ]
    assert (found["checks"], found["practice"], found["without_source"]) == (4, 1, 1)


def test_what_is_cited_is_said_in_a_line(db):
    assert cited_in_words(standards_of(points("EN 12101-2:2017, second-hand", "IEEE 1188", "common practice"))) == (
        "EN 12101-2:2017 (second-hand); IEEE 1188"
    )
    assert cited_in_words(standards_of(points("common practice"))) == "none"


def test_a_check_of_many_devices_counts_once(db):
    first = points("common practice")[0]
    again = builders.make_test_point(first.visit, code=first.code, title=first.title, limit_source=first.limit_source)
    assert standards_of([first, again])["checks"] == 1


@pytest.mark.parametrize(
    ("named", "answer"),
    [("EN 12101-2:2017", True), ("EN 12101-2", True), ("BS 7346-8:2013", False), ("", None), ("as agreed", None)],
)
def test_a_named_standard_is_cited_or_not_whatever_its_edition(db, named, answer):
    assert is_cited(named, standards_of(points("EN 12101-2:2003, from memory", "common practice"))) is answer
