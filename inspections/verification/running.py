"""Run all checks and keep what came of it."""

import time
from collections import Counter as Tally
from itertools import chain, islice

from inspections.ledger.entering import head
from inspections.models import Verification
from inspections.verification.checks import CHECKS, Known
from inspections.verification.heads import check_heads

FAULTS_KEPT = 200


def verify_register():
    """Prove the evidence whole, or say what is not; returns the kept run."""
    began, looked_at, known = time.monotonic(), Tally(), Known()
    faults = chain.from_iterable(check(looked_at, known) for check in (*CHECKS, check_heads))
    kept = [str(fault) for fault in islice(faults, FAULTS_KEPT)]
    count = len(kept) + sum(1 for _ in faults)
    last = head()
    return Verification.objects.create(
        took_s=round(time.monotonic() - began, 3),
        looked_at=dict(looked_at),
        ledger_head=last.short if last else "",
        faults=kept,
        faults_count=count,
    )
