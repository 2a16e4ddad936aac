"""Identical units of a building, which only tag, serial, terminal and a confirmation at the place tell apart.

Handbook process.md §2: tag on the wall ↔ serial on the unit ↔ terminal at the panel ↔ seen to move when it is driven.
"""

from dataclasses import dataclass

from django.db.models import Count, Exists, OuterRef, Prefetch, Q

from zones.models import CoreEnd, DeviceKind, Fitting, LinkEntry, PlaceConfirmation, Terminal
from zones.models.kinds import kinds_where

KINDS_TOLD_APART = kinds_where(lambda facts: facts.is_mixed_up)


@dataclass(frozen=True)
class IdenticalUnits:
    """Units of one product model that are fitted at two or more positions of a building."""

    product_model: int
    name: str
    kind: str
    total: int
    proven: int

    @property
    def remaining(self):
        return self.total - self.proven

    @property
    def kind_words(self):
        return DeviceKind(self.kind).label


def fittings_to_tell_apart(building):
    """Open fittings of the kinds that are mixed up, at positions in use."""
    return Fitting.objects.open().filter(
        position__building=building, position__retired_on=None, position__kind__in=KINDS_TOLD_APART
    )


def groups_of(building):
    """The groups of identical units of a building, by kind and name; one query."""
    rows = (
        fittings_to_tell_apart(building)
        .order_by()
        .annotate(is_proven=Exists(PlaceConfirmation.objects.filter(fitting=OuterRef("pk"))))
        .values("unit__product_model", "unit__maker__name", "unit__product_model__name", "position__kind")
        .annotate(total=Count("pk"), proven=Count("pk", filter=Q(is_proven=True)))
        .filter(total__gte=2)
    )
    groups = [
        IdenticalUnits(
            row["unit__product_model"],
            f"{row['unit__maker__name']} {row['unit__product_model__name']}",
            row["position__kind"],
            row["total"],
            row["proven"],
        )
        for row in rows
    ]
    return sorted(groups, key=lambda group: (KINDS_TOLD_APART.index(group.kind), group.name))


def progress_of(building):
    """(told apart, all) over the identical units of a building; one query."""
    groups = groups_of(building)
    return sum(group.proven for group in groups), sum(group.total for group in groups)


def identical_units_of(fitting):
    """Open fittings of the same product model at other positions of the building; none for a kind not mixed up."""
    building = fitting.position.building_id
    others = fittings_to_tell_apart(building).filter(unit__product_model=fitting.unit.product_model_id)
    if fitting.position.kind not in KINDS_TOLD_APART:
        return others.none()
    return others.exclude(pk=fitting.pk)


def with_confirmation(fittings):
    """Fittings in walking order with what a row of the page shows; `place_confirmations` newest first, read along."""
    confirmations = PlaceConfirmation.objects.select_related("by").order_by("-at", "-pk")
    return (
        fittings.select_related(
            "unit__product_model__maker",
            "position__smoke_zone",
            "position__panel__position",
            "position__actuator_circuit__panel__position",
            "position__detection_line__panel__position",
            "position__data_link__panel__position",
        )
        .prefetch_related(Prefetch("place_confirmations", confirmations))
        .order_by("position__walking_order", "position__tag_key")
    )


def without_confirmation(fittings):
    return fittings.filter(~Exists(PlaceConfirmation.objects.filter(fitting=OuterRef("pk"))))


def panel_terminals_of(positions):
    """Position → the terminals where its run starts in words ("P1 -X1:1", at a device "CP1 -X3:1"), where it is wired.

    Those of its circuit, line or data link, on a link with the number that the panel gave; else those of the panel to
    which its own cable leads. Three queries for any number.
    """
    keys = {
        name: {getattr(position, f"{name}_id") for position in positions} - {None}
        for name in ("actuator_circuit", "detection_line", "data_link")
    }
    found = {}
    ends = CoreEnd.objects.filter(
        Q(core__cable__feeds__in=[position.pk for position in positions])
        | Q(core__cable__actuator_circuit__in=keys["actuator_circuit"])
        | Q(core__cable__detection_line__in=keys["detection_line"]),
        terminal__panel__isnull=False,
    )
    for end in ends.select_related("core__cable", "terminal__panel__position"):
        cable = end.core.cable
        for owner in (
            ("device", cable.feeds_id),
            ("actuator_circuit", cable.actuator_circuit_id),
            ("detection_line", cable.detection_line_id),
        ):
            found.setdefault(owner, set()).add(end.terminal)
    starts = Q(pk__in=())
    for name, numbers in keys.items():
        starts |= Q(**{f"{name}__in": numbers})
    for terminal in Terminal.objects.filter(starts).select_related("panel__position", "position"):
        for name in keys:
            found.setdefault((name, getattr(terminal, f"{name}_id")), set()).add(terminal)
    entries = LinkEntry.objects.filter(position__in=[one.pk for one in positions if one.data_link_id])
    given = dict(entries.exclude(number_given=None).values_list("position", "number_given"))
    return {position.pk: _words(_terminals_of(position, found), given.get(position.pk)) for position in positions}


def _terminals_of(position, found):
    for name in ("actuator_circuit", "detection_line", "data_link"):
        if key := getattr(position, f"{name}_id"):
            return found.get((name, key), ())
    return found.get(("device", position.pk), ())


def _words(terminals, number_given):
    owners = [((terminal.panel or terminal.position).tag, terminal) for terminal in terminals]
    words = {}
    for tag, terminal in sorted(owners, key=lambda pair: (pair[0], pair[1].order_key)):
        words.setdefault(tag, []).append(str(terminal))
    said = [f"{tag} {', '.join(names)}" for tag, names in words.items()]
    said += [f"number {number_given} at the panel"] if number_given is not None else []
    return "; ".join(said)
