"""The table of editions: every source of a check is in it, none without its tag; superseded editions are told."""

import pytest

from zones.engineering import STANDBY_BASES, Severity
from zones.engineering.editions import DOCUMENTS, check_editions, document_of, superseded_in
from zones.engineering.sources import HOW_KNOWN, every_source

WITHOUT_DOCUMENT = ("calc", "P")


def test_there_are_sources():
    assert len(every_source()) > 40


@pytest.mark.parametrize("source", every_source(), ids=str)
def test_every_source_is_in_the_table_and_says_how_it_is_known(source):
    assert source.tag in ("S", *HOW_KNOWN, *WITHOUT_DOCUMENT)
    assert (document_of(source) is None) == (source.tag in WITHOUT_DOCUMENT)


@pytest.mark.parametrize("document", DOCUMENTS.values(), ids=lambda one: one.designation)
def test_what_superseded_an_edition_is_later_and_said_with_how_that_is_known(document):
    assert bool(document.superseded_by) == bool(document.superseded_known)
    if document.superseded_by:
        assert document.superseded_by > document.edition
        assert document.superseded_known in HOW_KNOWN


def test_the_basis_of_a_standby_battery_rests_on_a_document_of_the_table():
    assert all(document_of(basis.source) for basis in STANDBY_BASES.values())


def test_a_superseded_edition_is_a_note_that_names_the_later_one_and_where_it_is_stated():
    stated = [
        ("design basis", STANDBY_BASES["bs-5839-1-2017"].name),
        ("standard named by the client", "BS 5839-1:2017"),
    ]
    (finding,) = check_editions("Hall", stated)
    assert finding.severity == Severity.NOTE
    assert "BS 5839-1:2017, named in the design basis and the standard named by the client" in finding.sentence
    assert "superseded by the 2025 edition (second-hand)" in finding.sentence


def test_an_edition_in_force_or_none_is_silent():
    assert check_editions("Hall", [("design basis", STANDBY_BASES["bs-5839-1-2025"].name), ("here", "")]) == []
    assert superseded_in("BS 5839-1, as agreed") == []
