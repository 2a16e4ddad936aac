"""A run looped in one step: terminals, one cable per leg with its cores on their terminals, and the end of line.

What is recorded already is used: terminals, cables with their junction boxes, cores that are free or on the very
terminals. Anything that stands against it refuses the whole step with a sentence.
"""

from dataclasses import dataclass, field

from django.core.exceptions import ValidationError
from django.db import transaction
from simple_history.utils import bulk_create_with_history

from zones.engineering.wiring.matching import across, pairs_of
from zones.engineering.wiring.wired_panel import Passing, Polarity, TerminalKind
from zones.models import ActuatorCircuit, Cable, Core, CoreEnd, DetectionLine, Drive, EndElement, EndPlace, Terminal
from zones.services.wiring_boxes import legs_through_boxes
from zones.services.wiring_patterns import model_at, use_device_pattern
from zones.wiring_records import drive_of

GNYE = "GNYE"
MOST_CORES = 61


@dataclass(frozen=True)
class LoopOptions:
    """What is typed for all new cables of a loop; empty means: as recorded, or not known."""

    cores_count: int | None = None
    colours: tuple[str, ...] = ()
    cable_type: str = ""
    area_mm2: object = None
    fire_rating: str = ""
    element_kind: str = "resistor"
    element_ohm: object = None


@dataclass
class CoreRow:
    """One core of a leg in words; near and far are empty for a spare one."""

    number: int
    colour: str
    near: str = ""
    far: str = ""


@dataclass
class Leg:
    """One cable of the loop with its cores in words."""

    cable: Cable
    is_new: bool
    near: str
    far: str
    cores: list = field(default_factory=list)


@dataclass
class Loop:
    """What a loop did, or will do: shown before it is kept."""

    legs: list = field(default_factory=list)
    terminals_made: int = 0
    element: str = ""
    is_moved: bool = False

    @property
    def new_cables(self):
        return sum(leg.is_new for leg in self.legs)


class _Seen:
    """A terminal as the matching reads it."""

    def __init__(self, terminal):
        self.kind, self.polarity = TerminalKind(terminal.electrical_kind), Polarity(terminal.pole)
        self.passing, self.function = Passing(terminal.passing), terminal.function


@transaction.atomic
def loop_run(*, owner, devices, options=None):
    """Wire the devices of an output or a line, in this order, from the panel to the last one. Returns Loop.

    Without devices the run is unused: its resistor is put at the panel's terminals.
    Raises ValidationError: sentences that say what stands against it; nothing is changed then.
    """
    options = options or LoopOptions()
    type(owner).objects.select_for_update().get(pk=owner.pk)
    starts = _terminals(owner.terminals, panel=owner.panel)
    if not starts:
        raise ValidationError(
            f"{owner} has no terminals at the panel. Make them first: panel, Wiring, Terminals from the pattern."
        )
    is_line = isinstance(owner, DetectionLine)
    run = {"detection_line": owner} if is_line else {"actuator_circuit": owner}
    stem = f"W{owner.panel.tag.removeprefix('P')}.{'L' if is_line else ''}{owner.number}"
    loop, outs = _loop(owner.panel, starts, devices, options, run, stem)
    if is_line or _is_monitored(owner, devices):
        _put_element(loop, owner, outs, devices, options)
    return loop


@transaction.atomic
def loop_inputs(*, panel, block, devices, options=None):
    """Wire devices that are on no output and no line (switches, sensors, interfaces) from a block of the panel on."""
    starts = _terminals(panel.terminals.filter(block__iexact=block), panel=panel)
    if not starts:
        raise ValidationError(f"{panel} has no terminals of block {block}. Choose one that it has.")
    if not devices:
        raise ValidationError("Choose the devices to wire, in their order from the panel.")
    stem = f"W{panel.tag.removeprefix('P')}.{block.removeprefix('X')}"
    return _loop(panel, starts, devices, options or LoopOptions(), {}, stem)[0]


def _terminals(terminals, **owner):
    """Terminals in order, each with the owner that is at hand, so that its name costs no query."""
    found = list(terminals.order_by("order_key"))
    for terminal in found:
        for name, record in owner.items():
            setattr(terminal, name, record)
    return found


def _cable_between(outs, ins):
    """The cable that is on both sides already, as a list; [] if there is none."""
    here = Cable.objects.filter(cores__ends__terminal__in=outs)
    return list(here.filter(cores__ends__terminal__in=ins).distinct()[:1])


def _is_monitored(circuit, devices):
    return drive_of(circuit, devices) == Drive.POLARITY and circuit.end_place != EndPlace.NONE_NEEDED


def _loop(panel, starts, devices, options, run, stem):
    """The legs from the panel to each device; returns the loop and the terminals that go on from the last one."""
    loop, outs, before, upstream = Loop(), starts, panel.position, None
    writer = _Writer(panel.building_id, starts)
    for device in devices:
        made = use_device_pattern(position=device, drive=_drive(run))
        loop.terminals_made += len(made.terminals)
        ins = _terminals(device.terminals, position=device)
        if not outs:
            raise ValidationError(
                f"{before} has no outgoing terminal, so nothing goes on from it to {device}. Put {before} last, or add "
                "outgoing terminals to its wiring pattern."
            )
        chain = legs_through_boxes(device=device, before=before, upstream=upstream, run=run)
        chain = chain or _cable_between(outs, ins)
        is_new = not chain
        if is_new:
            chain = [_new_cable(panel.building, before, device, upstream, run, stem, options)]
        pairs = [(outs[a], ins[b]) for a, b in pairs_of([*map(_Seen, outs)], [*map(_Seen, ins)])]
        _check_pairs(pairs, before, device, ins)
        for cable, near, far, joined in writer.through(chain, before, device, pairs):
            leg = Leg(cable, is_new, near.tag, far.tag)
            leg.cores = writer.put(cable, joined, options)
            loop.legs.append(leg)
        outs, before, upstream = [one for one in ins if one.passing == Passing.OUT], device, chain[-1]
    writer.finish()
    return loop, outs


def _drive(run):
    circuit = run.get("actuator_circuit")
    return circuit.drive if circuit else ""


def _check_pairs(pairs, before, device, ins):
    """Every pole that comes into the device must find its terminal."""
    joined = {into.pk for _, into in pairs}
    open_ones = [one for one in ins if one.passing == Passing.IN and one.pk not in joined]
    if not pairs or open_ones:
        which = ", ".join(str(one) for one in open_ones) or "its terminals"
        raise ValidationError(
            f"{device}: no terminal of {before} fits {which}. Correct kind, pole and way of the terminals, or the "
            "wiring pattern of the model."
        )


def _new_cable(building, before, device, upstream, run, stem, options):
    taken = set(Cable.objects.filter(building=building, tag__startswith=stem).values_list("tag", flat=True))
    tag = next(tag for n in range(1, len(taken) + 2) if (tag := f"{stem}-{n}") not in taken)
    cable = Cable(
        building=building, tag=tag, cable_type=options.cable_type, cores_count=options.cores_count,
        area_mm2=options.area_mm2, fire_rating=options.fire_rating, from_place=before.tag, to_place=device.tag,
        **(run and {"upstream": upstream, "feeds": device, **run}),
    )  # fmt: skip
    cable.full_clean()
    cable.save()
    return cable


class _Writer:
    """Puts cores on terminals, all at once at the end; refuses what is in use."""

    def __init__(self, building_id, starts):
        self.building_id = building_id
        self.new_cores, self.new_ends = [], []
        self.used = {}  # terminal key → the core on it
        self._read_use(starts)

    def _read_use(self, terminals):
        for end in CoreEnd.objects.filter(terminal__in=[one.pk for one in terminals]).select_related("core__cable"):
            self.used[end.terminal_id] = end.core

    def through(self, chain, before, device, pairs):
        """The cables from `before` to `device` with the pairs of terminals that each joins; boxes are linked."""
        self._read_use([one for pair in pairs for one in pair])
        from zones.services.wiring_boxes import box_terminals

        near = before
        outs = [out for out, _ in pairs]
        for place, cable in enumerate(chain):
            if place == len(chain) - 1:
                yield cable, near, device, list(zip(outs, [into for _, into in pairs], strict=True))
                return
            box = cable.far_box
            here, onward = box_terminals(box=box, before=cable, after=chain[place + 1], number=len(pairs))
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
            self._land(core, near, far, ends)
            rows.append(CoreRow(core.number, core.colour, _name(near), _name(far)))
        for core in cores.values():
            if core.number not in {row.number for row in rows}:
                self._park(core, ends)
                rows.append(CoreRow(core.number, core.colour))
        return sorted(rows, key=lambda row: row.number)

    def _count(self, cable, cores, joined, options):
        if cable.cores_count is None:
            cable.cores_count = max(options.cores_count or 0, len(joined), *cores, 0)
            cable.full_clean()
            cable.row_version += 1
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
                    f"Core {core} is on {_name(other)}, not on {_name(terminal)}. Take it off there first."
                )
            user = self.used.get(terminal.pk)
            if user is not None and user.pk != core.pk:
                raise ValidationError(f"{_name(terminal)} is used by core {user}. Free it there first.")
            self.used[terminal.pk] = core
            self.new_ends.append(CoreEnd(core=core, end=end, terminal=terminal))
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
            core.row_version += 1
            core.save()

    def finish(self):
        bulk_create_with_history(self.new_cores, Core)
        for end in self.new_ends:
            end.core_id = end.core.pk
        bulk_create_with_history(self.new_ends, CoreEnd)


def _cores(number):
    return f"{number} core{'' if number == 1 else 's'}"


def _name(terminal):
    owner = terminal.panel if terminal.panel_id else terminal.position
    return f"{owner.tag} {terminal}"


# The end of line ------------------------------------------------------------------------------------------------------


def _put_element(loop, owner, outs, devices, options):
    place = across([*map(_Seen, outs)])
    if place is None:
        where = devices[-1] if devices else owner.panel
        raise ValidationError(
            f"{where} has no two outgoing terminals for the end-of-line resistor or module of {owner}. Add them to "
            "its wiring pattern."
        )
    first, second = sorted((outs[place[0]], outs[place[1]]), key=lambda one: one.pk)
    standing = _elements_of(owner)
    if len(standing) > 1:
        names = "; ".join(str(element) for element in standing)
        raise ValidationError(
            f"{owner} has {len(standing)} end-of-line resistors or modules ({names}). Take the wrong ones out first."
        )
    element = standing[0] if standing else EndElement(kind=options.element_kind, value_ohm=_value(owner, options))
    if {element.first_id, element.second_id} != {first.pk, second.pk}:
        loop.is_moved = element.pk is not None
        element.first, element.second = first, second
        element.full_clean()
        element.row_version += bool(element.pk)
        element.save()
    loop.element = f"{_name(first)} and {_name(second)}"
    _record_place(owner, EndPlace.LAST_DEVICE if devices else EndPlace.PANEL_TERMINAL)


def _elements_of(owner):
    """Elements at the panel's terminals of this run or at its devices."""
    run = "detection_line" if isinstance(owner, DetectionLine) else "actuator_circuit"
    at_panel = EndElement.objects.filter(**{f"first__{run}": owner})
    at_devices = EndElement.objects.filter(first__position__in=owner.positions.in_use())
    return list((at_panel | at_devices).distinct())


def _value(owner, options):
    """The value typed, else the line's, else that of the panel's data sheet; None: not known."""
    if options.element_kind != EndElement.Kind.RESISTOR or options.element_ohm is not None:
        return options.element_ohm
    if isinstance(owner, ActuatorCircuit):
        return None
    model = model_at(owner.panel.position)
    return owner.end_of_line_ohm or (model.end_of_line_ohm if model else None)


def _record_place(owner, place):
    if owner.end_place != place:
        owner.end_place = place
        owner.row_version += 1
        owner.save()
