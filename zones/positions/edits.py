"""Positions: make a run of them, give one up and take it back, put them into walking order."""

import copy
import re

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.formats import date_format

from sites_registry.models import Building
from sites_registry.services.refusals import Refused
from zones.engineering.findings import counted
from zones.engineering.natural_order import natural_key
from zones.models import Fitting, Position

MOST_IN_A_RUN = 200
STEP = 10  # walking order is numbered 10, 20, 30 …, so that one position fits in between


class PositionRefused(Refused):
    """What was asked of a position is against a rule."""


def run_of_tags(*, prefix, first_number, count, digits):
    """Tags of a run: ("Z3-SD-", 1, 3, 2) → Z3-SD-01, Z3-SD-02, Z3-SD-03."""
    return [f"{prefix}{number:0{digits}}" for number in range(first_number, first_number + count)]


def clashes_of(*, building, tags):
    """Positions of the building, in use or not, that have one of these tags already."""
    wanted = {tag.upper() for tag in tags}
    return [position for position in building.positions.order_by("tag_key") if position.tag.upper() in wanted]


def next_free_number(*, building, prefix, after):
    """The number after the highest that the building uses behind this prefix, at least `after` + 1."""
    tags = building.positions.filter(tag__istartswith=prefix).values_list("tag", flat=True)
    numbers = [tag[len(prefix) :] for tag in tags]
    used = [int(number) for number in numbers if number.isascii() and number.isdecimal() and len(number) <= 4]
    return max([after, *used]) + 1


@transaction.atomic
def add_run(*, pattern, tags, after=None):
    """Make one position per tag, all like `pattern` (an unsaved position), or none at all. Returns them.

    They follow `after` in walking order, else come last; on a line or circuit they are numbered on.
    Raises PositionRefused.
    """
    building = Building.objects.select_for_update(of=("self",)).get(pk=pattern.building_id)
    if clashes := clashes_of(building=building, tags=tags):
        named = ", ".join(position.tag for position in clashes)
        raise PositionRefused(
            f"{building} has {named} already. Choose another first number or prefix; nothing was made.", field="prefix"
        )
    made, last = [], _last_in_walk(building)
    for place, tag in enumerate(tags):
        position = copy.copy(pattern)
        position._state = copy.copy(pattern._state)
        position.pk, position.tag = None, tag
        position.order_on_line = pattern.order_on_line and pattern.order_on_line + place
        position.walking_order = last + (place + 1) * STEP
        _clean(position)
        position._change_reason = f"run of {len(tags)} positions"
        position.save()
        made.append(position)
    if after:
        rest = [position for position in _in_walk(building) if position not in made]
        place = next((place for place, position in enumerate(rest, 1) if position.pk == after.pk), len(rest))
        number_walk(building=building, positions=[*rest[:place], *made, *rest[place:]])
    return made


def put_last_in_walk(position):
    """Give a new position the next number in walking order."""
    position.walking_order = _last_in_walk(position.building) + STEP


def reasons_not_to_retire(position):
    """Sentences that say why a position cannot be taken out of use yet."""
    reasons = []
    standing = Fitting.objects.open().filter(position=position).select_related("unit").first()
    if standing:
        reasons.append(
            f"Unit '{standing.unit}' is fitted at {position} since {date_format(standing.fitted_on)}. Take "
            "it off first."
        )
    panel = getattr(position, "control_panel", None)
    if panel and (wired := panel.positions.in_use().exclude(pk=position.pk).count()):
        reasons.append(f"Wired to panel {position}: {counted(wired, 'position')} in use. Wire elsewhere first.")
    return reasons


@transaction.atomic
def retire(*, position, retired_on, reason=""):
    """Take a position out of use from a day on; it keeps its history. Raises PositionRefused."""
    position = Position.objects.select_for_update(of=("self",)).get(pk=position.pk)
    if position.retired_on:
        return position
    if reasons := reasons_not_to_retire(position):
        raise PositionRefused(*reasons)
    if retired_on > timezone.localdate():
        raise PositionRefused(
            f"{date_format(retired_on)} lies ahead. Take it out of use on the day or later.", field="day"
        )
    last = position.fittings.order_by("-removed_on").first()
    if last and last.removed_on > retired_on:
        raise PositionRefused(
            f"{position} had a unit until {date_format(last.removed_on)}. Choose that day or a later one.", field="day"
        )
    return _set_retired(position, retired_on, reason)


@transaction.atomic
def take_back(*, position):
    """Take a position into use again."""
    position = Position.objects.select_for_update(of=("self",)).get(pk=position.pk)
    return _set_retired(position, None, "taken back") if position.retired_on else position


def _set_retired(position, day, reason):
    position.retired_on = day
    position._change_reason = reason or None
    position.save(update_fields=["retired_on"])
    return position


@transaction.atomic
def number_walk(*, building, positions):
    """Number the positions 10, 20, 30 … in the order given. Positions of the building that are left out follow."""
    Building.objects.select_for_update(of=("self",)).get(pk=building.pk)
    named = {position.pk for position in positions}
    order = [*positions, *(position for position in _in_walk(building) if position.pk not in named)]
    changed = []
    for number, position in enumerate(order, start=1):
        if position.walking_order != number * STEP:
            position.walking_order = number * STEP
            changed.append(position)
    # Neither history nor version: in which order one walks is no fact that a certificate rests on, and two people
    # editing positions need not hear of it.
    Position.objects.bulk_update(changed, ["walking_order"], batch_size=500)


def sorted_by_place(positions, *, from_the_top=False):
    """Positions by storey, upwards or from the top, then by tag."""
    turned = _from_the_top if from_the_top else lambda rank: rank
    return sorted(positions, key=lambda position: (turned(storey_rank(position.storey)), position.tag_key))


# A minus as it is typed or pasted: hyphen, minus sign, non-breaking hyphen, dash; in "0–4" it is none.
_MINUS = re.compile(r"(?<![^\s(])[-−‑–](?=[0-9])")
_LEVEL = re.compile(r"(?:(?<![^\s(])-)?[0-9]+")
_BELOW_GROUND = re.compile(r"b[0-9]|basement|sub-?basement|cellar|underground|below ground")
_LOWER_GROUND = re.compile(r"lower ground|lg\b|lgf\b")
_ON_TOP = re.compile(r"roof|attic|loft|plant")


def storey_rank(storey):
    """Where a storey stands, from the lowest: basements, ground, numbered storeys, roof; unnamed ones come last.

    "-1", "−1", "B1", "basement 1" and "level -1" are one storey; a span such as "0–4" stands where it begins.
    """
    text = _MINUS.sub("-", storey.strip().casefold())
    if not text:
        return (9, 0, "")
    found = _LEVEL.search(text)
    level = int(found.group()) if found else 0
    if _LOWER_GROUND.match(text):
        return (1, -1, natural_key(text))
    if _BELOW_GROUND.match(text) or level < 0:
        return (0, -abs(level) if found else -1, natural_key(text))
    if text.startswith("g") or (found and not level):
        return (1, 0, natural_key(text))
    if not found and _ON_TOP.match(text):
        return (3, 0, natural_key(text))
    return (2, level, natural_key(text))


def _from_the_top(rank):
    group, number, text = rank
    return (group if group == 9 else -group, -number, text)


def _in_walk(building):
    return list(building.positions.in_walking_order())


def _last_in_walk(building):
    last = building.positions.order_by("-walking_order").values_list("walking_order", flat=True).first()
    return last or 0


def _clean(position):
    try:
        position.full_clean()
    except ValidationError as error:
        field, messages = next(iter(error.message_dict.items()))
        raise PositionRefused(*messages, field=None if field == "__all__" else field) from error
