"""Every single fault of a wiring, by class: cores off, exchanged or on another terminal, links and parts that are
missing, too many or elsewhere. Enumerated from the record alone, without asking what a check would say of it."""

from dataclasses import replace
from itertools import chain, combinations

from tests.zones.engineering.wiring.examples import swapped, with_core
from zones.engineering.wiring.wired_panel import Link

ENDS = ("near", "far")


def single_faults(right):
    """{class: [(what was done, the wiring with it)]}."""
    cores = [core for cable in right.cables for core in cable.cores]
    owners = (right.panel, *right.devices)
    return {
        "core off at one end": list(_off(right, cores)),
        "two cores of a cable exchanged": list(_exchanged(right)),
        "cores of two cables exchanged at a device": list(_exchanged_at_device(right, cores)),
        "core on another terminal of its device": list(_moved(right, cores)),
        "core on a terminal that is not recorded": [
            (f"{core.key} {end}", with_core(right, core.key, **{end: "none"})) for core, end in _ends(cores)
        ],
        "link missing": [
            (link.key, replace(right, links=tuple(one for one in right.links if one is not link)))
            for link in right.links
            if not link.is_internal
        ],
        "link too many": list(_linked(right, owners)),
        "part missing": [(one.key, _with_parts(right, one)) for one in right.end_of_line_parts],
        "part elsewhere": list(_parts_elsewhere(right, owners)),
    }


def _ends(cores):
    return [(core, end) for core in cores for end in ENDS if getattr(core, end)]


def _off(right, cores):
    for core, end in _ends(cores):
        yield f"{core.key} {end}", with_core(right, core.key, **{end: None})


def _exchanged(right):
    for cable in right.cables:
        for first, second in combinations(cable.cores, 2):
            for end in ENDS:
                if getattr(first, end) and getattr(second, end):
                    yield f"{first.key} and {second.key} {end}", swapped(right, first.key, second.key, end)


def _exchanged_at_device(right, cores):
    terminals = right.terminals()
    for (first, end), (second, other) in combinations(_ends(cores), 2):
        here, there = getattr(first, end), getattr(second, other)
        of_one_cable = first.key.partition(".")[0] == second.key.partition(".")[0]
        if not of_one_cable and terminals[here].owner == terminals[there].owner:
            changed = with_core(with_core(right, first.key, **{end: there}), second.key, **{other: here})
            yield f"{first.key} and {second.key} at {here} and {there}", changed


def _moved(right, cores):
    terminals, owners = right.terminals(), right.owners()
    for core, end in _ends(cores):
        for other in owners[terminals[getattr(core, end)].owner].terminals:
            if other.key != getattr(core, end):
                yield f"{core.key} {end} to {other.key}", with_core(right, core.key, **{end: other.key})


def _linked(right, owners):
    """A joint within one side of a device that is there is no fault; one between its two sides bridges the device."""
    there = {frozenset((one.first, one.second)) for one in right.links}
    for first, second in chain.from_iterable(combinations(owner.terminals, 2) for owner in owners):
        if frozenset((first.key, second.key)) not in there or first.passing != second.passing:
            yield (
                f"{first.key} to {second.key}",
                replace(right, links=(*right.links, Link("more", first.key, second.key))),
            )


def _with_parts(right, part, *instead):
    return replace(right, end_of_line_parts=(*(one for one in right.end_of_line_parts if one is not part), *instead))


def _parts_elsewhere(right, owners):
    for part in right.end_of_line_parts:
        for first, second in chain.from_iterable(combinations(owner.terminals, 2) for owner in owners):
            if {first.key, second.key} != {part.first, part.second}:
                moved = replace(part, first=first.key, second=second.key)
                yield f"{part.key} to {first.key} and {second.key}", _with_parts(right, part, moved)
