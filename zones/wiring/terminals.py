"""Wiring: terminals added by range, cores by number, the ends of a core put on terminals."""

from django.core.exceptions import ValidationError
from django.db import transaction

from zones.models import Cable, Core, CoreEnd, Terminal
from zones.models.position_rules import check_has_terminals_of_its_own


@transaction.atomic
def add_terminals(*, block, numbers, panel=None, position=None, **fields):
    """Add terminals of one block to a panel or to a device, all or none. Raises ValidationError: at "designations"
    those there already, or without a field at the position of a panel.

    `fields` (function, electrical_kind, pole, passing, rated_voltage_v …) are the same for all of them.
    """
    if position:
        check_has_terminals_of_its_own(position)
    owner = {"panel": panel} if panel else {"position": position}
    there = set(Terminal.objects.filter(**owner, block=block, number__in=numbers).values_list("number", flat=True))
    if taken := [number for number in numbers if number in there]:
        shown = ", ".join(f"-{block}:{number}" for number in taken[:8]) + (" …" if len(taken) > 8 else "")
        raise ValidationError({"designations": f"{panel or position} has {shown} already. Leave those out."})
    made = []
    for number in numbers:
        terminal = Terminal(**owner, building=(panel or position).building, block=block, number=number, **fields)
        terminal.save()
        made.append(terminal)
    return made


@transaction.atomic
def add_cores(*, cable, count, colours=(), is_spare=False):
    """Add `count` cores to a cable, numbered on from the last; `colours` name them in order or are left out."""
    cable = Cable.objects.select_for_update(of=("self",)).get(pk=cable.pk)
    last = cable.cores.order_by("-number").values_list("number", flat=True).first() or 0
    if cable.cores_count is not None and last + count > cable.cores_count:
        raise ValidationError(
            {
                "count": f"Cable {cable} has {cable.cores_count} cores by its type; {last} are recorded, so {count} "
                "more are too many. Correct the number, or the cable."
            }
        )
    return [
        Core.objects.create(
            cable=cable, number=last + step, colour=colours[step - 1] if colours else "", is_spare=is_spare
        )
        for step in range(1, count + 1)
    ]


def terminal_named(*, building_id, text):
    """The terminal that "P1 -X3:5" names (tag of the panel or device, block, number), or None."""
    owner_and_block, colon, number = text.rpartition(":")
    wanted = owner_and_block.replace(" ", "").upper()
    if not colon:
        return None
    terminals = Terminal.objects.filter(building=building_id, number__iexact=number.strip())
    for terminal in terminals.select_related("panel__position", "position"):
        tag = terminal.panel.tag if terminal.panel_id else terminal.position.tag
        if f"{tag}-{terminal.block}".replace(" ", "").upper() == wanted:
            return terminal
    return None


def use_of(terminal):
    """The core end on this terminal, or None; of several the first."""
    return CoreEnd.objects.filter(terminal=terminal).select_related("core__cable").order_by("slot").first()


def free_slot(terminal, *, but_core=None):
    """The first free place for a core on a terminal, or None where it carries as many as it takes."""
    taken = set(CoreEnd.objects.filter(terminal=terminal).exclude(core=but_core).values_list("slot", flat=True))
    return next((slot for slot in range(1, terminal.cores_allowed + 1) if slot not in taken), None)


def full_name(terminal):
    """ "P1 -X3:5": the owner's tag and the terminal."""
    owner = terminal.panel.tag if terminal.panel_id else terminal.position.tag
    return f"{owner} {terminal}"


@transaction.atomic
def put_ends(*, core, near=None, far=None):
    """Put the ends of a core on these terminals (None: on none); what was there before stays in the history.

    Raises ValidationError at "near" or "far": the terminal is in use, is of another building, or is named twice.
    """
    core = Core.objects.select_for_update(of=("self",)).select_related("cable").get(pk=core.pk)
    wanted = {"near": near, "far": far}
    if near and near == far:
        raise ValidationError({"far": f"{full_name(far)} is the other end already. A core has two terminals."})
    if core.is_spare and (near or far):
        raise ValidationError(
            {"near" if near else "far": "A spare core is on no terminal. Clear its ends, or take the spare mark off."}
        )
    standing = {end.end: end for end in core.ends.all()}
    for name, terminal in wanted.items():
        if terminal and terminal.building_id != core.cable.building_id:
            raise ValidationError({name: f"{full_name(terminal)} is in another building."})
        if terminal and free_slot(terminal, but_core=core) is None:
            user = CoreEnd.objects.filter(terminal=terminal).exclude(core=core).select_related("core__cable").first()
            raise ValidationError(
                {
                    name: f"{full_name(terminal)} is used by core {user.core} ({user.get_end_display()}). "
                    "Free it there first, or choose another terminal."
                }
            )
    # First take off what moves, so that two ends can change places on the same pair of terminals.
    changed = [
        name
        for name, terminal in wanted.items()
        if (standing[name].terminal_id if name in standing else None) != (terminal and terminal.pk)
    ]
    for name in changed:
        if name in standing:
            standing[name].delete()
    for name in changed:
        if wanted[name]:
            CoreEnd.objects.create(core=core, end=name, terminal=wanted[name], slot=free_slot(wanted[name]))
    return core
