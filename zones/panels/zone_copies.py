"""Duplicating a zone: its groups, vents and positions under new tags, all or nothing."""

from dataclasses import dataclass, field

from django.db import transaction
from django.db.models import Max

from sites_registry.services.refusals import Refused
from zones.engineering.area_methods import INPUT_QUANTITIES
from zones.engineering.natural_order import natural_key
from zones.models import DeviceKind, Position, SmokeZone, Vent, VentGroup
from zones.models.vent_loads import CLASSES, LOADS

MOST_COPIES = 50
MOST_POSITIONS = 2_000
TAG_LENGTH = Position._meta.get_field("tag").max_length
NAME_LENGTH = SmokeZone._meta.get_field("name").max_length
STOREY_LENGTH = SmokeZone._meta.get_field("storey").max_length
COPIED_OF_ZONE = (
    "building",
    "panel",
    "extent",
    "required_area_m2",
    "required_area_kind",
    "required_area_source",
    "area_method",
    *INPUT_QUANTITIES,
    "inlet_ratio",
    "inlet_ratio_kind",
    "needs_no_inlets",
    "needs_automatic_detection",
    "lockout_group",
)
COPIED_OF_VENT = (
    "purpose",
    "opened_by",
    "leaf",
    "width_mm",
    "height_mm",
    "fixing_distance_mm",
    "reveal_mm",
    "sides_blocked",
    "blades",
    "blade_pitch_mm",
    "blade_thickness_mm",
    "blade_angle_deg",
    "discharge_coefficient",
    "coefficient_is_tested",
    "tested_angle_deg",
    "geometric_area_m2",
    "aerodynamic_area_m2",
    "declaration_reference",
    "leaf_mass_kg",
    "installed_deg",
    "hinge_at",
    "opens_inwards",
    "bracket_from_hinge_mm",
    "bracket_depth_mm",
    *LOADS,
    *CLASSES,
)
# Circuit, line and order are not copied: the new zone's devices are on other outputs and inputs.
COPIED_OF_POSITION = ("building", "kind", "product_model", "room", "place", "access_need", "panel")


class ZoneNotDuplicated(Refused):
    """`reasons`: what clashes, as sentences for the user."""


@dataclass
class ZoneCopy:
    """One planned copy: new number, name and storey, and (record, new tag) of what comes with it."""

    number: int
    name: str
    storey: str
    vents: list = field(default_factory=list)
    positions: list = field(default_factory=list)


@dataclass
class CopyPlan:
    """What a duplication would make, and what stands against it."""

    copies: list
    groups: list
    reasons: list

    @property
    def positions_count(self):
        return sum(len(copy.positions) for copy in self.copies)


def filled(pattern, number):
    """A pattern with {number} replaced: "Z{number}-" → "Z4-"."""
    return pattern.replace("{number}", str(number))


def plan_copies(*, zone, numbers, name, storey, tag_from, tag_to):
    """Plan copies of a zone; changes nothing. `name`, `storey` and `tag_to` may hold {number}."""
    groups = list(zone.vent_groups.order_by("number"))
    vents = sorted(zone.vents.all(), key=lambda vent: natural_key(vent.tag))
    positions = list(
        zone.positions.in_use().exclude(kind=DeviceKind.CONTROL_PANEL).in_walking_order().select_related("vent")
    )
    copies = []
    for number in numbers:
        new_part = filled(tag_to, number)
        copies.append(
            ZoneCopy(
                number,
                filled(name, number),
                filled(storey, number),
                [(vent, vent.tag.replace(tag_from, new_part)) for vent in vents],
                [(position, position.tag.replace(tag_from, new_part)) for position in positions],
            )
        )
    plan = CopyPlan(copies, groups, [])
    plan.reasons = _reasons_against(zone, plan, tag_from)
    return plan


def _reasons_against(zone, plan, tag_from):
    reasons = []
    numbers = [copy.number for copy in plan.copies]
    for taken in zone.building.smoke_zones.filter(number__in=numbers).order_by("number"):
        reasons.append(f"Zone number {taken.number} is taken by '{taken.name}'. Choose another number.")
    if plan.positions_count > MOST_POSITIONS:
        return [*reasons, f"{plan.positions_count} positions at once are too many; at most {MOST_POSITIONS}."]
    if plan.copies:
        unmatched = [position.tag for position, _ in plan.copies[0].positions if tag_from not in position.tag]
        if unmatched:
            reasons.append(
                f"'{tag_from}' does not occur in {_listed(unmatched)}, so the copy would have the same tag. "
                "Choose a part that all tags of the zone share."
            )
            return reasons
    for copy in plan.copies:
        if len(copy.name) > NAME_LENGTH or len(copy.storey) > STOREY_LENGTH:
            reasons.append(f"Name or storey of zone {copy.number} is too long.")
    new_tags = [tag for copy in plan.copies for _, tag in copy.positions]
    return reasons + _reasons_of_tags(zone, new_tags, [tag for copy in plan.copies for _, tag in copy.vents])


def _reasons_of_tags(zone, new_tags, vent_tags):
    reasons = []
    too_long = [tag for tag in {*new_tags, *vent_tags} if len(tag) > TAG_LENGTH]
    if too_long:
        reasons.append(f"These tags are longer than {TAG_LENGTH} characters: {_listed(sorted(too_long))}.")
    seen, twice = set(), []
    for tag in new_tags:
        (twice if tag.upper() in seen else []).append(tag)
        seen.add(tag.upper())
    if twice:
        reasons.append(f"The pattern gives these tags more than once: {_listed(twice)}. Put {{number}} into it.")
    taken = [tag for tag in zone.building.positions.values_list("tag", flat=True) if tag.upper() in seen]
    if taken:
        reasons.append(f"These tags are taken in {zone.building}: {_listed(sorted(taken))}. Choose another pattern.")
    return reasons


def _listed(tags):
    shown = ", ".join(f"'{tag}'" for tag in tags[:8])
    return f"{shown} and {len(tags) - 8} more" if len(tags) > 8 else shown


@transaction.atomic
def duplicate_zone(*, zone, numbers, name, storey, tag_from, tag_to):
    """Make the planned copies and return the new zones, or raise ZoneNotDuplicated and change nothing."""
    zone = SmokeZone.objects.select_for_update(of=("self",)).select_related("building").get(pk=zone.pk)
    plan = plan_copies(zone=zone, numbers=numbers, name=name, storey=storey, tag_from=tag_from, tag_to=tag_to)
    if plan.reasons:
        raise ZoneNotDuplicated(*plan.reasons)
    walking_order = zone.building.positions.aggregate(last=Max("walking_order"))["last"] or 0
    made = []
    for copy in plan.copies:
        new_zone = SmokeZone(
            number=copy.number,
            name=copy.name,
            storey=copy.storey,
            **{name: getattr(zone, name) for name in COPIED_OF_ZONE},
        )
        new_zone.full_clean()
        new_zone.save()
        group_of, vent_of = _copy_groups(plan.groups, new_zone), _copy_vents(copy.vents, new_zone)
        for position, tag in copy.positions:
            walking_order += 1
            Position.objects.create(
                tag=tag,
                smoke_zone=new_zone,
                vent_group=group_of.get(position.vent_group_id),
                vent=vent_of.get(position.vent_id),
                walking_order=walking_order,
                # A device on the zone's own storey moves with it; one that stood elsewhere stays there.
                storey=copy.storey if position.storey == zone.storey else position.storey,
                **{name: getattr(position, name) for name in COPIED_OF_POSITION},
            )
        made.append(new_zone)
    return made


def _copy_groups(groups, new_zone):
    return {
        group.pk: VentGroup.objects.create(smoke_zone=new_zone, number=group.number, name=group.name)
        for group in groups
    }


def _copy_vents(vents, new_zone):
    return {
        vent.pk: Vent.objects.create(
            smoke_zone=new_zone, tag=tag, **{name: getattr(vent, name) for name in COPIED_OF_VENT}
        )
        for vent, tag in vents
    }
