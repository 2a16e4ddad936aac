"""Texts that a person has read and approved: what a test makes now is compared with them, to the last line."""

import os
from pathlib import Path

APPROVED = Path(__file__).parent / "approved"


def compare(name, lines, folder=APPROVED):
    """With APPROVE set, what is made now is written instead."""
    path, now = folder / f"{name}.txt", "\n".join(lines) + "\n"
    if "APPROVE" in os.environ:
        folder.mkdir(exist_ok=True)
        path.write_text(now)
    assert now == path.read_text()


def told(finding):
    """All that a finding says, line by line."""
    yield f"{finding.code} | {finding.severity} | {finding.subject}"
    yield f"    {finding.sentence}"
    yield f"    [{finding.source.in_full}] {finding.formula}".rstrip()
    if compared := finding.compared:
        unit, margin = compared.unit, f"{compared.margin:.5g}"
        yield f"    {compared.figure:.5g} {unit} {compared.word} {compared.limit:.5g} {unit}, margin {margin} {unit}"
    for figure in finding.inputs:
        value = f"{figure.value:.5g}" if isinstance(figure.value, float) else figure.value
        yield f"    {figure.name}: {value} {figure.unit}".rstrip()
    for follow_on in finding.follow_ons:
        yield f"    with it: {follow_on.code} | {follow_on.severity} | {follow_on.sentence}"
