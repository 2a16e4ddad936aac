"""The proof of a panel's cause and effect as a page and a paper show it: what fails first, then zone by zone."""

from dataclasses import dataclass
from datetime import datetime

from zones.cause_and_effect.kept_proofs import ProofKept
from zones.engineering.cause_and_effect import encode_events, event_words
from zones.engineering.cause_and_effect.proof import LogicProof, ProofVerdict
from zones.engineering.cause_and_effect.properties import Property
from zones.engineering.findings import listed

STATE_OF = {
    ProofVerdict.FAILS: "fail",
    ProofVerdict.NOT_DECIDED: "unknown",
    ProofVerdict.PROVEN: "pass",
    ProofVerdict.ACCEPTED: "accepted",
    ProofVerdict.NOT_ASKED: "not_asked",
    ProofVerdict.NOT_APPLICABLE: "not_applicable",
}

UNPROVEN = ("not_applicable", "not_asked")  # because nothing asks for it


@dataclass(frozen=True)
class ResultShown:
    """One property in one zone; `events` is the sequence as text of an address, "" without one."""

    zone: str
    name: str
    words: str
    state: str
    verdict: str
    sentence: str
    events: str
    steps: list


@dataclass(frozen=True)
class ProofPage:
    """What was proven; `rows` are (zone, its results) in the order of `columns`."""

    columns: list  # (short name, the property in words)
    rows: list
    failures: list
    counts: list  # (state, words, number), only what there is
    states: int
    most_states: int
    is_bounded: bool
    made_at: datetime
    digest: str
    is_of_now: bool
    does_the_same: bool  # as the rules of now

    @property
    def is_proven(self):
        """Every property that applies was proven in every zone."""
        return bool(self.rows) and not any(state in ("fail", "unknown") for state, _, _ in self.counts)

    @property
    def not_applicable(self):
        """(short name, what it would say, verdict, why) of what was not proven because nothing asks for it."""
        without = {}
        for result in (one for _, results in self.rows for one in results if one.state in UNPROVEN):
            # Zones with the same reason are told once.
            key = result.name, result.words, result.verdict, result.sentence.replace(result.zone, "…")
            zones = without.setdefault(key, {})
            zones[result.zone] = result.sentence
        return [(name, words, verdict, self._reason(zones)) for (name, words, verdict, _), zones in without.items()]

    def _reason(self, zones):
        (_, sentence), *others = zones.items()
        if not others:
            return sentence
        same = "every other zone" if len(zones) == len(self.rows) else listed([zone for zone, _ in others])
        return f"{sentence} The same in {same}."


def proof_page(kept: ProofKept):
    """A kept proof as it is shown, in the words of the rules that it was made of."""
    proof = kept.proof
    labels = {zone.key: str(zone) for zone in kept.ruleset.zones}
    rows = [
        (labels[zone.zone], [_shown(kept, labels[zone.zone], result) for result in zone.results])
        for zone in proof.zones
    ]
    results = [result for _, row in rows for result in row]
    looked_at = {result.property for zone in proof.zones for result in zone.results}
    return ProofPage(
        columns=[(one.short, one.words) for one in Property if one in looked_at],
        rows=rows,
        failures=[result for result in results if result.state == "fail"],
        counts=_counts(proof),
        states=proof.states,
        most_states=proof.most_states,
        is_bounded=any(result.is_bounded for zone in proof.zones for result in zone.results),
        made_at=kept.record.made_at,
        digest=kept.record.digest,
        is_of_now=kept.is_of_now,
        does_the_same=kept.does_the_same,
    )


def _shown(kept, zone, result):
    return ResultShown(
        zone,
        result.property.short,
        result.property.words,
        STATE_OF[result.verdict],
        result.verdict.words,
        result.sentence,
        encode_events(result.sequence),
        [event_words(kept.ruleset, one) for one in result.sequence],
    )


def _counts(proof: LogicProof):
    verdicts = [result.verdict for zone in proof.zones for result in zone.results]
    return [(STATE_OF[one], one.words, verdicts.count(one)) for one in ProofVerdict if one in verdicts]
