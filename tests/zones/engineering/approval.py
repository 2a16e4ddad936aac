"""Texts that a person has read and approved: what a test makes now is compared with them, to the last line."""

import os
from pathlib import Path

APPROVED = Path(__file__).parent / "approved"


def compare(name, lines):
    """With APPROVE set, what is made now is written instead."""
    path, now = APPROVED / f"{name}.txt", "\n".join(lines) + "\n"
    if "APPROVE" in os.environ:
        path.write_text(now)
    assert now == path.read_text()
