"""What a check says with the same figures of several circuits, told once with all of them.

The counts of a check stay those of its findings; only the telling is shorter.
"""

import re
from dataclasses import dataclass, replace

from zones.design_check.findings import Group, ShownFinding
from zones.engineering.findings import Severity, worst_severity

TOLD_ONCE = ("protection.", "cable.rating")


@dataclass(frozen=True, slots=True)
class AlikeFinding(ShownFinding):
    """A finding of one circuit that holds of others too; `circuits`: (name, address) of all of them."""

    circuits: tuple = ()


def told_once(checked, groups):
    """The same groups; what is alike on several circuits stands once, in a group of the panel."""
    masks = {circuit.name: _mask(circuit) for circuit in checked.design.circuits}
    found: dict[tuple, list] = {}
    for group in groups:
        for line in group.lines:
            if line.finding.code.startswith(TOLD_ONCE) and line.finding.subject in masks:
                found.setdefault(_said(line.finding, masks), []).append((group, line))
    alike = [same for same in found.values() if len(same) > 1]
    gone = {id(line) for same in alike for _, line in same}
    kept = [replace(one, lines=tuple(line for line in one.lines if id(line) not in gone)) for one in groups]
    together = [
        AlikeFinding(
            **{name: getattr(same[0][1], name) for name in ShownFinding.__slots__},
            circuits=tuple((group.heading, group.url) for group, _ in same),
        )
        for same in alike
    ]
    return _in_order([*_with(kept, checked.panel, together)])


def _with(groups, panel, lines):
    """The groups that still say something, with those of the panel for what several circuits have alike."""
    if lines:
        heading = f"{panel.tag}: protection of outputs"
        own = next((one for one in groups if one.heading == heading), Group(heading, (), panel.get_absolute_url()))
        groups = [one for one in groups if one is not own] + [replace(own, lines=_worst_first((*lines, *own.lines)))]
    return (one for one in groups if one.lines)


def _worst_first(lines):
    ranks = list(Severity)
    return tuple(sorted(lines, key=lambda line: ranks.index(line.finding.severity)))


def _in_order(groups):
    ranks = list(Severity)
    return sorted(groups, key=lambda group: ranks.index(worst_severity(line.finding for line in group.lines)))


def _mask(circuit):
    """What puts a word for a place in the names of a circuit, its runs and its actuators."""
    names = [circuit.name, *(run.name for run in circuit.runs), *(one.name for one in circuit.actuators)]
    places = {name: f"\0{k}" for k, name in reversed(list(enumerate(names)))}
    # The longest first: the name of one may begin with that of another.
    pattern = re.compile("|".join(re.escape(name) for name in sorted(places, key=len, reverse=True)))
    return lambda text: pattern.sub(lambda match: places[match[0]], text)


def _said(finding, masks):
    """A finding without the names in it."""
    mask = masks[finding.subject]
    figures = tuple(
        (mask(one.name), mask(one.value) if isinstance(one.value, str) else one.value, one.unit)
        for one in finding.inputs
    )
    return finding.code, finding.severity, mask(finding.sentence), figures
