"""What follows from another finding is not told beside it: its remedy is the remedy of that one.

A core that is to be taken off is not asked to be completed; a break is told where it is, not at what lies behind it as
well; poles at blocks in parallel are told with them; a resistor that a broken core cuts off is not asked to be moved.
"""

from dataclasses import replace

from zones.engineering.findings import Finding
from zones.engineering.wiring.box_checks import carried_on
from zones.engineering.wiring.runs import Run
from zones.engineering.wiring.tracing import TracedWiring, core_name
from zones.engineering.wiring.wrong_runs import follows_from

BREAKS = ("wiring.core_open", "wiring.box_breaks")
# Where one of these stands on a run, a part at its end that is not joined is joined again by the same remedy.
CUTS_OFF = (*BREAKS, "wiring.kind", "wiring.not_reached", "wiring.element_place")


def once(wiring: TracedWiring, runs: list[Run], found: list[Finding]) -> list[Finding]:
    """The findings without those that follow from another."""
    to_take_off = {core_name(cable, core) for cable, core in wiring.cores if core.key in carried_on(wiring, runs)}
    broken = _named(found, *BREAKS, name="terminal")
    parallel = _named(found, "wiring.battery_parallel", name="device")
    on_green_yellow = {name.partition(".")[0] for name in _named(found, "wiring.green_yellow", name="core")}
    earthless = _named(found, "wiring.earth_missing", name="device")
    is_followed = follows_from(wiring, runs)
    kept = [
        one
        for one in found
        if not (one.code in ("wiring.core_open", "wiring.kind") and one.subject in to_take_off)
        and not (one.code == "wiring.not_reached" and _lies_behind(wiring, runs, one, broken))
        and not (one.code == "wiring.polarity" and _is_at(one, parallel))
        and not (one.code == "wiring.core_loose" and earthless and one.subject.endswith(" GNYE"))
        and not (one.code == "wiring.earth_colour" and one.subject.partition(".")[0] in on_green_yellow)
        and not is_followed(one)
    ]
    return _without_cut_off(wiring, runs, kept)


def _without_cut_off(wiring, runs, found):
    """A part that a break cuts off is told with the break, which is then shown beside its terminals too."""
    kept = {id(one): one for one in found}
    for loose in (one for one in found if one.code == "wiring.element_loose"):
        cause = next((one for one in found if one.code in CUTS_OFF and _cuts_off(wiring, runs, one, loose)), None)
        if cause is not None:
            del kept[id(loose)]
            before = kept[id(cause)]
            kept[id(cause)] = replace(before, inputs=(*before.inputs, *loose.inputs))
    return list(kept.values())


def _named(found, *codes, name):
    return {figure.value for one in found if one.code in codes for figure in one.inputs if figure.name == name}


def _lies_behind(wiring, runs, finding, broken):
    """Whether the conductor that reaches no further is broken at one of these terminals."""
    starts = {figure.value for figure in finding.inputs if figure.name == "terminal"}
    return any(
        wiring.name(key) in broken
        for run in runs
        for start in run.starts
        if wiring.name(start.key) in starts
        for key in run.traces[start.key].came
    )


def _cuts_off(wiring, runs, cause, loose):
    """Whether `cause` is told on the run to which the part at the end of the line (`loose`) is not joined."""
    own = {figure.value for figure in loose.inputs if figure.name == "terminal"}
    at = {figure.value for figure in cause.inputs if figure.name == "terminal"}
    return any(
        at & (own | {wiring.name(key) for trace in run.traces.values() for key in trace.came})
        for run in runs
        if any(wiring.name(key) in own for one in run.elements() for key in (one.first, one.second))
    )


def _is_at(finding, devices):
    ends = (str(figure.value) for figure in finding.inputs if figure.name == "terminal")
    return any(end.rpartition(" ")[0] in devices for end in ends)
