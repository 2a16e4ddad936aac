"""Altered evidence in numbers: ALTERED_PAPERS papers and ALTERED_ROWS rows, each altered in a seeded way, all told."""

import os
from collections import Counter

from inspections.certificates.comparing import differences
from inspections.certificates.papers import keep_pdf
from inspections.certificates.signing_keys import trust_roots
from inspections.verification.running import verify_register
from tests import builders
from tests.inspections.certificates.altered_papers import sample
from tests.inspections.verification.altered_rows import not_told, rows_altered
from tests.inspections.verification.test_verify_register import build_evidence

PAPERS, ROWS = (
    int(os.environ.get(name, "0")) or many for name, many in (("ALTERED_PAPERS", 1000), ("ALTERED_ROWS", 200))
)


def paper_of(certificate):
    with keep_pdf(certificate).pdf.open("rb") as file:
        return file.read()


def test_each_altered_paper_is_told(town):
    paper = paper_of(town.certificate)
    other = paper_of(builders.make_certificate(builders.make_finished_visit(town.mill)))
    told = Counter(
        (way, bool(differences(altered, paper, trust_roots()))) for way, altered in sample(PAPERS, 7, paper, other)
    )
    print(dict(told))
    assert sum(told.values()) == PAPERS and all(is_told for _way, is_told in told)


def test_each_altered_row_is_told(town):
    build_evidence(town)
    assert not verify_register().faults
    assert not_told(rows_altered(ROWS, seed=7)) == []
