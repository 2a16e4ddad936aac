"""Cores put on the terminals of a loop: all at once at the end, and what is in use is refused."""

from dataclasses import dataclass

from django.core.exceptions import ValidationError
from simple_history.utils import bulk_create_with_history

from zones.models import Core, CoreEnd, Terminal
from zones.wiring.boxes import box_terminals
from zones.wiring.terminals import free_slot, full_name

GNYE = "GNYE"


@dataclass
class CoreRow:
    """One core of a leg in words; near and far are empty for a spare one."""

    number: int
    colour: str
    near: str = ""
    far: str = ""
    is_put_on: bool = False  # it was not on both terminals before


class CoreWriter:
    """Puts cores on terminals, all at once at the end; refuses what is in use."""

    def __init__(self, starts):
        self.new_cores, self.new_ends = [], []
        self.used = {}  # terminal key → the core on it
        self._read_use(starts)

    def _read_use(self, terminals):
        """What stands on terminals that have no place for one more core."""
        ends = CoreEnd.objects.filter(terminal__in=[one.pk for one in terminals]).select_related(
            "core__cable", "terminal"
        )
        for end in ends:
            if end.slot >= end.terminal.cores_allowed:
                self.used[end.terminal_id] = end.core

    def through(self, chain, before, device, pairs, ending=()):
        """The cables from `before` to `device` with the pairs of terminals that each joins; boxes are linked.

        What starts at the terminals `ending` goes as far as the last box and ends there.
        """
        self._read_use([*(one for pair in pairs for one in pair), *ending])
        near, outs = before, [out for out, _ in pairs]
        for place, cable in enumerate(chain):
            if place == len(chain) - 1:
                yield cable, near, device, list(zip(outs[: len(pairs)], [into for _, into in pairs], strict=True))
                return
            box, is_last = cable.far_box, place == len(chain) - 2
            outs = [*outs, *ending] if place == 0 else outs
            here, onward = box_terminals(
                box=box,
                before=cable,
                after=chain[place + 1],
                number=len(pairs) if is_last else len(outs),
                ending=len(outs) - len(pairs) if is_last else 0,
            )
            self._read_use([*here, *onward])
            yield cable, near, box, list(zip(outs, here, strict=True))
            near, outs = box, onward

    def put(self, cable, joined, options):
        """Lay the pairs of terminals on the cores of a cable, park the others; returns CoreRow of each core."""
        cores = {core.number: core for core in cable.cores.all()}
        ends = {(end.core_id, end.end): end.terminal_id for end in CoreEnd.objects.filter(core__cable=cable)}
        count = self._count(cable, cores, joined, options)
        for number in range(1, count + 1):
            if number not in cores:
                colour = options.colours[number - 1] if number <= len(options.colours) else ""
                cores[number] = Core(cable=cable, number=number, colour=colour)
        usable = [core for _, core in sorted(cores.items()) if core.colour != GNYE]
        if len(usable) < len(joined):
            raise ValidationError(
                f"{cable} has {len(usable)} cores that may be used, {len(joined)} are needed (green-yellow is for the "
                "protective earth alone). Choose a cable with more cores."
            )
        rows = []
        for core, (near, far) in zip(usable, joined, strict=False):
            is_put_on = sum(of == core.pk for of, _ in ends) < 2
            self._land(core, near, far, ends)
            rows.append(CoreRow(core.number, core.colour, full_name(near), full_name(far), is_put_on))
        for core in cores.values():
            if core.number not in {row.number for row in rows}:
                self._park(core, ends)
                rows.append(CoreRow(core.number, core.colour))
        return sorted(rows, key=lambda row: row.number)

    def _count(self, cable, cores, joined, options):
        if cable.cores_count is None:
            cable.cores_count = max(options.cores_count or 0, len(joined), *cores)
            cable.full_clean()
            cable.save()
        if cable.cores_count < len(joined):
            raise ValidationError(
                f"{cable} has {_cores(cable.cores_count)}, {len(joined)} are needed. Choose a cable with more cores."
            )
        return cable.cores_count

    def _land(self, core, near, far, ends):
        for end, terminal in (("near", near), ("far", far)):
            there = ends.get((core.pk, end)) if core.pk else None
            if there == terminal.pk:
                continue
            if there is not None:
                other = Terminal.objects.select_related("panel__position", "position").get(pk=there)
                raise ValidationError(
                    f"Core {core} is on {full_name(other)}, not on {full_name(terminal)}. Take it off there first."
                )
            user = self.used.get(terminal.pk)
            if user is not None and user.pk != core.pk:
                raise ValidationError(f"{full_name(terminal)} is used by core {user}. Free it there first.")
            slot = free_slot(terminal) if terminal.cores_allowed > 1 else 1
            self.used[terminal.pk] = core
            self.new_ends.append(CoreEnd(core=core, end=end, terminal=terminal, slot=slot))
        self._save(core, is_spare=False)

    def _park(self, core, ends):
        if core.pk and any((core.pk, end) in ends for end in ("near", "far")):
            raise ValidationError(f"Core {core} is on a terminal, but is not needed there. Take it off first.")
        self._save(core, is_spare=True)

    def _save(self, core, *, is_spare):
        if core.pk is None:
            core.is_spare = is_spare
            self.new_cores.append(core)
        elif core.is_spare != is_spare:
            core.is_spare = is_spare
            core.save()

    def finish(self):
        bulk_create_with_history(self.new_cores, Core)
        for end in self.new_ends:
            end.core_id = end.core.pk
        bulk_create_with_history(self.new_ends, CoreEnd)


def _cores(number):
    return f"{number} core{'' if number == 1 else 's'}"
