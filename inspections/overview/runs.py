"""What the page of a circuit or a line shows beside its answers: its members, its cables, its neighbours."""

from dataclasses import dataclass
from decimal import Decimal

from zones.models import Position


@dataclass(frozen=True, slots=True)
class Cables:
    """The cable runs, how long they are together, and of how many the length is not known."""

    rows: list
    total_m: Decimal
    unknown: int


def members_of(run):
    """Positions on a circuit or line that are in use, a queryset; the order is that of the cable."""
    positions = Position.objects.in_use().with_serial().select_related("smoke_zone", "vent", "product_model__maker")
    return positions.filter(pk__in=run.positions.values("pk")).order_by("order_on_line", "tag_key")


def cables_of(run):
    """The cable runs of a circuit or line; one query."""
    rows = list(run.cables.select_related("upstream", "feeds", "far_box").order_by("pk"))
    lengths = [cable.length_m for cable in rows if cable.length_m is not None]
    return Cables(rows, sum(lengths, Decimal(0)), len(rows) - len(lengths))


def neighbours_of(run, runs):
    """The circuit or line before this one and the one after it, by number; one query. `runs`: all of the panel."""
    keys = list(runs.order_by("number").values_list("pk", "number"))
    here = [pk for pk, _ in keys].index(run.pk)
    return {
        "before": keys[here - 1] if here else None,
        "after": keys[here + 1] if here + 1 < len(keys) else None,
    }
