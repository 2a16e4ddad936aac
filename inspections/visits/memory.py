"""What is known of a position, for whoever stands before it: its readings over the years, units, last defects,
terminals; what opens when it is operated; what the meter should read at its line.
"""

from collections import defaultdict
from dataclasses import dataclass
from functools import cached_property

from django.db.models import OuterRef, Subquery, prefetch_related_objects
from django.urls import reverse

from inspections.models import Defect, TestPoint
from inspections.models.protocols import number_text
from inspections.trends.records import belongs_to_line, read_rules, readings, trends_of_positions
from zones.cause_and_effect.records import panel_logic
from zones.cause_and_effect.when_operated import when_operated
from zones.engineering.cause_and_effect import RuleSetError, Simulation
from zones.models import ControlPanel, CoreEnd, DetectionLine, Fitting
from zones.wiring.terminals import full_name

DEFECTS_SHOWN, UNITS_SHOWN, LINE_RESISTANCE = 5, 6, "end-of-line-resistance"
PREFIX_OF_UNIT = {"kΩ": "k", "Ω": ""}
# Of a position: by what it hangs on a panel.
READ_ALONG = ("detection_line__panel__position", "data_link", "smoke_zone", "wired_inputs__input_port")


@dataclass(frozen=True)
class Wire:
    """A core on a terminal of the position, or on one of the panel for it, with where it goes."""

    terminal: str
    cable: str
    core: str
    far: str


@dataclass(frozen=True)
class Known:
    """All that the fold of a position shows."""

    trends: list  # (CheckTrend, plot or None)
    units: list
    defects: list
    wires: list
    operated: list  # WhenOperated
    not_told: str  # why `operated` says nothing, where it should
    line: "LineHere | None"


@dataclass(frozen=True)
class LineHere:
    """The line of a position: what the meter should read at its terminals, and the way into the search for a fault."""

    name: str
    reads: str
    said_on: object
    url: str
    point: int | None  # the test point of this page where that is read
    prefix: str  # of the unit in which it is read, as the search writes readings: "k"


class Memory:
    """What is known of the positions of one visit; what is of a panel is read once for all of them."""

    def __init__(self, visit):
        self.visit = visit
        self._logic = {}

    def of(self, position, points):
        """`Known` of one position.

        Args:     points: test points of this visit that are done there.
        """
        return self.of_many([(position, points)])[0]

    def of_many(self, asked):
        """`Known` of each (position, points) in turn; the same number of queries for one and for many."""
        positions = {position.pk: position for position, _ in asked}
        prefetch_related_objects(list(positions.values()), *READ_ALONG)
        trends = self._trends(positions)
        defects = Defect.objects.filter(position__in=positions).order_by("-found_at", "-pk")
        defects = _by_position(defects.select_related("found_on", "closed_by_result"))
        units = Fitting.objects.filter(position__in=positions).order_by("-fitted_on", "-pk")
        units = _by_position(units.select_related("unit__product_model__maker"))
        wires = wires_at(positions)
        newest = _newest_of_lines({one.detection_line_id for one in positions.values()} - {None})
        found = []
        for position, points in asked:
            operated, not_told = self._operated(position)
            found.append(
                Known(
                    trends=trends[position.pk],
                    units=units[position.pk][:UNITS_SHOWN],
                    defects=defects[position.pk][:DEFECTS_SHOWN],
                    wires=wires[position.pk],
                    operated=operated,
                    not_told=not_told,
                    line=_line_here(position, points, newest),
                )
            )
        return found

    def _trends(self, positions):
        """Key of a position → its (CheckTrend, plot or None), the worst first."""
        read = readings(TestPoint.objects.filter(position__in=positions))
        trends = trends_of_positions(positions, read, self.visit.building.inspection_interval_months)
        read_rules(trends)
        found = defaultdict(list)
        for one in trends:
            plot = None if one.is_single else one.plot(f"known-{one.newest.pk}")
            found[one.position.pk].append((one, plot))
        return found

    def _operated(self, position):
        panel = self._panels.get(_panel_of(position))
        if not position.facts.input_kind:
            return [], ""
        if panel is None:
            return [], "It hangs on no panel on record."
        if panel.pk not in self._logic:
            self._logic[panel.pk] = _logic_of(panel)
        read, simulation, fault = self._logic[panel.pk]
        if fault:
            return [], f"The rules of {panel.tag} cannot be followed: {fault}"
        found = when_operated(read, simulation, position)
        return found, "" if found else f"It is no input of {panel.tag} on record."

    @cached_property
    def _panels(self):
        return {
            panel.pk: panel
            for panel in ControlPanel.objects.filter(building=self.visit.building_id).select_related("position")
        }


def _by_position(rows):
    found = defaultdict(list)
    for row in rows:
        found[row.position_id].append(row)
    return found


def _logic_of(panel):
    """(logic, simulation, why it cannot be followed) of a panel."""
    read = panel_logic(panel)
    try:
        return read, Simulation(read.ruleset), ""
    except RuleSetError as error:
        return read, None, str(error)


def _panel_of(position):
    """Key of the panel that a position hangs on, or None; its `READ_ALONG` have been read."""
    if position.panel_id:
        return position.panel_id
    if position.detection_line_id:
        return position.detection_line.panel_id
    if position.data_link_id:
        return position.data_link.panel_id
    wired = [one.input_port.panel_id for one in position.wired_inputs.all()]
    return next(iter(wired), None) or (position.smoke_zone.panel_id if position.smoke_zone_id else None)


def wires_at(positions):
    """Key of a position → which of its terminals takes which core, in their order; two queries for all of them."""
    ends = (
        CoreEnd.objects.filter(terminal__position__in=positions)
        .select_related("terminal__panel__position", "terminal__position", "core__cable")
        .order_by("terminal__order_key", "slot")
    )
    ends = list(ends)
    others = {
        (one.core_id, one.end): full_name(one.terminal)
        for one in CoreEnd.objects.filter(core__in=[end.core_id for end in ends]).select_related(
            "terminal__panel__position", "terminal__position"
        )
    }
    found = defaultdict(list)
    for end in ends:
        found[end.terminal.position_id].append(
            Wire(
                terminal=str(end.terminal),
                cable=end.core.cable.tag,
                core=end.core.colour or f"core {end.core.number}",
                far=others.get((end.core_id, "far" if end.end == "near" else "near"), "not on record"),
            )
        )
    return found


def _newest_of_lines(lines):
    """Key of a line → the newest test point at which its resistance was asked; one query for all of them."""
    if not lines:
        return {}
    asked = TestPoint.objects.filter(position__detection_line=OuterRef("pk"), code=LINE_RESISTANCE)
    newest = asked.order_by("-visit__started_at", "-pk").values("pk")[:1]
    keys = DetectionLine.objects.filter(pk__in=lines).values(newest=Subquery(newest))
    points = TestPoint.objects.filter(pk__in=keys).select_related("visit", "position")
    return {point.position.detection_line_id: point for point in points}


def _line_here(position, points, newest):
    """What the meter should read at the line of a position; None where it is on none."""
    line = position.detection_line
    if line is None:
        return None
    said = newest.get(line.pk)
    here = next((one for one in points if one.unit in PREFIX_OF_UNIT and belongs_to_line(one)), None)
    prefix = PREFIX_OF_UNIT[here.unit] if here else ""
    read = here.latest_result.reading if here and here.latest_result else None
    return LineHere(
        name=str(line),
        reads=said.limits_text if said else "",
        said_on=said.visit.started_at if said else None,
        url=reverse("line-locate-fault", args=[line.panel_id, line.number])
        + (f"?reading_ohm={number_text(read)}{prefix}" if read is not None else ""),
        point=here and here.pk,
        prefix=prefix,
    )
