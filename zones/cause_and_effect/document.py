"""The cause-and-effect matrix of a panel on paper, with what was proven of it: plan and record in one."""

from django.urls import reverse

from sites_registry.documents.base import TitleBlock, render_pdf
from sites_registry.documents.papers import Made
from zones.as_installed.on_paper import revisions_of
from zones.cause_and_effect.kept_proofs import proof_in_full
from zones.cause_and_effect.matrix import LEGEND, LETTERS, matrix_of
from zones.cause_and_effect.proof import proof_page
from zones.cause_and_effect.records import panel_logic
from zones.engineering.cause_and_effect import RuleSetError

# Columns that a landscape sheet takes beside the cause and the two columns to write in.
TARGETS_A_TABLE = 14


def cause_and_effect_pdf(panel, read, proof, *, prepared_by, now):
    """The matrix of a panel as an A4 landscape PDF; `proof` is a ProofPage, or None where the rules point nowhere."""
    building = panel.building
    title_block = TitleBlock.as_of(
        now,
        building,
        title="Cause-and-effect matrix",
        subtitle=f"panel {panel.tag}",
        number=f"{building.slug}/{panel.tag.lower()}/cause-and-effect",
        prepared_by=prepared_by,
        address=reverse("rule-matrix", args=[panel.pk]),
        landscape=True,
        revisions=revisions_of(building, now),
    )
    matrix = matrix_of(read)
    context = {
        "panel": panel,
        "matrix": matrix,
        "parts": _parts(matrix),
        "legend": LEGEND,
        "proof": proof,
        "left_out": read.left_out,
        "letters": LETTERS,
    }
    return render_pdf(
        "zones/cause_and_effect/cause_and_effect_paper.html", context, title_block=title_block, created_at=now
    )


def _parts(matrix):
    """The matrix in tables of so many columns as a sheet takes: [(targets, [(cause, cells)])]."""
    parts = []
    for first in range(0, len(matrix.targets), TARGETS_A_TABLE):
        span = slice(first, first + TARGETS_A_TABLE)
        parts.append((matrix.targets[span], [(cause, cells[span]) for cause, cells in matrix.rows]))
    return parts


def matrix_asked_for(panel, asked):
    read = panel_logic(panel)
    try:
        proof = proof_page(proof_in_full(read))
    except RuleSetError:
        proof = None  # the page of the matrix tells why
    return Made(cause_and_effect_pdf(panel, read, proof, prepared_by=asked.by, now=asked.now))
