"""Devices that are wired to another run than the one they are recorded on, and cores between two runs.

However many cores follow, cables that change places are one mistake and one finding. Source: common practice.
"""

from collections.abc import Iterator

from zones.engineering.findings import Finding, Severity, listed
from zones.engineering.sources import PRACTICE
from zones.engineering.wiring.runs import COMMON, Run, numbers_of
from zones.engineering.wiring.tracing import BOX, TracedWiring, core_name, told
from zones.engineering.wiring.wired_panel import TerminalKind

# What follows where a device is on the terminals of another run: told again when that is put right.
FOLLOWS = tuple(
    f"wiring.{code}"
    for code in (
        "not_reached",
        "element_missing",
        "element_two",
        "element_across",
        "element_loose",
        "element_place",
        "element_stray",
        "tee",
        "ring",
        "order",
        "kind",
        "direction",
        "monitor_carried_on",
        "input_function",
        "cable_split",
    )
)


def strays(runs: list[Run]) -> list[tuple]:
    """(run, device recorded on another run of the kind, core that leads there, terminal it comes from) by conductor."""
    found = []
    for run in runs:
        for start in run.starts:
            if run.is_input and start.function.casefold() == COMMON:
                continue  # inputs of one origin share it
            found += [(run, *one) for one in _strange_on(run, start)]
    return found


def _strange_on(run, start):
    seen, number = set(), run.order.number
    for key, came in run.traces[start.key].came.items():
        terminal, owner = run.wiring.terminals.get(key), run.wiring.owner(key)
        if came is None or owner is None or owner.kind == BOX or run.wiring.is_at_panel(key) or owner.key in seen:
            continue
        own = numbers_of(owner, run.each_of)
        if own and number not in own and terminal.kind in run.kinds and not terminal.starts_run:
            seen.add(owner.key)
            core, near = _way_in(run, start, key)
            if core is not None:
                yield owner, core, near


def _way_in(run, start, key):
    """Where one leaves the run for this terminal: the terminal, and the core (with its cable) on from there."""
    came, pair = run.traces[start.key].came, None
    while came[key] is not None:
        key, step = came[key]
        pair = (step.cable, step.core) if step.core else pair
        owner = run.wiring.owner(key)
        if pair and owner is not None and run.order.number in numbers_of(owner, run.each_of):
            break
    return pair, key


def exchanged_runs(wiring: TracedWiring, runs: list[Run]) -> Iterator[Finding]:
    """One finding for each group of runs between which devices are at the wrong place."""
    for group in grouped(strays(runs)):
        of = {}
        for run, device, core, near in group:
            of.setdefault((run.each, numbers_of(device, run.each_of)), []).append((run, device, core, near))
        parts = listed(_part(wiring, each, numbers, found) for (each, numbers), found in of.items())
        devices = list({device.key: device for _, device, _, _ in group}.values())
        sentence = (
            f"{parts}. Move the cores to their own terminals, or correct on what "
            f"{listed(device.tag for device in devices)} {'is' if len(devices) == 1 else 'are'} recorded."
        )
        yield told(
            wiring,
            Severity.FAIL,
            "wrong_run",
            sentence,
            PRACTICE,
            devices=devices,
            cores=list({core[1].key: core for _, _, core, _ in group}.values()),
            terminals=list(dict.fromkeys(near for *_, near in group)),
        )


def _part(wiring, each, numbers, found):
    cores = list(dict.fromkeys(core_name(*core) for _, _, core, _ in found))
    tags = listed(dict.fromkeys(device.tag for _, device, _, _ in found))
    own = listed(f"{each} {number}" for number in numbers)
    ends = {}
    for run, _, _, near in found:
        ends.setdefault(run.name, {})[wiring.name(near)] = None
    strange = listed(f"{listed(names)} of {name}" for name, names in ends.items())
    return f"{listed(cores)} {'lead' if len(cores) > 1 else 'leads'} {tags} of {own} to {strange}"


def grouped(found):
    """The strays in groups of those that have a run in common, as their own or as the one they are on."""
    groups = []
    for one in found:
        run, device, _, _ = one
        names = {run.name, *(f"{run.each} {number}" for number in numbers_of(device, run.each_of))}
        joined = [group for group in groups if group[0] & names]
        groups = [group for group in groups if not group[0] & names]
        groups.append((names.union(*(group[0] for group in joined)), [x for group in joined for x in group[1]] + [one]))
    return [group for _, group in groups]


def _names_of(found):
    """The runs that are named together with these strays: those they are on, and their own."""
    names = {run.name for run, _, _, _ in found}
    return names | {f"{run.each} {number}" for run, one, _, _ in found for number in numbers_of(one, run.each_of)}


def follows_from(wiring: TracedWiring, runs: list[Run]):
    """A test of a finding: whether it only follows from a device that is on the terminals of another run."""
    found = strays(runs)
    names = _names_of(found)
    tags = {device.tag for _, device, _, _ in found}
    ends = {
        wiring.name(key) for run in runs if run.name in names for trace in run.traces.values() for key in trace.came
    }

    cables = {
        cable.tag for run in runs if run.name in names for trace in run.traces.values() for cable in trace.cables()
    }

    def is_followed(finding: Finding) -> bool:
        if not found or finding.code not in FOLLOWS:
            return False
        values = {(figure.name, figure.value) for figure in finding.inputs}
        known = {"terminal": ends, "device": tags, "cable": cables}
        return any(value in known.get(name, ()) for name, value in values)

    return is_followed


def cores_between_runs(wiring: TracedWiring, runs: list[Run]) -> Iterator[Finding]:
    """The two ends of a core and its cable are of one output or line, where `exchanged_runs` has not told it."""
    found = strays(runs)
    told_of = _names_of(found)
    for cable, core in wiring.cores:
        of = _runs_of_core(wiring, cable, core)
        if len(of) > 1 and not set(of) <= told_of:
            parts = listed(f"{at} of {run}" for run, at in of.items())
            sentence = f"{core_name(cable, core)} joins {parts}. A core serves one output or line: move the wrong end."
            ends = [key for key in (core.near, core.far) if key in wiring.terminals]
            yield told(wiring, Severity.FAIL, "wrong_run", sentence, PRACTICE, cores=[(cable, core)], terminals=ends)


def _runs_of_core(wiring, cable, core):
    of = {}
    for key in (core.near, core.far):
        terminal = wiring.terminals.get(key)
        if terminal is None:
            continue
        owner, at = wiring.owner(key), wiring.name(key)
        known = terminal if wiring.is_at_panel(key) or terminal.starts_run else owner
        if terminal.kind in (TerminalKind.OUTPUT, TerminalKind.DATA, TerminalKind.MONITOR) and known.circuit:
            of.setdefault(f"output {known.circuit}", at)
        if terminal.kind == TerminalKind.LINE and known.line:
            of.setdefault(f"line {known.line}", at)
        if terminal.kind == TerminalKind.LINK and known.link:
            of.setdefault(f"data link {known.link}", at)
    if of and (cable.circuit or cable.line):
        of.setdefault(f"output {cable.circuit}" if cable.circuit else f"line {cable.line}", f"cable {cable.tag}")
    return of
