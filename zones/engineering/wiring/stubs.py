"""The stub of a run: the cable beyond the junction box in which its end-of-line part stands.

A break there is not reported (EN 54-2 asks for it only up to the end-of-line part), so schedules and checks state its
length.
"""

from dataclasses import dataclass

from zones.engineering.findings import listed
from zones.engineering.wiring.runs import Run
from zones.engineering.wiring.tracing import BOX
from zones.engineering.wiring.wired_panel import WiredCable, WiredDevice


@dataclass(frozen=True, slots=True)
class Stub:
    """Cables beyond a box, nearest first; `length_m` None where the length of one is not known."""

    box: WiredDevice
    cables: tuple[WiredCable, ...]

    @property
    def length_m(self) -> float | None:
        lengths = [cable.length_m for cable in self.cables]
        return None if None in lengths else sum(lengths)

    @property
    def words(self) -> str:
        """ "stub 6 m beyond JB1, not monitored"; "" where nothing is recorded beyond the box."""
        if not self.cables:
            return ""
        if self.length_m is None:
            unknown = listed(cable.tag for cable in self.cables if cable.length_m is None)
            return f"stub beyond {self.box.tag}, length of {unknown} not known, not monitored"
        return f"stub {self.length_m:g} m beyond {self.box.tag}, not monitored"


def stub_of(run: Run) -> Stub | None:
    """The stub of a run whose end-of-line part stands in a junction box; None for any other run."""
    for element in run.elements():
        box = run.wiring.owner(element.first)
        if box is not None and box.kind == BOX:
            return Stub(box, tuple(_beyond(run, box)))
    return None


def _beyond(run: Run, box: WiredDevice):
    """Cables that lead on from the box, away from where the run starts, each once."""
    reached, found, edges = [box.key], {}, run.edges().values()
    far = run.distances()
    for here in reached:
        for cable, one, other in edges:
            there = {one: other, other: one}.get(here)
            if there is not None and there not in reached and far.get(there, 0) > far.get(here, 0):
                found[cable.key] = cable
                reached.append(there)
    return found.values()
