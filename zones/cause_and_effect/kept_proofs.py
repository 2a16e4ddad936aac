"""Proofs as records: a short one is made at once, a long one by the worker, and each is kept with its rules.

Whatever is short is told by states, never by seconds: so it is the same on any machine under any load.
"""

import logging
import time
from dataclasses import dataclass, replace

from django.db import DatabaseError, transaction
from django.db.models import F
from django.utils import timezone

from zones.cause_and_effect.records import PanelLogic, panel_logic
from zones.engineering.cause_and_effect import RuleSet, RuleSetError
from zones.engineering.cause_and_effect.plain_data import (
    behaviour_digest,
    data_of,
    digest_of,
    proof_data,
    proof_of,
    prover_digest,
    ruleset_of,
)
from zones.engineering.cause_and_effect.proof import MOST_STATES, LogicProof, prove
from zones.models import KeptProof, ProofToMake

logger = logging.getLogger(__name__)

STATES_AT_ONCE = 3_000  # within a second while somebody waits for the page
TELLS_EVERY_S = 1


@dataclass(frozen=True)
class ProofKept:
    """A proof with the rules it was made of; `is_of_now`: those are the rules, and the prover, of now."""

    record: KeptProof
    ruleset: RuleSet
    proof: LogicProof
    is_of_now: bool
    does_the_same: bool  # as the rules of now do, whatever they are called


@dataclass(frozen=True)
class ProofsOfPanel:
    """The newest kept proof, of the rules of now where there is one, and the proof that is on its way."""

    kept: ProofKept | None
    on_its_way: ProofToMake | None


def proof_digest(read: PanelLogic):
    """The digest of all that a proof of these rules rests on."""
    return digest_of({"rules": data_of(read.ruleset), "prover": prover_digest(), "most_states": MOST_STATES})


def proofs_of(read: PanelLogic):
    """What is known of the rules of now; where nothing is, a short proof is made and a long one asked for.

    Raises RuleSetError: they point nowhere.
    """
    digest = proof_digest(read)
    record = KeptProof.objects.filter(panel=read.panel, digest=digest).first()
    on_its_way = None if record else ProofToMake.objects.filter(panel=read.panel, digest=digest).first()
    if not on_its_way and (record := record or _short_proof(read, digest)):
        return ProofsOfPanel(_as_kept(read, record, is_of_now=True), None)
    older = KeptProof.objects.filter(panel=read.panel).order_by("-pk").first()
    return ProofsOfPanel(older and _as_kept(read, older, is_of_now=False), on_its_way or _ask_for(read.panel, digest))


def proof_in_full(read: PanelLogic):
    """The proof of the rules of now, made now where it is not kept yet: for a paper. Raises RuleSetError."""
    digest = proof_digest(read)
    record = KeptProof.objects.filter(panel=read.panel, digest=digest).first()
    record = record or _keep(read, digest, prove(read.ruleset, most_states=MOST_STATES))
    return _as_kept(read, record, is_of_now=True)


def _as_kept(read, record, *, is_of_now):
    does_the_same = is_of_now or record.behaviour == behaviour_digest(read.ruleset)
    return ProofKept(record, ruleset_of(record.rules), proof_of(record.found), is_of_now, does_the_same)


def _short_proof(read, digest):
    """The record of a proof that needs few states; None of one that needs more."""
    proof = prove(read.ruleset, most_states=min(STATES_AT_ONCE, MOST_STATES))
    if any(result.is_bounded for zone in proof.zones for result in zone.results):
        return None
    proof = replace(proof, most_states=MOST_STATES)  # it would have gone on to that
    try:
        return _keep(read, digest, proof)
    except DatabaseError as error:  # a disk that is full or read-only: the page is read all the same
        logger.warning("The proof of the rules of panel %s is not kept: %s", read.panel.pk, error)
        return _record(read, digest, proof)


def _keep(read, digest, proof):
    with transaction.atomic():
        KeptProof.objects.bulk_create([_record(read, digest, proof)], ignore_conflicts=True)
    return KeptProof.objects.get(panel=read.panel, digest=digest)


def _record(read, digest, proof):
    return KeptProof(
        panel=read.panel,
        digest=digest,
        behaviour=behaviour_digest(read.ruleset),
        rules=data_of(read.ruleset),
        found=proof_data(proof),
        states=proof.states,
    )


def _ask_for(panel, digest):
    """The proof on its way; one of rules that were changed meanwhile begins anew."""
    try:
        return _asked_for(panel, digest)
    except DatabaseError as error:
        logger.warning("The proof of the rules of panel %s is not asked for: %s", panel.pk, error)
        return ProofToMake(panel=panel, digest=digest)


@transaction.atomic
def _asked_for(panel, digest):
    wanted, _ = ProofToMake.objects.get_or_create(panel=panel, defaults={"digest": digest})
    if wanted.digest != digest:
        _begin_anew(wanted, digest=digest, asked_at=timezone.now())
    return wanted


def _begin_anew(wanted, **fields):
    fields = {"begun_at": None, "failed_at": None, "parts_done": 0, "parts": 0, "states": 0, **fields}
    ProofToMake.objects.filter(pk=wanted.pk).update(**fields)
    wanted.refresh_from_db()


# --- the worker ---


def make_a_proof_that_waits():
    """Make the proof that was asked for first; returns (how many were made, failed), none when none waits.

    One at a time: papers and mails come between. One that failed is tried again after all others.
    """
    waiting = ProofToMake.objects.select_related("panel__building", "panel__position")
    wanted = waiting.order_by(F("failed_at").asc(nulls_first=True), "asked_at", "pk").first()
    if wanted is None:
        return 0, 0
    try:
        _make(wanted)
    except Exception:  # whatever one panel has, the others are proven
        logger.exception("The proof of the rules of panel %s could not be made.", wanted.panel_id)
        ProofToMake.objects.filter(pk=wanted.pk).update(failed_at=timezone.now())
        return 0, 1
    return 1, 0


def _make(wanted):
    ProofToMake.objects.filter(pk=wanted.pk).update(begun_at=timezone.now())
    read = panel_logic(wanted.panel)
    try:
        proof = prove(read.ruleset, most_states=MOST_STATES, told=_Progress(wanted))
    except RuleSetError:  # the page tells why
        ProofToMake.objects.filter(pk=wanted.pk).delete()
        return
    with transaction.atomic():
        _keep(read, proof_digest(read), proof)
        ProofToMake.objects.filter(pk=wanted.pk).delete()


class _Progress:
    """Notes how far a proof is, a second apart at the least: a database has better to do."""

    def __init__(self, wanted):
        self._wanted, self._told_at = wanted, time.monotonic()

    def __call__(self, done, of, states):
        if time.monotonic() - self._told_at < TELLS_EVERY_S:
            return
        self._told_at = time.monotonic()
        ProofToMake.objects.filter(pk=self._wanted.pk).update(parts_done=done, parts=of, states=states)
