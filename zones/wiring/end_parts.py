"""The end-of-line resistor or module of a run, put where the run ends: at a device, in a box, at its own terminals."""

from django.core.exceptions import ValidationError

from zones.engineering.wiring.matching import across
from zones.engineering.wiring.wired_panel import Passing, Polarity, TerminalKind
from zones.models import (
    ActuatorCircuit,
    CoreEnd,
    DetectionLine,
    DeviceKind,
    EndOfLinePart,
    EndPlace,
    InputPort,
    Terminal,
)
from zones.units.patterns import model_at
from zones.wiring.terminals import full_name


class _Plain:
    """A terminal as the matching reads it."""

    def __init__(self, terminal):
        self.kind, self.polarity = TerminalKind(terminal.electrical_kind), Polarity(terminal.pole)
        self.passing, self.function = Passing(terminal.passing), terminal.function


def put_element(loop, owner, outs, devices, options):
    """Put the end-of-line part of a run across `outs`, or in the box recorded as its place; tell it in `loop`.

    Raises ValidationError where there is no place for it, or where more than one stands already.
    """
    in_box = owner.end_place == EndPlace.IN_BOX and devices
    first, second = _in_box(owner, loop) if in_box else _across(owner, outs, devices)
    standing = elements_of(owner)
    if len(standing) > 1:
        names = "; ".join(str(element) for element in standing)
        raise ValidationError(
            f"{owner} has {len(standing)} end-of-line resistors or modules ({names}). Take the wrong ones out first."
        )
    element = standing[0] if standing else _new(owner, options)
    if {element.first_id, element.second_id} != {first.pk, second.pk}:
        loop.is_moved = element.pk is not None
        element.first, element.second = first, second
        element.full_clean()
        element.save()
    loop.element = f"{full_name(first)} and {full_name(second)}"
    if not in_box:
        _record_place(loop, owner, EndPlace.LAST_DEVICE if devices else EndPlace.PANEL_TERMINAL)


def _across(owner, outs, devices):
    place = across([*map(_Plain, outs)]) if not isinstance(owner, InputPort) else _of_input(outs)
    if place is None:
        where = devices[-1] if devices else getattr(owner, "starts_at", None) or owner.panel
        raise ValidationError(
            f"{where} has no two outgoing terminals for the end-of-line resistor or module of {owner}. Add them to "
            "its wiring pattern."
        )
    return sorted((outs[place[0]], outs[place[1]]), key=lambda one: one.pk)


def _of_input(terminals):
    """The first two contact or input terminals: signal and common."""
    places = [
        number
        for number, one in enumerate(terminals)
        if one.electrical_kind in (Terminal.ElectricalKind.INPUT, Terminal.ElectricalKind.CONTACT)
    ]
    return places[:2] if len(places) >= 2 else None


def _in_box(owner, loop):
    """The terminals in the last junction box of the run where the watched conductor and the minus arrive."""
    leg = next((leg for leg in reversed(loop.legs) if leg.cable.far_box_id), None)
    if leg is None:
        raise ValidationError(
            f"{owner} is recorded to end in a junction box, but no cable of it ends in one. Register the box as a "
            "position, name it at its cable, then wire the run again."
        )
    box = leg.cable.far_box
    poles = {}
    ends = CoreEnd.objects.filter(core__cable=leg.cable).select_related(
        "terminal__panel__position", "terminal__position"
    )
    near = {end.core_id: end.terminal for end in ends if end.end == CoreEnd.End.NEAR}
    for end in ends:
        if end.end == CoreEnd.End.FAR and end.terminal.position_id == box.pk and end.core_id in near:
            poles[_role(near[end.core_id])] = end.terminal
    watched, minus = poles.get("watched") or poles.get(Polarity.PLUS), poles.get(Polarity.MINUS)
    if watched is None or minus is None:
        raise ValidationError(
            f"In {box} no terminal is found for the end-of-line part of {owner}: the monitoring core and the "
            f"minus must "
            f"end there. Correct the cores of {leg.cable}."
        )
    return sorted((watched, minus), key=lambda one: one.pk)


def _role(terminal):
    if terminal.electrical_kind == Terminal.ElectricalKind.MONITOR:
        return "watched"
    return Polarity(terminal.pole)


def elements_of(owner):
    """End-of-line parts where this run starts, at its devices, or in the boxes of its cables."""
    run = {
        ActuatorCircuit: "actuator_circuit",
        DetectionLine: "detection_line",
        InputPort: "input_port",
    }[type(owner)]
    found = EndOfLinePart.objects.filter(**{f"first__{run}": owner})
    if isinstance(owner, InputPort):
        devices = owner.wired_devices.values("position")
        joined = Terminal.objects.filter(position__in=devices, core_ends__core__ends__terminal__input_port=owner)
        return list((found | EndOfLinePart.objects.filter(first__in=joined)).distinct())
    at_devices = EndOfLinePart.objects.filter(first__position__in=owner.positions.in_use())
    if isinstance(owner, ActuatorCircuit) or owner.starts_at_id is None:
        # A device of this run may offer lines and inputs of its own, whose parts are not of this run.
        at_devices = at_devices.filter(first__detection_line=None, first__input_port=None)
    in_boxes = EndOfLinePart.objects.filter(
        first__position__kind=DeviceKind.JUNCTION_BOX, first__core_ends__core__cable__in=owner.cables.all()
    )
    return list((found | at_devices | in_boxes).distinct())


def _new(owner, options):
    kind = EndOfLinePart.Kind.RESISTOR if isinstance(owner, InputPort) else options.element_kind
    return EndOfLinePart(kind=kind, value_ohm=_value(owner, kind, options))


def _value(owner, kind, options):
    """The value typed, else the run's, else that of the panel's data sheet; None: not known."""
    if kind != EndOfLinePart.Kind.RESISTOR or options.element_ohm is not None:
        return options.element_ohm
    if isinstance(owner, ActuatorCircuit):
        return None
    if owner.end_of_line_ohm or owner.starts_at_id:
        return owner.end_of_line_ohm
    model = model_at(owner.panel.position)
    return model.end_of_line_ohm if model else None


def _record_place(loop, owner, place):
    if owner.end_place == place:
        return
    before = owner.get_end_place_display()
    owner.end_place = place
    owner.save()
    loop.changes.append(
        f"Place of the end-of-line part of {owner}: {owner.get_end_place_display()}"
        + (f", before {before}." if before else ", before not recorded.")
    )
