"""Data links, monitored inputs and lines that start at a device, as engineering's plain data (see parts.py)."""

from dataclasses import replace

from zones import engineering
from zones.design_check import parts
from zones.design_check.records import PANEL
from zones.engineering.data_links import DataLink, LinkDevice
from zones.engineering.line_ranges import RANGE_NAMES
from zones.engineering.quantities import QuantityError
from zones.engineering.trade_practice import TRADE_PRACTICE


def line_of(refused, line, records):
    """A monitored line; one that starts at a device is judged by that device's data sheet, never by the panel's."""
    made = parts.line_of(refused, line, records)
    if line.starts_at_id is None:
        return made
    return replace(made, **_of_start(refused, f"Line {made.name}", line, *_start(line, records)))


def _start(record, records):
    """(tag, model) of the device at which a line or an input starts."""
    start = records.at.get(record.starts_at_id)
    return (start.tag, start.model_here) if start else ("the device where it starts", None)


def _of_start(refused, subject, record, tag, model):
    volts = (
        ("line_voltage_v", getattr(record, "line_voltage_v", None)),
        ("line_voltage_v", getattr(model, "line_voltage_v", None)),
    )
    return {
        "origin": tag,
        "ranges": _ranges(refused, tag, model),
        "keeps_first_alarm": getattr(model, "keeps_first_alarm", None),
        "line_voltage_v": parts.first_known(refused, subject, *volts),
    }


def _ranges(refused, tag, model):
    """Limits between the states by a device's data sheet, as far as they are known; none where they do not rise."""
    known = {name: float(value) for name in RANGE_NAMES if (value := getattr(model, name, None)) is not None}
    try:
        replace(TRADE_PRACTICE, **known)
    except QuantityError as error:
        refused.append(parts.not_used(f"Data sheet of {tag}", error.in_words()))
        return ()
    return tuple(known.items())


# Monitored inputs -------------------------------------------------------------------------------------------------


def input_name(one):
    """ "3 rain": findings put "Input" before it."""
    return f"{one.number} {one.name or one.function.replace('_', ' ')}".rstrip()


def input_of(refused, one, records):
    """A monitored input as a line whose devices are contacts: its resistor and its cable are judged."""
    name, positions = input_name(one), records.on_input[one.pk]
    legs = _from_start(records.input_legs[one.pk], one.starts_at_id or PANEL)
    places = {position.pk for position in positions}
    devices = tuple(parts.device_of([], each, _leg(legs, each.pk, places)[0]) for each in positions)
    # What a sensor draws it takes from supply terminals of its own, not from the input.
    devices = tuple(replace(one, quiescent_current_a=0.0, alarm_ohm=None) for one in devices)
    made = engineering.DetectionLine(
        name=name,
        devices=devices,
        elements=parts.elements_of(refused, one, name, devices),
        is_input=True,
        in_box=parts.is_in_box(one),
    )
    if one.starts_at_id is None:
        return made
    return replace(made, **_of_start(refused, f"Input {name}", one, *_start(one, records)))


def input_findings(one):
    """What the record itself says of a monitored input: a place of its resistor that nobody recorded, or none."""
    return parts.end_findings(one, input_name(one), "Input")


# Data links -------------------------------------------------------------------------------------------------------


def link_name(link):
    """ "Data link 1 North"."""
    return f"Data link {link.number} {link.name}".rstrip()


def link_of(refused, link, records):
    """A data link with its call points in their order, each with the cable from the one before it."""
    legs = _from_start(records.link_legs[link.pk], PANEL)
    positions = {position.pk: position for position in records.on_link[link.pk]}
    rank = {place: number for number, place in enumerate(legs)}
    in_order = sorted(positions.values(), key=lambda one: rank.get(one.pk, len(rank)))
    devices = tuple(_link_device(refused, one, _leg(legs, one.pk, positions), positions) for one in in_order)
    return DataLink(link_name(link), devices, link.listed_count or None)


def _link_device(refused, position, leg, positions):
    cables, before = leg
    model = position.model_here
    made = parts.device_of([], position, cables)
    return LinkDevice(
        name=position.tag,
        fed_from=positions[before].tag if before in positions else "",
        length_m=made.length_m,
        conductor=made.conductor,
        current_a=parts.of_model(refused, position.tag, model, "alarm_current_a"),
        minimum_voltage_v=parts.of_model(refused, position.tag, model, "minimum_voltage_v"),
    )


def _leg(legs, place, stops):
    """The cables to a place from the nearest of `stops` before it, through junction boxes; and that stop, else None."""
    cables, here = [], place
    while here in legs:
        cable, here = legs[here]
        cables.append(cable)
        if here in stops:
            return cables, here
    return cables, None


def _from_start(legs, start):
    """Place → (cable from the place before it, that place), nearest first, along the cables from where a run starts."""
    found, reached = {}, [start]
    for here in reached:
        for cable, ends in legs:
            if here in ends:
                (there,) = set(ends) - {here}
                if there not in found and there != start:
                    found[there] = (cable, here)
                    reached.append(there)
    return found
