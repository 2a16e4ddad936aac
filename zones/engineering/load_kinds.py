"""Judging actuators of which nobody said how their current answers to the voltage: three kinds, one verdict.

Solved once with the worst kind at every voltage: what that meets, every kind meets. What it does not is judged again
with each kind in turn: only what all of them fail fails; else the kind must be entered first.
"""

from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import replace

from zones.engineering.cables import KNOWN_KINDS, LoadModel
from zones.engineering.circuits import ActuatorCircuit
from zones.engineering.findings import Figure, Finding, Severity, listed
from zones.engineering.sources import DATA_SHEET

FIGURE = "kind of load"
_RESTS_ON_IT = ("cable.", "supply.", "battery.", "protection.", "time.", "force.", "air.")
_NO_VERDICT = (Severity.FAIL, Severity.MISSING)


def of_kind(circuits: Iterable[ActuatorCircuit], kind: LoadModel) -> tuple[ActuatorCircuit, ...]:
    """The same circuits with this kind wherever it is not known."""
    return tuple(
        replace(
            circuit,
            actuators=tuple(
                replace(one, load_model=kind) if one.load_model == LoadModel.NOT_KNOWN else one
                for one in circuit.actuators
            ),
        )
        for circuit in circuits
    )


def over_kinds(
    judge: Callable[[Iterable[ActuatorCircuit]], list[Finding]], circuits: tuple[ActuatorCircuit, ...]
) -> list[Finding]:
    """What `judge` finds of these circuits, so that no kind of load that is not known decides unseen."""
    findings, unknown = judge(circuits), _unknown(circuits)
    if not unknown or not any(_depends(one) for one in findings):
        return findings
    of_kinds = {kind: _numbered(judge(of_kind(circuits, kind))) for kind in KNOWN_KINDS}
    return [
        _over(one, {kind: found.get(key) for kind, found in of_kinds.items()}, unknown) if _depends(one) else one
        for key, one in _numbered(findings).items()
    ]


def _unknown(circuits):
    """By circuit, the actuators whose kind of load is not known."""
    named = {
        circuit.name: [one.name for one in circuit.actuators if one.load_model == LoadModel.NOT_KNOWN]
        for circuit in circuits
    }
    return {circuit: names for circuit, names in named.items() if names}


def _depends(finding):
    return finding.severity in _NO_VERDICT and finding.code.startswith(_RESTS_ON_IT)


def _numbered(findings):
    """Findings by check, thing and their number among those: one is compared with the same one of another kind."""
    times, found = Counter(), {}
    for one in findings:
        place = (one.code, one.subject)
        found[*place, times[place]] = one
        times[place] += 1
    return found


def _over(worst, of_kinds, unknown):
    """The finding of the worst kind, unless some kind would not give it."""
    better = [kind for kind, one in of_kinds.items() if one is None or one.severity not in _as_bad_as(worst)]
    names = listed(unknown.get(worst.subject) or [name for owners in unknown.values() for name in owners])
    if better:
        told = listed(better)
        sentence = (
            f"{FIGURE} of {names} not known. At the worst: {worst.sentence} As {told} that would not be said. "
            f"Enter the kind to get a verdict."
        )
        inputs = (Figure(FIGURE, None), *worst.inputs)
        return Finding(worst.code, Severity.MISSING, worst.subject, sentence, DATA_SHEET, inputs, worst.formula)
    if worst.severity == Severity.MISSING or all(one == worst for one in of_kinds.values()):
        return worst
    return replace(worst.in_full, sentence=f"{worst.sentence} The {FIGURE} of {names} is not known: no kind passes.")


def _as_bad_as(worst):
    return (Severity.FAIL,) if worst.severity == Severity.FAIL else _NO_VERDICT
