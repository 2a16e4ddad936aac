"""Two cores that change places at a panel, box or device: one act, and taken back by the same."""

from dataclasses import dataclass

from django.core.exceptions import ValidationError
from django.db import transaction

from zones.models import Core, CoreEnd, Terminal
from zones.wiring.edits import CoreRecorder, put_end
from zones.wiring.terminals import full_name, use_of


@dataclass(frozen=True)
class Exchangeable:
    """A core on another terminal of the same panel or device; `value` names both, so that a stale choice is refused."""

    value: str
    block: str
    words: str


def exchangeable(terminal):
    """The cores with which the one on this terminal can change places: those of its block first; two queries."""
    ends = CoreEnd.objects.filter(terminal__panel=terminal.panel_id, terminal__position=terminal.position_id, slot=1)
    mine = ends.filter(terminal=terminal).values("core")
    ends = ends.exclude(core__in=mine).select_related("terminal", "core__cable").order_by("terminal__order_key")
    found = [
        Exchangeable(
            f"{end.terminal_id}-{end.core_id}",
            end.terminal.block,
            f"{end.core} on {end.terminal} {end.terminal.function}".strip(),
        )
        for end in ends
    ]
    return sorted(found, key=lambda one: one.block != terminal.block)


@transaction.atomic
def exchange_cores(*, terminal, other):
    """Put the core of each of two terminals of one panel or device on the other. → CoreChange

    Of a terminal that carries several the first is meant. Raises ValidationError with a sentence; nothing is changed
    then.
    """
    keys = sorted((terminal.pk, other.pk))
    places = {one.pk: one for one in Terminal.objects.select_for_update(of=("self",)).filter(pk__in=keys)}
    terminal, other = places[terminal.pk], places[other.pk]
    if (terminal.panel_id, terminal.position_id) != (other.panel_id, other.position_id):
        raise ValidationError(f"{full_name(other)} is at another device. Cores change places at one device.")
    ends = {one.pk: use_of(one) for one in (terminal, other)}
    if free := [one for one in (terminal, other) if ends[one.pk] is None]:
        raise ValidationError(f"No core is on {full_name(free[0])} any more. Look at the rows as they are.")
    first, second = ends[terminal.pk], ends[other.pk]
    if first.core_id == second.core_id:
        raise ValidationError(f"{first.core} is on both terminals. Choose another core.")
    recorder = CoreRecorder()
    cores = (
        Core.objects.select_for_update(of=("self",)).select_related("cable").in_bulk([first.core_id, second.core_id])
    )
    for end in (first, second):
        put_end(recorder.touch(cores[end.core_id]), end.end, None)
    put_end(cores[first.core_id], first.end, other)
    put_end(cores[second.core_id], second.end, terminal)
    return recorder.finish(
        f"Exchanged: {first.core} is on {full_name(other)} now, {second.core} on {full_name(terminal)}."
    )
