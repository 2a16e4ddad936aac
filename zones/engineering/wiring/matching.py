"""Which outgoing terminal goes to which incoming one, when a cable is put between two devices. Common practice."""

from collections.abc import Sequence
from typing import Protocol

from zones.engineering.wiring.wired_panel import Passing, Polarity, TerminalKind

# Told apart by kind and pole alone; all others (contacts, inputs, supplies) by what is written at them.
PLAIN = (TerminalKind.LINE, TerminalKind.LINK, TerminalKind.OUTPUT, TerminalKind.DATA, TerminalKind.MONITOR)
SWITCHED = frozenset((TerminalKind.CONTACT, TerminalKind.INPUT))


class MatchedTerminal(Protocol):
    """What this module reads of a terminal; plain terminals and those of a pattern have it."""

    kind: TerminalKind
    polarity: Polarity
    passing: Passing
    function: str


def can_join(out: MatchedTerminal, into: MatchedTerminal) -> bool:
    """Whether a core may run from `out` to `into`: same kind (a contact fits an input), pole and function."""
    same_kind = out.kind == into.kind or {out.kind, into.kind} == SWITCHED
    crossed = out.polarity and into.polarity and out.polarity != into.polarity
    if out.kind == TerminalKind.LINK:  # its data core has no pole and is no other's
        crossed = out.polarity != into.polarity
    if not same_kind or crossed or into.passing == Passing.OUT or TerminalKind.UNKNOWN in (out.kind, into.kind):
        return False
    return out.kind in PLAIN or _function(out) == _function(into)


def _function(terminal):
    return " ".join(terminal.function.casefold().split())


def pairs_of(outs: Sequence[MatchedTerminal], ins: Sequence[MatchedTerminal]) -> list[tuple[int, int]]:
    """Pairs of places in `outs` and `ins` that a cable joins, in the order of `outs`; each is used once."""
    pairs, taken = [], set()
    for place, out in enumerate(outs):
        fitting = [k for k, into in enumerate(ins) if k not in taken and can_join(out, into)]
        # Of two that fit, the one of the very pole: a terminal without one would fit the other as well.
        fitting.sort(key=lambda k: ins[k].polarity != out.polarity)
        if fitting:
            taken.add(fitting[0])
            pairs.append((place, fitting[0]))
    return pairs


def across(outs: Sequence[MatchedTerminal]) -> tuple[int, int] | None:
    """The two places in `outs` between which the end of line belongs: the watched conductor and the minus.

    The watched conductor is the monitoring core, else the plus; None where one of the two is not there.
    """
    poled = [k for k, one in enumerate(outs) if one.kind in (TerminalKind.LINE, TerminalKind.OUTPUT)]
    minus = next((k for k in poled if outs[k].polarity == Polarity.MINUS), None)
    plus = next((k for k in poled if outs[k].polarity == Polarity.PLUS), None)
    watched = next((k for k, one in enumerate(outs) if one.kind == TerminalKind.MONITOR), plus)
    return None if minus is None or watched is None else (watched, minus)
