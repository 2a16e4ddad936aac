"""Checks of mains, earth and battery: what must never be wrong where people touch it.

Sources: IEC 60445 (green-yellow is for the protective conductor alone, blue for the neutral); that the battery blocks
of one set are in series is common practice.
"""

from collections.abc import Iterator

from zones.engineering.findings import Finding, Severity, listed
from zones.engineering.sources import IEC_60445, PRACTICE, RECORD
from zones.engineering.wiring.core_checks import BATTERY, KIND_WORDS, unfinished
from zones.engineering.wiring.tracing import TracedWiring, core_name, told
from zones.engineering.wiring.wired_panel import TerminalKind, WiredDevice

GNYE = "GNYE"
BLUE = "BU"


def earth(wiring: TracedWiring) -> Iterator[Finding]:
    """Mains comes with a protective earth, on the green-yellow core, which serves nothing else (IEC 60445)."""
    for owner in wiring.owners.values():
        supplied = [t.key for t in owner.terminals if t.kind == TerminalKind.SUPPLY and wiring.on_terminal[t.key]]
        earths = [t.key for t in sorted(owner.terminals, key=_is_body) if t.kind == TerminalKind.EARTH]
        if not supplied or any(wiring.on_terminal[key] for key in earths):
            continue
        if earths:
            sentence = (
                f"{owner.tag} has mains on {wiring.name(supplied[0])}, but no core on its protective earth "
                f"{wiring.name(earths[0])}. Connect the protective conductor first."
            )
            yield told(
                wiring,
                unfinished(wiring, *supplied),
                "earth_missing",
                sentence,
                IEC_60445,
                terminals=[*earths, *supplied],
                devices=[owner],
            )
        else:
            sentence = (
                f"{owner.tag} has mains on {wiring.name(supplied[0])}, but no protective earth terminal is recorded. "
                "Record it, or have a competent person confirm that it needs none."
            )
            yield told(
                wiring, Severity.QUESTION, "earth_unrecorded", sentence, IEC_60445, terminals=supplied, devices=[owner]
            )
    yield from _earthed_bodies(wiring)
    yield from _earth_colours(wiring)
    yield from _neutral_colours(wiring)


def _is_body(terminal):
    return "body" in terminal.function.casefold()


def _earthed_bodies(wiring):
    """A metal body with an earth terminal of its own is joined to the protective earth."""
    for owner in wiring.owners.values():
        earths = [terminal for terminal in owner.terminals if terminal.kind == TerminalKind.EARTH]
        for body in earths:
            if not _is_body(body) or len(earths) < 2 or wiring.steps[body.key]:
                continue
            if not any(wiring.on_terminal[terminal.key] for terminal in earths):
                continue  # told of the mains already
            sentence = (
                f"The body of {owner.tag} is not joined to the protective earth: nothing is recorded at "
                f"{wiring.name(body.key)}. Record the link or core, or fit it before mains comes on."
            )
            yield told(
                wiring,
                unfinished(wiring, body.key),
                "earth_body",
                sentence,
                IEC_60445,
                terminals=[body.key],
                devices=[owner],
            )


def _earth_colours(wiring):
    for cable, core in wiring.cores:
        ends = [wiring.terminals[key] for key in (core.near, core.far) if key in wiring.terminals]
        kinds = {terminal.kind for terminal in ends}
        name = core_name(cable, core)
        about = {"cores": [(cable, core)], "terminals": [terminal.key for terminal in ends]}
        if TerminalKind.EARTH in kinds and core.colour != GNYE:
            at = wiring.name(next(terminal.key for terminal in ends if terminal.kind == TerminalKind.EARTH))
            if core.colour:
                sentence = f"{name} on the protective earth {at} is not green-yellow. Use the GNYE core of the cable."
                yield told(wiring, Severity.FAIL, "earth_colour", sentence, IEC_60445, **about)
            else:
                sentence = f"Colour of {name} on the protective earth {at} not known: not checked. Enter it."
                yield told(wiring, Severity.MISSING, "earth_colour_unknown", sentence, IEC_60445, **about)
        if core.colour == GNYE and kinds - {TerminalKind.EARTH, TerminalKind.UNKNOWN}:
            at = next(t for t in ends if t.kind not in (TerminalKind.EARTH, TerminalKind.UNKNOWN))
            sentence = (
                f"{name} is green-yellow, but is on {wiring.name(at.key)} ({KIND_WORDS[at.kind]}). Green-yellow is for "
                "the protective earth alone: use another core."
            )
            yield told(wiring, Severity.FAIL, "green_yellow", sentence, IEC_60445, **about)


def _neutral_colours(wiring):
    """Blue is the neutral where there is one, so it is on no phase terminal (IEC 60445)."""
    for cable, core in wiring.cores:
        ends = [wiring.terminals[key] for key in (core.near, core.far) if key in wiring.terminals]
        phase = next((one for one in ends if one.kind == TerminalKind.SUPPLY and conductor(one) == "L"), None)
        if phase is None or core.colour != BLUE:
            continue
        owner = wiring.owners[phase.owner]
        neutral = next(
            (one for one in owner.terminals if one.kind == TerminalKind.SUPPLY and conductor(one) == "N"), None
        )
        if neutral is None:
            continue
        sentence = (
            f"{core_name(cable, core)} is blue, the neutral, but is on {wiring.name(phase.key)} (L). Prove dead, then "
            f"put it on {wiring.name(neutral.key)} (N)."
        )
        yield told(
            wiring,
            Severity.FAIL,
            "neutral_colour",
            sentence,
            IEC_60445,
            cores=[(cable, core)],
            terminals=[phase.key, neutral.key],
        )


def conductor(terminal):
    """ "L", "N" or what the terminal of a mains supply is called."""
    return (terminal.function.split() or [""])[-1].upper().rstrip("123") or terminal.number.upper()


def idle_supplies(wiring: TracedWiring) -> Iterator[Finding]:
    """Where the supplies were declared complete, every terminal of mains and battery carries a core."""
    for kind, what in ((TerminalKind.BATTERY, "battery"), (TerminalKind.SUPPLY, "mains")):
        keys = [key for key, terminal in wiring.terminals.items() if terminal.kind == kind]
        on = [key for key in keys if wiring.on_terminal[key]]
        idle = [key for key in keys if key not in on]
        is_open = any(None in (core.near, core.far) for key in on for _, core in wiring.on_terminal[key])
        if not on or not idle or not wiring.is_complete_at(*idle) or (kind == TerminalKind.BATTERY and is_open):
            continue
        sentence = (
            f"No core is recorded on {listed(map(wiring.name, idle))}, but the {what} was declared complete. Put the "
            "lead or link on, or take the declaration back."
        )
        yield told(wiring, Severity.FAIL, "supply_idle", sentence, RECORD, terminals=idle)


def batteries_in_parallel(wiring: TracedWiring) -> Iterator[Finding]:
    """Blocks of a set are joined + to −: in series."""
    for cable, core in wiring.cores:
        near, far = (wiring.terminals.get(key) for key in (core.near, core.far))
        if near is None or far is None or near.owner == far.owner or TerminalKind.BATTERY not in (near.kind, far.kind):
            continue
        blocks: list[WiredDevice] = [wiring.owners[near.owner], wiring.owners[far.owner]]
        if all(block.kind == BATTERY for block in blocks) and near.polarity and near.polarity == far.polarity:
            sentence = (
                f"{core_name(cable, core)} joins the like poles {wiring.name(near.key)} and "
                f"{wiring.name(far.key)}: the "
                "blocks are in parallel. The link of two blocks in series joins − of one to + of the other."
            )
            yield told(
                wiring,
                Severity.FAIL,
                "battery_parallel",
                sentence,
                PRACTICE,
                cores=[(cable, core)],
                terminals=[near.key, far.key],
                devices=blocks,
            )


SUPPLY_CHECKS = (earth, idle_supplies, batteries_in_parallel)
