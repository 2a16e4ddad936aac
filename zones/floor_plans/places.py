"""Places on a plan: placed, moved, taken off, confirmed; several at once, all or none."""

from dataclasses import dataclass

from django.db import transaction
from django.db.models import Count
from django.utils import timezone

from zones.engineering.plan_geometry import GeometryError, spread_along
from zones.floor_plans.rasterising import PlanRefused
from zones.models import FloorPlan, PlanPlace

MOST_AT_ONCE = 500
CHANGED_MEANWHILE = (
    "{tag} was placed, moved or taken off by somebody else meanwhile. Nothing was stored. Look where it is "
    "now, then place it again."
)


@dataclass(frozen=True, slots=True)
class Move:
    """Where a position is to be; without x and y it is taken off.

    `seen_version` is the `row_version` of the place that the person saw, None where they saw none.
    """

    position_pk: int
    x: float | None = None
    y: float | None = None
    seen_version: int | None = None


@transaction.atomic
def change_places(*, plan, by, moves):
    """Place, move or take off; whoever places a position confirms it there. Returns the places as they stand now.

    Raises PlanRefused: a position of another storey, a point beside the plan, or somebody was quicker.
    """
    if not 0 < len(moves) <= MOST_AT_ONCE:
        raise PlanRefused(f"{len(moves)} places were sent. Send from 1 to {MOST_AT_ONCE} at once.")
    plan = _locked(plan)
    positions = positions_of(plan).in_bulk([move.position_pk for move in moves])
    standing = {place.position_id: place for place in plan.places.select_related("position")}
    before = _changes_before(plan)
    for move in moves:
        place = standing.get(move.position_pk)
        position = positions.get(move.position_pk) or (place.position if place and move.x is None else None)
        if position is None:
            raise PlanRefused(f"Position {move.position_pk} is not of the storey of this plan. Reload the page.")
        if (place.row_version if place else None) != move.seen_version:
            raise PlanRefused(CHANGED_MEANWHILE.format(tag=position.tag), field="conflict")
        if move.x is None:
            if place:
                place._history_user = by
                place.delete()
            standing.pop(move.position_pk, None)
        else:
            if place is None:
                place = PlanPlace(plan=plan, position=position)
                place.count_from(before.get(position.pk, 0))
            standing[move.position_pk] = _put(place, move, by)
    return list(standing.values())


def _changes_before(plan):
    """How often each place was changed: one taken off and placed again goes on counting, so that nobody who saw the
    former takes it for the same."""
    changes = PlanPlace.history.filter(plan=plan).order_by().values("position").annotate(many=Count("pk"))
    return dict(changes.values_list("position", "many"))


def _put(place, move, by):
    if not (0 <= move.x <= 1 and 0 <= move.y <= 1):
        raise PlanRefused(
            f"{place.position.tag} would lie beside the plan ({move.x * 100:.0f} %, {move.y * 100:.0f} %). "
            "Both lie between 0 and 100 %."
        )
    place.x, place.y = move.x, move.y
    place.placed_by = place.confirmed_by = by
    place.placed_at = place.confirmed_at = timezone.now()
    place._history_user = by
    place.save()
    return place


def moves_of_run(plan, *, first_pk, last_pk, points):
    """The moves that spread the positions of a storey from one tag to another along a line; Raises PlanRefused.

    The positions between are those that follow in the order of tags; the first lies at the start of the line.
    """
    ordered = list(positions_of(plan).order_by("tag_key", "pk"))
    place_of = {position.pk: number for number, position in enumerate(ordered)}
    if first_pk not in place_of or last_pk not in place_of:
        raise PlanRefused("Choose the first and the last position of the run among those of this storey.")
    first, last = place_of[first_pk], place_of[last_pk]
    run = ordered[first : last + 1] if first <= last else ordered[last : first + 1][::-1]
    try:
        spread = spread_along(points, len(run))
    except GeometryError as error:
        raise PlanRefused(str(error)) from error
    standing = dict(plan.places.values_list("position", "row_version"))
    return [Move(position.pk, x, y, standing.get(position.pk)) for position, (x, y) in zip(run, spread, strict=True)]


@transaction.atomic
def confirm_places(*, plan, by, position_pks=None):
    """Say that carried-over places are right on this revision; all of them unless named. Returns how many were."""
    plan = _locked(plan)
    places = plan.places.to_confirm()
    if position_pks is not None:
        places = places.filter(position__in=position_pks)
    standing = list(places)
    for place in standing:
        place.confirmed_by, place.confirmed_at = by, timezone.now()
        place._history_user = by
        place.save(update_fields=["confirmed_by", "confirmed_at"])
    return len(standing)


def positions_of(plan):
    """Positions in use of the storey of a plan."""
    return plan.building.positions.in_use().filter(storey=plan.storey)


def _locked(plan):
    # SQLite ignores row locks; there the immediate transaction makes the second person wait.
    plan = FloorPlan.objects.select_for_update(of=("self",)).select_related("building").get(pk=plan.pk)
    if not plan.is_in_force:
        raise PlanRefused(f"{plan} is not in force any more. Place positions on the plan that is.")
    return plan
