"""The plan of a storey on a visit: how far the tests at each position are, and the way from one to the next."""

from collections import Counter
from dataclasses import dataclass

from inspections.visits.walk import Walk
from zones.floor_plans.pins import PlanDrawing, pin_of
from zones.models import FloorPlan


@dataclass(frozen=True)
class PlanOfVisit:
    """A plan with the stops of a walk that are on its storey; `unplaced` are those without a place on it."""

    drawing: PlanDrawing
    stops: tuple
    unplaced: tuple

    @property
    def total(self):
        return sum(stop.total for stop in self.stops)

    @property
    def remaining(self):
        return self.total - sum(stop.done for stop in self.stops)


def plan_of_visit(plan: FloorPlan, walk: Walk):
    """The plan of one storey; one query beside those of the walk."""
    places = {place.position_id: place for place in plan.places.of_its_storey().select_related("position", "plan")}
    numbered = [
        (number, stop) for number, stop in enumerate(walk.stops, start=1) if stop.position.storey == plan.storey
    ]
    asked = Counter(stop.position.pk for _, stop in numbered)
    # A panel that is come back to has two stops at one place: its pin leads to the first that is not done.
    route, pins = [], {}
    for number, stop in numbered:
        place = places.get(stop.position.pk)
        if place is None:
            continue
        pin = _pin(place, number, stop)
        route.append(pin)
        if stop.position.pk not in pins or pins[stop.position.pk].stop.is_done:
            pins[stop.position.pk] = pin
    others = [pin_of(place, words="not on this visit") for key, place in places.items() if key not in asked]
    stops = tuple(stop for _, stop in numbered)
    unplaced = tuple(stop for stop in stops if stop.position.pk not in places)
    return PlanOfVisit(PlanDrawing(plan, [*others, *pins.values()], tuple(route)), stops, unplaced)


def _pin(place, number, stop):
    is_begun = stop.state == "under_way"
    return pin_of(
        place,
        url=stop.url,
        state=stop.state,
        words=stop.word,
        short=f"{stop.done}/{stop.total}" if is_begun else "",
        number=number,
        stop=stop,
    )
