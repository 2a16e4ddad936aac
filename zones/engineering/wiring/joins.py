"""Links that join what must stay apart: two runs, two conductors of one, or the two sides of a head.

A device that joins its two sides itself lets go of the line when it is taken out of its base; a link beside that joint
carries the line on, and its removal is told nowhere. Sources: EN 54-2 (a break of a monitored line, and a device
removed from it, are told); which link on a way is the wrong one is common practice of finding it.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from zones.engineering.findings import Finding, Severity
from zones.engineering.sources import EN_54_2, PRACTICE
from zones.engineering.wiring.runs import COMMON, Run, numbers_of
from zones.engineering.wiring.supply_checks import conductor
from zones.engineering.wiring.tracing import BOX, TracedWiring, core_name, told
from zones.engineering.wiring.wired_panel import Link, Passing, Polarity, TerminalKind

_RUN_OF = {
    TerminalKind.OUTPUT: "circuit",
    TerminalKind.DATA: "circuit",
    TerminalKind.MONITOR: "circuit",
    TerminalKind.LINE: "line",
    TerminalKind.LINK: "link",
}


def crossed_links(wiring: TracedWiring) -> Iterator[Finding]:
    """A link joins terminals of one pole and one function."""
    for link in wiring.wired.links:
        if what := _crossed(wiring, link):
            a, b = wiring.name(link.first), wiring.name(link.second)
            sentence = f"The link joins {a} and {b}, terminals of {what}. Take it out, or correct the terminals."
            yield told(wiring, Severity.FAIL, "link", sentence, PRACTICE, terminals=[link.first, link.second])


def _crossed(wiring, link):
    """In what the terminals of a link differ, "" where in nothing; those of a junction box have no function."""
    first, second = wiring.terminals.get(link.first), wiring.terminals.get(link.second)
    if first is None or second is None or wiring.owner(link.first).kind == BOX:
        return ""
    if first.polarity and second.polarity and first.polarity != second.polarity:
        return "different poles"
    if first.kind and second.kind and first.kind != second.kind:
        return "different functions"
    if first.kind == TerminalKind.SUPPLY and conductor(first) != conductor(second):
        return "different conductors of the mains"
    return ""


def bridges(wiring: TracedWiring) -> Iterator[Finding]:
    """Nothing is fitted beside the joint that a device on a line makes itself between its two sides."""
    inside = {frozenset((link.first, link.second)) for link in wiring.wired.links if link.is_internal}
    for first, second, name, cores in _fitted(wiring):
        ends = [wiring.terminals.get(key) for key in (first, second)]
        if None in ends or frozenset((first, second)) not in inside:
            continue
        ways = {end.passing for end in ends}
        if ways == {Passing.IN, Passing.OUT} and {end.kind for end in ends} == {TerminalKind.LINE}:
            owner = wiring.owner(first)
            sentence = (
                f"{name} joins {wiring.name(first)} and {wiring.name(second)}, the incoming and the outgoing side of "
                f"{owner.tag}, which joins them itself: with {owner.tag} taken out the line goes on, and "
                "the panel reports nothing. Take the bridge out, and see that the panel then reports the removal."
            )
            about = {"cores": cores, "terminals": [first, second], "devices": [owner]}
            yield told(wiring, Severity.FAIL, "bridged", sentence, EN_54_2, **about)


def _fitted(wiring):
    """(terminal, terminal, name, cores) of each link that was fitted and each core of a cable within one device."""
    for link in wiring.wired.links:
        if not link.is_internal:
            yield link.first, link.second, "The link", []
    for cable, core in wiring.cores:
        # Of a cable that runs to another device too it is a core that is misplaced: `cables_split` tells it.
        if not core.is_spare and all(wiring.owner(one.near) == wiring.owner(one.far) for one in cable.cores):
            yield core.near, core.far, core_name(cable, core), [(cable, core)]


def joined_by_links(wiring: TracedWiring, runs: list[Run]) -> Iterator[Finding]:
    """No link joins two outputs, lines, data links or inputs, nor two conductors of one. One finding a link."""
    starts = {start.key: (run, start) for run in runs for start in run.starts}
    at_links = _Links(wiring, starts)
    seen = set()
    for run in runs:
        for start in run.starts:
            for key in run.traces[start.key].came:
                other_run, other = starts.get(key, (None, None))
                if other is None or key == start.key or _may_share(run, start, other_run, other):
                    continue
                link = at_links.culprit(run.traces[start.key], key)
                if link is None or link.key in seen:
                    continue
                seen.add(link.key)
                a, b = wiring.name(link.first), wiring.name(link.second)
                sentence = (
                    f"The link joins {a} and {b}, and so {_end(wiring, run, start)} and "
                    f"{_end(wiring, other_run, other)}. Take it out before anything is powered."
                )
                yield told(wiring, Severity.FAIL, "link", sentence, PRACTICE, terminals=[link.first, link.second])


def _end(wiring, run, start):
    return f"{wiring.name(start.key)} of {run.name}"


def _may_share(run, start, other_run, other):
    """Whether two starts may be joined: the common terminals of inputs, and one conductor given twice."""
    if run.is_input and other_run.is_input:
        return {start.function.casefold(), other.function.casefold()} == {COMMON}
    return run is other_run and (start.kind, start.polarity) == (other.kind, other.polarity)


@dataclass
class _Links:
    """The fitted links of a wiring, and which of those on a way is the one too many."""

    wiring: TracedWiring
    starts: dict

    def culprit(self, trace, key) -> Link | None:
        """The link on the way from where a trace starts to `key` that parts it into two sides right in themselves.

        None where no link does, or one that `crossed_links` tells already.
        """
        fitted = {frozenset((one.first, one.second)): one for one in self.wiring.wired.links if not one.is_internal}
        on_way = []
        while trace.came[key] is not None:
            before, step = trace.came[key]
            if step.core is None and (link := fitted.get(frozenset((before, key)))):
                on_way.append(link)
            key = before
        if any(_crossed(self.wiring, link) for link in on_way):
            return None
        return next((link for link in on_way if self._parts(link)), None)

    def _parts(self, link):
        sides = [self._side(link.first, link), self._side(link.second, link)]
        return link.second not in sides[0] and not any(map(self._is_mixed, sides))

    def _side(self, key, link):
        """The terminals joined to one end of a link without it; it goes on through no terminal where a run starts."""
        found, waiting, ends = {key}, [key], {link.first, link.second}
        for here in waiting:
            if here != key and (self.wiring.is_at_panel(here) or self.wiring.is_start(here)):
                continue
            for step in self.wiring.steps[here]:
                is_link = step.core is None and {here, step.terminal} == ends
                if not is_link and step.terminal not in found:
                    found.add(step.terminal)
                    waiting.append(step.terminal)
        return found

    def _is_mixed(self, keys):
        """Whether these terminals are of two runs or of two poles."""
        terminals = [self.wiring.terminals[key] for key in keys]
        poles = {one.polarity for one in terminals if one.kind in _RUN_OF} - {Polarity.NONE}
        kinds = {one.kind for one in terminals if one.kind in _RUN_OF}
        of = {self.starts[key][0].name for key in keys if key in self.starts and not self.starts[key][0].is_input}
        signals = [
            key
            for key in keys
            if key in self.starts and self.starts[key][0].is_input and self.starts[key][1].function.casefold() != COMMON
        ]
        for one in terminals:
            owner = self.wiring.owner(one.key)
            if one.key not in self.starts and owner.kind != BOX and one.kind in _RUN_OF:
                name = _RUN_OF[one.kind]
                word = {"circuit": "output", "link": "data link"}.get(name, name)
                of |= {f"{word} {number}" for number in numbers_of(owner, name)}
        return len(poles) > 1 or len(of) > 1 or len(kinds) > 1 or len(signals) > 1
