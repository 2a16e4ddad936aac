"""Identical units of a building, which only tag, serial, terminal and a proof at the place tell apart.

Handbook process.md §2: tag on the wall ↔ serial on the unit ↔ terminal at the panel ↔ seen to move when it is driven.
"""

from dataclasses import dataclass

from django.db.models import Count, Exists, OuterRef, Prefetch, Q

from zones.models import CoreEnd, DeviceKind, Fitting, PlaceProof, Terminal

KINDS_TOLD_APART = (
    DeviceKind.ACTUATOR, DeviceKind.MANUAL_CALL_POINT, DeviceKind.SMOKE_DETECTOR, DeviceKind.HEAT_DETECTOR,
)  # fmt: skip


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
        .annotate(is_proven=Exists(PlaceProof.objects.filter(fitting=OuterRef("pk"))))
        .values("unit__product_model", "unit__maker__name", "unit__product_model__name", "position__kind")
        .annotate(total=Count("pk"), proven=Count("pk", filter=Q(is_proven=True)))
        .filter(total__gte=2)
    )
    groups = [
        IdenticalUnits(
            row["unit__product_model"], f"{row['unit__maker__name']} {row['unit__product_model__name']}",
            row["position__kind"], row["total"], row["proven"],
        )
        for row in rows
    ]  # fmt: skip
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


def with_proof(fittings):
    """Fittings in walking order with all that a row of the page shows; `place_proofs` newest first, read along."""
    proofs = PlaceProof.objects.select_related("by").order_by("-at", "-pk")
    return (
        fittings.select_related(
            "unit__product_model__maker", "position__smoke_zone", "position__panel__position",
            "position__actuator_circuit__panel__position", "position__detection_line__panel__position",
        )
        .prefetch_related(Prefetch("place_proofs", proofs))
        .order_by("position__walking_order", "position__tag_key")
    )  # fmt: skip


def without_proof(fittings):
    return fittings.filter(~Exists(PlaceProof.objects.filter(fitting=OuterRef("pk"))))


def panel_terminals_of(positions):
    """Position → its terminals at the panel in words ("P1 -X1:1"), where it is wired; two queries for any number.

    Those of the device's own cable where it comes from the panel, else those of its circuit or line.
    """
    circuits = {position.actuator_circuit_id for position in positions} - {None}
    lines = {position.detection_line_id for position in positions} - {None}
    found = {}
    ends = CoreEnd.objects.filter(
        Q(core__cable__feeds__in=[position.pk for position in positions])
        | Q(core__cable__actuator_circuit__in=circuits)
        | Q(core__cable__detection_line__in=lines),
        terminal__panel__isnull=False,
    )
    for end in ends.select_related("core__cable", "terminal__panel__position"):
        cable = end.core.cable
        for owner in (
            ("device", cable.feeds_id),
            ("circuit", cable.actuator_circuit_id),
            ("line", cable.detection_line_id),
        ):
            found.setdefault(owner, set()).add(end.terminal)
    terminals = Terminal.objects.filter(Q(actuator_circuit__in=circuits) | Q(detection_line__in=lines))
    for terminal in terminals.select_related("panel__position"):
        found.setdefault(("circuit", terminal.actuator_circuit_id), set()).add(terminal)
        found.setdefault(("line", terminal.detection_line_id), set()).add(terminal)
    return {position.pk: _words(_terminals_of(position, found)) for position in positions}


def _terminals_of(position, found):
    if position.actuator_circuit_id:
        return found.get(("circuit", position.actuator_circuit_id), ())
    if position.detection_line_id:
        return found.get(("line", position.detection_line_id), ())
    return found.get(("device", position.pk), ())


def _words(terminals):
    in_order = sorted(terminals, key=lambda terminal: (terminal.panel.tag, terminal.order_key))
    words = {}
    for terminal in in_order:
        words.setdefault(terminal.panel.tag, []).append(str(terminal))
    return "; ".join(f"{tag} {', '.join(names)}" for tag, names in words.items())
