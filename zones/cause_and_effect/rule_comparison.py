"""Two revisions of a panel's rules side by side: what the later one does otherwise, with a sequence that shows it.

A revision is kept with each proof that was made of it (`kept_proofs`); beside them stand the rules of now.
"""

from dataclasses import dataclass
from datetime import datetime

from zones.cause_and_effect.records import PanelLogic
from zones.engineering.cause_and_effect import encode_events
from zones.engineering.cause_and_effect.plain_data import behaviour_digest, ruleset_of
from zones.engineering.cause_and_effect.telling_apart import MOST_PAIRS, Compared, compare
from zones.models import KeptProof

NOW = "now"


@dataclass(frozen=True)
class RuleRevision:
    """Rules as they were proven first on a day; `key` names it in an address, "now" those of now."""

    key: str
    since: datetime | None
    behaviour: str

    @property
    def is_now(self):
        return self.key == NOW


@dataclass(frozen=True)
class RuleComparison:
    """What is shown of two revisions; `sequences` are (difference, its events as text of an address)."""

    before: RuleRevision
    after: RuleRevision
    compared: Compared
    sequences: list
    most_pairs: int

    @property
    def is_same(self):
        found = self.compared
        return not (found.differences or found.undecided or found.only_first or found.only_second)


def revisions_of_rules(read: PanelLogic):
    """Now, then the revisions that were proven, newest first; one that does what the one before it did is not told."""
    rows = KeptProof.objects.filter(panel=read.panel).order_by("pk").values_list("pk", "made_at", "behaviour")
    kept = []
    for pk, made_at, behaviour in rows:
        if not kept or kept[-1].behaviour != behaviour:
            kept.append(RuleRevision(str(pk), made_at, behaviour))
    return [RuleRevision(NOW, None, behaviour_digest(read.ruleset)), *reversed(kept)]


def first_to_compare(revisions):
    """The newest revision that does otherwise than the rules of now; None where none does."""
    now, *earlier = revisions
    return next((one for one in earlier if one.behaviour != now.behaviour), None)


def comparison_of(read: PanelLogic, before: RuleRevision, after: RuleRevision):
    """The two compared. Raises RuleSetError: the rules of one point nowhere."""
    compared = compare(_rules(read, before), _rules(read, after), most_pairs=MOST_PAIRS)
    sequences = [(one, encode_events(one.events)) for one in compared.differences]
    return RuleComparison(before, after, compared, sequences, MOST_PAIRS)


def _rules(read, revision):
    if revision.is_now:
        return read.ruleset
    return ruleset_of(KeptProof.objects.values_list("rules", flat=True).get(pk=revision.key))
