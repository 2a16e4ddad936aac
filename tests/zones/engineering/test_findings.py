"""Findings: severity, order, words."""

import re
from dataclasses import replace

import pytest

from zones.engineering import STANDBY_BASES, sources
from zones.engineering.findings import (
    Figure,
    Finding,
    Severity,
    Source,
    by_severity,
    fail,
    listed,
    meets,
    missing,
    note,
    verdict,
    verdict_when_read,
    worst_first,
    worst_severity,
)

SOURCE = Source("EN 12101-10", "2005", "6.2.2", "S2")
FAIL, MEETS, NOTE = (make("a.b", "circuit 1", "Words.", SOURCE) for make in (fail, meets, note))
MISSING = missing("a.b", "circuit 2", "rated current", ["A1"], SOURCE, not_checked="circuit 2")


def test_a_missing_figure_reads_as_the_issue_asks():
    assert MISSING.sentence.startswith("rated current of A1 not known: circuit 2 not checked")


def test_the_worst_severity_decides_and_a_gap_outranks_a_pass():
    assert worst_severity([MEETS, FAIL, MISSING]) == Severity.FAIL
    assert worst_severity([MEETS, MISSING]) == Severity.MISSING
    assert worst_severity([NOTE, MEETS]) == Severity.MEETS
    assert worst_severity([NOTE]) == Severity.NOTE


def test_nothing_checked_is_no_verdict():
    assert worst_severity([]) is None


def test_worst_first_keeps_the_order_among_equals():
    assert worst_first([NOTE, MEETS, MISSING, FAIL]) == [FAIL, MISSING, MEETS, NOTE]


def test_counts_name_every_severity():
    assert by_severity([FAIL, FAIL]) == {**dict.fromkeys(Severity, 0), Severity.FAIL: 2}


def test_a_source_reads_with_edition_and_clause():
    assert str(SOURCE) == "EN 12101-10:2005, 6.2.2"
    assert str(Source("data sheet")) == "data sheet"


STANDARD = re.compile(r"^(EN|IEC|ISO|BS|VDE|NFPA|IEEE|ASTM|ABNT|BR|DIN) ")
LAW = re.compile(r"^(Approved Document |German model building code|Code du travail)")


def test_every_standard_and_law_carries_its_edition_and_nothing_else_has_one():
    """A law of physics or a maker's guidance has no edition; a standard without one says nothing."""
    listed_sources = {name: one for name, one in vars(sources).items() if isinstance(one, Source)}
    dated = {one for one in listed_sources.values() if STANDARD.match(one.document) or LAW.match(one.document)}
    without = [one.document for one in dated if not one.edition]
    others = [one.document for one in listed_sources.values() if one.edition and one not in dated]
    assert len(listed_sources) > 20
    assert not without
    assert not others
    assert str(sources.PEUKERT) == "Peukert's law"


NAMED = re.compile(r"(?:EN|BS|VDE|NFPA|IEEE) [0-9][0-9-]*(?P<edition>:[0-9]{4})?")


def test_wherever_a_basis_or_a_figure_of_practice_names_a_standard_its_edition_stands_beside_it():
    words = [word for basis in STANDBY_BASES.values() for word in (basis.name, basis.borrowed) if word]
    named = [match for word in words for match in NAMED.finditer(word)]
    assert len(named) > 10
    assert not [match[0] for match in named if not match["edition"]]


@pytest.mark.parametrize("passed", [True, False])
def test_a_verdict_has_one_of_two_sentences(passed):
    finding = verdict("a.b", "x", passed, "It is 5 V", "Bad.", SOURCE)
    good = "It is 5 V: within the entered limit (EN 12101-10:2005, 6.2.2)."
    assert (finding.severity, finding.sentence) == ((Severity.MEETS, good) if passed else (Severity.FAIL, "Bad."))


def test_what_is_met_says_whose_limit_it_is_by_its_code():
    """Ohm's law says what voltage comes, the data sheet how little may come."""
    found = meets("link.voltage", "x", "It is 20 V", sources.OHMS_LAW, more=" No more.")
    assert found.sentence == "It is 20 V: within the entered limit (data sheet). No more."
    assert found.source is sources.OHMS_LAW


@pytest.mark.parametrize("limit, clause", [("EN 54", " (EN 54)"), ("", "")])
def test_a_check_may_say_itself_whose_limit_it_is(limit, clause):
    assert (
        meets("a.b", "x", "It is 5 V", SOURCE, limit=limit).sentence == f"It is 5 V: within the entered limit{clause}."
    )


@pytest.mark.parametrize(
    ("names", "words"),
    [
        ([], ""),
        (["A"], "A"),
        (["A", "B"], "A and B"),
        (["A", "B", "C"], "A, B and C"),
        (range(9), "0, 1, 2, 3, 4, 5 and 3 more"),
    ],
)
def test_names_are_listed_as_in_a_sentence(names, words):
    assert listed(names) == words


def told_with(severity, times):
    """A finding made later, counted as met; `times` grows with each time that its words are made."""

    def tell():
        times.append(1)
        return Finding("cable.voltage", severity, "circuit 1", "A1 gets 20 V.", SOURCE, (Figure("voltage", 20, "V"),))

    return verdict_when_read("cable.voltage", "circuit 1", True, tell)


def test_the_words_of_a_finding_are_made_once_and_only_when_read():
    times = []
    finding = told_with(Severity.MEETS, times)
    assert (finding.code, finding.severity, finding.subject) == ("cable.voltage", Severity.MEETS, "circuit 1")
    assert times == []
    assert (finding.sentence, finding.inputs[0].value, finding.compared) == ("A1 gets 20 V.", 20, None)
    assert times == [1]
    assert replace(finding.in_full, sentence="Another.").inputs == finding.inputs


def test_words_that_tell_another_verdict_than_was_counted_are_refused():
    with pytest.raises(AssertionError, match="counted as meets"):
        _ = told_with(Severity.FAIL, []).sentence
