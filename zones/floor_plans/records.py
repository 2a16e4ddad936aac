"""What pages and papers show of plans: pins and lists of one plan, an overview of all storeys of a building."""

from dataclasses import dataclass, field

from django.db.models import Count, F, Q
from django.utils.formats import date_format

from sites_registry.history import CHANGES_SHOWN, by_day_and_person
from zones.floor_plans.places import positions_of
from zones.models import FloorPlan, PlanPlace, Position
from zones.positions.edits import storey_rank


@dataclass
class PlanRecord:
    """A plan with the positions of its storey: those with a place on it, those without, and places of none of them."""

    plan: FloorPlan
    placed: list  # PlanPlace, each with its position
    unplaced: list  # Position
    strays: list = field(default_factory=list)  # PlanPlace of a position that is of another storey, or no longer used

    @property
    def words(self):
        """ "Revision 2, A-102, drawn 3 Oct 2026"."""
        drawn = self.plan.drawn_on and f"drawn {date_format(self.plan.drawn_on)}"
        return ", ".join(filter(None, (f"Revision {self.plan.revision}", self.plan.title, drawn)))

    @property
    def total(self):
        return len(self.placed) + len(self.unplaced)

    @property
    def to_confirm(self):
        return [place for place in self.placed if place.confirmed_at is None]


def plan_record(plan):
    """Two queries, for any number of positions."""
    positions = {one.pk: one for one in positions_of(plan).select_related("smoke_zone").order_by("tag_key", "pk")}
    places = plan.places.select_related("position", "placed_by", "confirmed_by").order_by("position__tag_key", "pk")
    record = PlanRecord(plan, [], [])
    for place in places:
        if place.position_id in positions:
            place.position = positions.pop(place.position_id)
            record.placed.append(place)
        else:
            record.strays.append(place)
    record.unplaced = list(positions.values())
    return record


def changes_of_places(plan):
    """The newest changes of places on a plan, as `templates/components/changes.html` shows them; two queries."""
    rows = list(
        PlanPlace.history.filter(plan=plan).select_related("history_user").order_by("-history_date", "-history_id")
    )
    tags = dict(Position.objects.filter(pk__in={row.position_id for row in rows}).values_list("pk", "tag"))
    changes, newer = [], []
    before = {}
    for row in reversed(rows):
        newer.append((row, before.get(row.position_id)))
        before[row.position_id] = row
    for row, earlier in newer[: -CHANGES_SHOWN - 1 : -1]:
        words = f"{tags.get(row.position_id, 'A position')} {_what_happened(row, earlier)}."
        changes.append(
            {
                "when": row.history_date,
                "who": row.history_user,
                "why": "",
                "is_first": True,
                "first_words": words,
                "what": [],
            }
        )
    return by_day_and_person(changes)


def _what_happened(row, earlier):
    """In words; `earlier` is how the same place stood before."""
    if row.history_type == "-":
        return "taken off the plan"
    at = f"at {row.x * 100:.1f} % from the left, {row.y * 100:.1f} % from the top"
    if row.history_type == "+":
        return f"placed {at}" if row.confirmed_at else f"carried over {at}"
    return "confirmed where it was" if (row.x, row.y) == (earlier.x, earlier.y) else f"moved, now {at}"


@dataclass(frozen=True)
class StoreyRow:
    """A storey of a building: its plan in force or None, how many positions it has, how many of them are placed."""

    storey: str
    plan: FloorPlan | None
    positions: int
    placed: int = 0
    to_confirm: int = 0

    @property
    def unplaced(self):
        return self.positions - self.placed


def storeys_of(building):
    """Every storey that a position names or a plan is of, from the lowest; two queries."""
    counts = dict(
        building.positions.in_use().order_by().values("storey").annotate(many=Count("pk")).values_list("storey", "many")
    )
    here = Q(places__position__retired_on=None, places__position__storey=F("storey"))
    plans = {
        plan.storey: plan
        for plan in building.floor_plans.in_force().annotate(
            placed=Count("places", filter=here),
            to_confirm=Count("places", filter=here & Q(places__confirmed_at=None)),
        )
    }
    rows = []
    for storey in sorted(counts.keys() | plans.keys(), key=lambda storey: (storey_rank(storey), storey)):
        plan = plans.get(storey)
        numbers = (plan.placed, plan.to_confirm) if plan else (0, 0)
        rows.append(StoreyRow(storey, plan, counts.get(storey, 0), *numbers))
    return rows
