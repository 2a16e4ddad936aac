"""The wiring edited terminal by terminal: a core or a far terminal typed at a terminal, taken off, undone, ticked.

Each act says which cores it changed and how they stood before, so that it can be undone by a further change.
"""

import re
from dataclasses import dataclass, field

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Q
from django.utils import timezone

from zones.engineering.designations import DesignationError, check_colour
from zones.models import Cable, Core, CoreEnd, Terminal
from zones.wiring.terminals import free_slot, full_name, put_ends, terminal_named, use_of

_CORE = re.compile(r"(?P<cable>.{1,40})\.(?P<number>[0-9]{1,3})(?:\s+(?P<colour>[A-Za-z]{2,8}))?$")
GNYE = "GNYE"


@dataclass
class CoreChange:
    """What an act did: for each core (key) its near and far terminal and its spare mark, before and after."""

    before: dict = field(default_factory=dict)
    after: dict = field(default_factory=dict)
    said: str = ""

    @property
    def is_any(self):
        return self.before != self.after


class CoreRecorder:
    """Remembers how cores stood before they are touched."""

    def __init__(self):
        self.change = CoreChange()

    def touch(self, core):
        self.change.before.setdefault(core.pk, state_of(core))
        return core

    def finish(self, said):
        for key in self.change.before:
            self.change.after[key] = state_of(Core.objects.get(pk=key))
        _take_ticks_back(self.change)
        self.change.said = said
        return self.change


def state_of(core):
    """(near terminal, far terminal, spare) of a core as stored; terminals by key, None for an end on none."""
    ends = dict(CoreEnd.objects.filter(core=core).values_list("end", "terminal"))
    return ends.get("near"), ends.get("far"), core.is_spare


def shown_at(terminal):
    """What stands at a terminal, as pages show it: "core" and "far" as texts, empty where there is none."""
    standing = use_of(terminal)
    if standing is None:
        return {"core": "", "far": ""}
    ends = standing.core.ends.select_related("terminal__panel__position", "terminal__position")
    other = ends.exclude(pk=standing.pk).first()
    return {"core": str(standing.core), "far": full_name(other.terminal) if other else ""}


def _take_ticks_back(change):
    """A terminal on which a core changed was not seen like this."""
    touched = set()
    for key, before in change.before.items():
        touched |= set(before[:2]) ^ set(change.after[key][:2])
    for terminal in Terminal.objects.filter(pk__in=touched - {None}).exclude(checked_at=None):
        terminal.checked_at = terminal.checked_by = None
        terminal.save()


@transaction.atomic
def put_core(*, terminal, text):
    """Put the core that `text` names ("W12.3", "W12.3 BN") on a terminal, or take off what is on it (""). → CoreChange.

    Raises ValidationError with a sentence; nothing is changed then.
    """
    terminal = Terminal.objects.select_for_update(of=("self",)).get(pk=terminal.pk)
    recorder, standing = CoreRecorder(), use_of(terminal)
    if not text.strip():
        if standing is None:
            return recorder.finish(f"{full_name(terminal)} is free.")
        core = recorder.touch(standing.core)
        put_end(core, standing.end, None)
        return recorder.finish(f"{core} taken off {full_name(terminal)}.")
    core = _core_named(terminal, text)
    if core.ends.filter(terminal=terminal).exists():
        return recorder.finish(f"{core} is on {full_name(terminal)}.")
    replaced = standing if free_slot(terminal) is None else None
    if replaced is not None:
        put_end(recorder.touch(replaced.core), replaced.end, None)
    end = _free_end(core, terminal)
    put_end(recorder.touch(core), end, terminal)
    instead = f" {replaced.core} taken off it." if replaced is not None else ""
    return recorder.finish(f"{core} put on {full_name(terminal)}.{instead}")


@transaction.atomic
def put_far(*, terminal, text):
    """Lead the core on a terminal to the far terminal that `text` names ("CP-03 -X1:2"); "" takes it off. → CoreChange

    Without a core, a free one between the two devices is taken. Raises ValidationError with a sentence.
    """
    terminal = Terminal.objects.select_for_update(of=("self",)).get(pk=terminal.pk)
    recorder, standing = CoreRecorder(), use_of(terminal)
    if not text.strip():
        if standing is None:
            return recorder.finish(f"{full_name(terminal)} is free.")
        core = recorder.touch(standing.core)
        put_end(core, _other(standing.end), None)
        return recorder.finish(f"The far end of {core} is on no terminal.")
    far = terminal_named(building_id=terminal.building_id, text=text)
    if far is None:
        raise ValidationError(
            f"'{text.strip()[:60]}' is no terminal of this building. Write panel or device and terminal, for instance "
            "CP3 -X1:2."
        )
    if far.pk == terminal.pk:
        raise ValidationError(f"{full_name(far)} is this very terminal. Write where the core goes to.")
    if standing is None:
        there = use_of(far)
        _check_may_come_from(there, far)
        core = there.core if there else _free_core_between(terminal, far)
        end = _other(there.end) if there else _free_end(core, terminal)
        recorder.touch(core)
        put_end(core, end, terminal)
    else:
        core, end = recorder.touch(standing.core), standing.end
    put_end(core, _other(end), far)
    return recorder.finish(f"{core} joins {full_name(terminal)} and {full_name(far)}.")


def _check_may_come_from(there, far):
    """A core that is on the far terminal may be led on from here only if its other end is free."""
    elsewhere = shown_at(far)["far"] if there else ""
    if elsewhere:
        raise ValidationError(
            f"{full_name(far)} is in use: {there.core} goes from it to {elsewhere}. Take the core off there first, or "
            "choose another terminal."
        )


def _other(end):
    return CoreEnd.End.FAR if end == CoreEnd.End.NEAR else CoreEnd.End.NEAR


def put_end(core, end, terminal):
    """One end of a core on a terminal or on none, the other as it is; a parked core is taken into use."""
    if core.is_spare and terminal is not None:
        core.is_spare = False
        core.save()
    ends = {
        one.end: one.terminal for one in core.ends.select_related("terminal__panel__position", "terminal__position")
    }
    ends[end] = terminal
    try:
        put_ends(core=core, near=ends.get("near"), far=ends.get("far"))
    except ValidationError as error:
        raise ValidationError(error.messages) from error


def _core_named(terminal, text):
    """The core that a text names; one that its cable has by its type is recorded if nobody did."""
    text = " ".join(text.split())
    found = _CORE.match(text)
    if not found:
        raise ValidationError(f"'{text[:60]}' is no core. Write cable, full stop, number: W12.3.")
    cables = Cable.objects.filter(building=terminal.building_id)
    cable = cables.filter(tag__iexact=found["cable"].strip()).first()
    if cable is None:
        if whole := cables.filter(tag__iexact=f"{found['cable']}.{found['number']}").first():
            raise ValidationError(f"{whole} is a cable. Add the number of the core: {whole}.1.")
        raise ValidationError(
            f"This building has no cable '{found['cable'][:40]}'. Correct it, or add the cable first."
        )
    colour = _colour(found["colour"])
    core = Core.objects.select_for_update().filter(cable=cable, number=int(found["number"])).first()
    if core is None:
        return _new_core(cable, int(found["number"]), colour)
    if colour and core.colour and colour != core.colour:
        raise ValidationError(
            f"Core {core} is recorded as {core.colour}, not {colour}. Look which one it is; correct the colour at the "
            "core if the record is wrong."
        )
    if colour and not core.colour:
        core.colour = colour
        core.save()
    return core


def _colour(text):
    try:
        return check_colour(text) if text else ""
    except DesignationError as error:
        raise ValidationError(str(error)) from error


def _new_core(cable, number, colour):
    if cable.cores_count is None or not 1 <= number <= cable.cores_count:
        known = "how many cores it has is not known" if cable.cores_count is None else f"it has {cable.cores_count}"
        raise ValidationError(
            f"Cable {cable} has no core {number} on record ({known}). Add the core at the cable first."
        )
    core = Core(cable=cable, number=number, colour=colour)
    core.full_clean()
    core.save()
    return core


def _free_end(core, terminal):
    """The end of a core that belongs at this terminal: the free one; of two, the one at the panel is the near end."""
    ends = core.ends.select_related("terminal__panel__position", "terminal__position").order_by("-end")
    taken = {end.end: end.terminal for end in ends}
    if len(taken) == 2:
        places = " and ".join(full_name(one) for one in taken.values())
        raise ValidationError(f"Core {core} is on {places} already. Take it off one of the two first.")
    if taken:
        return _other(next(iter(taken)))
    owner = terminal.panel.tag if terminal.panel_id else terminal.position.tag
    cable = core.cable
    if (cable.feeds_id and cable.feeds_id == terminal.position_id) or cable.to_place == owner:
        return CoreEnd.End.FAR
    return CoreEnd.End.NEAR


def _free_core_between(terminal, far):
    """The first free core of a cable that runs between the devices of these two terminals; green-yellow is left."""
    here, there = (one.panel.tag if one.panel_id else one.position.tag for one in (terminal, far))
    runs = Q(cable__from_place=here, cable__to_place=there) | Q(cable__from_place=there, cable__to_place=here)
    for one, other in ((terminal, far), (far, terminal)):
        if one.position_id:
            runs |= Q(cable__feeds=one.position_id, cable__upstream=None) & _starts_at(other)
            runs |= Q(cable__feeds=one.position_id, cable__upstream__feeds=other.position_id or 0)
    free = Core.objects.filter(runs, cable__building=terminal.building_id, ends=None).exclude(colour=GNYE)
    core = free.order_by("cable__tag", "number").first()
    if core is None:
        raise ValidationError(
            f"No free core runs between {here} and {there}. Type the core at {full_name(terminal)} first: W12.3."
        )
    return core


def _starts_at(other):
    """A cable that begins at the panel begins at this panel."""
    return Q(cable__actuator_circuit__panel=other.panel_id) | Q(cable__detection_line__panel=other.panel_id)


@transaction.atomic
def undo(*, change, building_id):
    """Put cores back as they stood before a change, as a further change. → CoreChange

    Raises ValidationError where one of them was changed meanwhile.
    """
    cores = {
        core.pk: core
        for core in Core.objects.select_for_update().filter(cable__building=building_id).filter(pk__in=change.before)
    }
    if set(cores) != set(change.before) or any(state_of(cores[key]) != tuple(change.after[key]) for key in cores):
        raise ValidationError("This was changed again meanwhile, so it cannot be undone. Look at the rows as they are.")
    recorder = CoreRecorder()
    for core in cores.values():
        recorder.touch(core)
        put_ends(core=core)
    for key, (near, far, is_spare) in change.before.items():
        core = cores[key]
        if core.is_spare != is_spare:
            core.is_spare = is_spare
            core.save()
        ends = Terminal.objects.in_bulk([pk for pk in (near, far) if pk is not None])
        if ends:
            put_ends(core=core, near=ends.get(near), far=ends.get(far))
    return recorder.finish("Undone.")


@transaction.atomic
def tick(*, terminal, by, is_checked, at=None):
    """Record that a terminal was seen on site as recorded, or take that back."""
    terminal = Terminal.objects.select_for_update(of=("self",)).get(pk=terminal.pk)
    terminal.checked_at, terminal.checked_by = (at or timezone.now(), by) if is_checked else (None, None)
    terminal.save()
    return terminal
