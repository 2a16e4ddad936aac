"""What is known of a position, for whoever stands before it: its readings over the years, units, last defects,
terminals; what opens when it is operated; what the meter should read at its line.
"""

from dataclasses import dataclass
from functools import cached_property

from django.urls import reverse

from inspections.models import Defect, TestPoint
from inspections.models.protocols import number_text
from inspections.trends.records import belongs_to_line, read_rules, readings, trends_of_positions
from zones.cause_and_effect.records import panel_logic
from zones.cause_and_effect.when_operated import when_operated
from zones.engineering.cause_and_effect import RuleSetError, Simulation
from zones.models import ControlPanel, CoreEnd, Fitting
from zones.wiring.terminals import full_name

DEFECTS_SHOWN, UNITS_SHOWN, LINE_RESISTANCE = 5, 6, "end-of-line-resistance"


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


class Memory:
    """What is known of the positions of one visit; what is of a panel is read once for all of them."""

    def __init__(self, visit):
        self.visit = visit
        self._logic = {}

    def of(self, position, points):
        """`Known` of a position; the same number of queries for each, once its panel is read.

        Args:     points: test points of this visit that are done there.
        """
        read = readings(TestPoint.objects.filter(position=position))
        trends = trends_of_positions({position.pk: position}, read, self.visit.building.inspection_interval_months)
        read_rules(trends)
        defects = Defect.objects.filter(position=position).order_by("-found_at", "-pk")
        units = Fitting.objects.filter(position=position).select_related("unit__product_model__maker")
        operated, not_told = self._operated(position)
        return Known(
            trends=[(one, None if one.is_single else one.plot(f"known-{one.newest.pk}")) for one in trends],
            units=list(units.order_by("-fitted_on", "-pk")[:UNITS_SHOWN]),
            defects=list(defects.select_related("found_on", "closed_by_result")[:DEFECTS_SHOWN]),
            wires=wires_at(position),
            operated=operated,
            not_told=not_told,
            line=line_here(position, points),
        )

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


def _logic_of(panel):
    """(logic, simulation, why it cannot be followed) of a panel."""
    read = panel_logic(panel)
    try:
        return read, Simulation(read.ruleset), ""
    except RuleSetError as error:
        return read, None, str(error)


def _panel_of(position):
    """Key of the panel that a position hangs on, or None."""
    if position.panel_id:
        return position.panel_id
    if position.detection_line_id:
        return position.detection_line.panel_id
    if position.data_link_id:
        return position.data_link.panel_id
    wired = position.wired_inputs.values_list("input_port__panel", flat=True).first()
    return wired or (position.smoke_zone.panel_id if position.smoke_zone_id else None)


def wires_at(position):
    """Which terminal takes which core, in the order of the terminals; two queries."""
    ends = (
        CoreEnd.objects.filter(terminal__position=position)
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
    return [
        Wire(
            terminal=str(end.terminal),
            cable=end.core.cable.tag,
            core=end.core.colour or f"core {end.core.number}",
            far=others.get((end.core_id, "far" if end.end == "near" else "near"), "not on record"),
        )
        for end in ends
    ]


def line_here(position, points):
    """What the meter should read at the line of a position, as the newest test point of the line says; one query."""
    line = position.detection_line
    if line is None:
        return None
    asked = TestPoint.objects.filter(position__detection_line=line, code=LINE_RESISTANCE)
    newest = asked.select_related("visit").order_by("-visit__started_at", "-pk").first()
    here = next((one for one in points if belongs_to_line(one)), None)
    read = here.latest_result.reading if here and here.latest_result else None
    return LineHere(
        name=str(line),
        reads=newest.limits_text if newest else "",
        said_on=newest.visit.started_at if newest else None,
        url=reverse("line-locate-fault", args=[line.panel_id, line.number])
        + (f"?reading_ohm={number_text(read)}k" if read is not None else ""),
        point=here and here.pk,
    )
