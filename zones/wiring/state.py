"""How complete the recorded wiring is, in one sentence for pages, drawings and schedules. Computed when read."""

from collections.abc import Iterable
from dataclasses import dataclass

from sites_registry.read_once import read_once
from zones.engineering.findings import Finding, Severity
from zones.engineering.wiring.checks import check_wiring
from zones.engineering.wiring.progress import Progress, needed_by_pattern, progress_of, together
from zones.engineering.wiring.wired_panel import WiredPanel
from zones.models import Position
from zones.models.kinds import kinds_where
from zones.wiring.records import pattern_of, wired_panel, wired_panels

NO_WIRING_OF_ITS_OWN = kinds_where(lambda facts: not facts.is_wired)


@dataclass(frozen=True, slots=True)
class WiringState:
    """Terminals wired of those needed, and findings open, of a panel or of a building."""

    wired: int
    needed: int
    findings: int
    faults: int = 0  # those of the findings that say that something is wrong, not that something is not known

    @property
    def is_complete(self) -> bool:
        """Every terminal that is needed is wired, and nothing is found of it; with nothing to wire it is not."""
        return 0 < self.needed == self.wired and not self.findings

    @property
    def state(self) -> str:
        """A key of the table of states."""
        if self.is_complete:
            return "known"
        return "fail" if self.faults else "missing"

    @property
    def word(self) -> str:
        return "complete" if self.is_complete else "incomplete"

    @property
    def whole(self) -> str:
        return f"wiring {self.word}"

    @property
    def counted(self) -> str:
        """ "12 of 64 terminals wired, 3 wiring findings open"."""
        if not self.needed:
            return "no terminal recorded"
        terminals = f"{self.wired} of {self.needed} terminal{'' if self.needed == 1 else 's'} wired"
        return f"{terminals}, {self.findings or 'no'} wiring finding{'' if self.findings == 1 else 's'} open"

    def notice(self, day) -> str:
        """What is stamped on a drawing or schedule made on a day; "" when it is complete."""
        return "" if self.is_complete else f"Incomplete: {self.counted}, as of {day:%-d %b %Y}."


@read_once
def state_of_panel(panel) -> WiringState:
    """The wiring of one panel; as many queries as `wired_panel`."""
    return state_of([wired_panel(panel)])


@read_once
def state_of_building(building, panels: Iterable[WiredPanel] | None = None) -> WiringState:
    """The wiring of a building, all panels; a fixed number of queries for any number of them.

    `panels` where the caller has read them already.
    """
    panels = wired_panels(building) if panels is None else panels
    return state_of(panels, more=[_on_no_panel(building)])


def states_of_panels(building) -> dict[int, WiringState]:
    """The wiring of each panel of a building by the key of its position; a fixed number of queries."""
    return {int(wired.panel.key[1:]): state_of([wired]) for wired in wired_panels(building)}


def state_of(panels: Iterable[WiredPanel], *, findings: Iterable[Finding] | None = None, more=()) -> WiringState:
    """The wiring of these panels; `findings` where the caller has them already."""
    panels = list(panels)
    if findings is None:
        findings = [finding for wired in panels for finding in check_wiring(wired)]
    # What two panels say of a cable between them is said once.
    said = {finding.sentence: finding for finding in findings}.values()
    progress = together([*(progress_of(wired) for wired in panels), *more])
    faults = sum(finding.severity == Severity.FAIL for finding in said)
    return WiringState(progress.wired_count, progress.needed_count, len(said), faults)


def _on_no_panel(building) -> Progress:
    """Devices that nobody has put on a panel: none of their terminals is wired to one."""
    loose = Position.objects.in_use().filter(building=building, panel=None).on_no_run()
    loose = loose.exclude(kind__in=NO_WIRING_OF_ITS_OWN).select_related("product_model")
    return Progress(unrecorded=tuple((f"d{one.pk}", needed_by_pattern(pattern_of(one))) for one in loose))
