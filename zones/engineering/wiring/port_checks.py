"""Checks of inputs and data links: is the right thing on the right one, and does the panel's list agree.

Sources: the record itself; that battery blocks of one set are in series is common practice.
"""

from collections.abc import Iterator

from zones.engineering.findings import Finding, Severity, listed
from zones.engineering.sources import RECORD
from zones.engineering.wiring.runs import COMMON, Run
from zones.engineering.wiring.tracing import TracedWiring, told
from zones.engineering.wiring.wired_panel import Passing, WiredInput, WiredLine, WiredLink

OPPOSED = ("open", "close", "stop")
ON_A_SWITCH = (*OPPOSED, COMMON)
BATTERY = "battery"


def _wrong_contacts(run: Run):
    """(run, terminal where it starts, device, its contact) for each contact of another function than the input's."""
    if not isinstance(run.order, WiredInput) or run.order.function not in OPPOSED:
        return
    for device in run.devices:
        contacts = [t for t in device.terminals if t.passing != Passing.OUT and _word(t.function) in ON_A_SWITCH]
        # Of a lone contact the ends are alike; with more, all share the common one.
        told_apart = sum(_word(terminal.function) in OPPOSED for terminal in contacts) > 1
        for terminal in contacts:
            for start in run.starts:
                word = _word_of(run, start)
                if terminal.key not in run.traces[start.key] or _word(terminal.function) == word:
                    continue
                if told_apart or COMMON not in (word, _word(terminal.function)):
                    yield run, start, device, terminal


def exchanged_contacts(wiring: TracedWiring, runs) -> Iterator[Finding]:
    """The contact on an input is the one that it acts on: open on open, close on close. One finding a device."""
    of_device = {}
    for run in runs:
        for found in _wrong_contacts(run):
            of_device.setdefault(found[2].key, []).append(found)
    for found in of_device.values():
        device = found[0][2]
        parts = listed(
            f"{wiring.name(start.key)} is {run.name}, '{_word_of(run, start)}', but joins {wiring.name(terminal.key)}, "
            f"'{_word(terminal.function)}'"
            for run, start, _, terminal in found
        )
        sentence = f"{parts}. Exchange the cores at {device.tag}, or correct the functions of the inputs."
        yield told(
            wiring,
            Severity.FAIL,
            "input_function",
            sentence,
            RECORD,
            devices=[device],
            terminals=[end.key for _, start, _, terminal in found for end in (start, terminal)],
        )


def _word_of(run, start):
    return COMMON if _word(start.function) == COMMON else run.order.function


def _word(function):
    words = function.casefold().split()
    return words[0] if words else ""


def strange_zones(wiring: TracedWiring, runs) -> Iterator[Finding]:
    """What is on a line or an input is of the zone that this one serves. One finding a device and zone."""
    found = {}
    for run in runs:
        if isinstance(run.order, WiredInput | WiredLine) and run.order.zone is not None:
            for device in run.devices:
                if device.zone not in (None, run.order.zone):
                    found.setdefault((device.key, run.order.zone), (device, []))[1].append(run)
    for (_, zone), (device, strange) in found.items():
        names = listed(run.name for run in strange)
        sentence = (
            f"{device.tag} of zone {device.zone} is on {names}, which "
            f"{'serves' if len(strange) == 1 else 'serve'} zone "
            f"{zone}. Wire it to its own zone, or correct the zone of {device.tag} or of the {strange[0].each}."
        )
        yield told(wiring, Severity.FAIL, "run_zone", sentence, RECORD, devices=[device])


def listing(run: Run) -> Iterator[Finding]:
    """What the panel lists of a data link agrees with what is recorded: serials, zones, number, order."""
    if not isinstance(run.order, WiredLink) or not run.devices:
        return
    listed_devices = {one.device: one for one in run.order.listed if one.device}
    if not run.order.listed:
        sentence = f"The panel's list of {run.name} is not recorded. Read it at the panel and enter it."
        yield told(run.wiring, Severity.MISSING, "link_not_read", sentence, RECORD, devices=run.devices)
        return
    if len(run.order.listed) != len(run.devices):
        sentence = (
            f"The panel lists {len(run.order.listed)} on {run.name}, the register has {len(run.devices)} "
            f"({listed(device.tag for device in run.devices)}). Find the one that is missing or too many."
        )
        yield told(run.wiring, Severity.FAIL, "link_count", sentence, RECORD, devices=run.devices)
        return
    loose = [device for device in run.devices if device.key not in listed_devices]
    if loose:
        sentence = (
            f"Which entry of the panel's list of {run.name} is {listed(device.tag for device in loose)} is not "
            "confirmed. Confirm it by the serial, or by operating it."
        )
        yield told(run.wiring, Severity.MISSING, "link_unconfirmed", sentence, RECORD, devices=loose)
    yield from _serials(run, listed_devices)
    yield from _zones_assigned(run, listed_devices)


def _serials(run, entries):
    """Serials as listed are those of the units fitted there; two that change places are one finding."""
    wrong = [
        (device, entry)
        for device in run.devices
        if (entry := entries.get(device.key))
        and entry.serial
        and entry.fitted_serial
        and entry.serial.casefold() != entry.fitted_serial.casefold()
    ]
    if not wrong:
        return
    if {e.serial.casefold() for _, e in wrong} == {e.fitted_serial.casefold() for _, e in wrong}:
        sentence = (
            f"{listed(device.tag for device, _ in wrong)} are exchanged on {run.name}: the panel lists at each "
            f"the serial "
            "of the other. Assign them anew at the panel, or correct which unit is fitted where."
        )
    else:
        parts = listed(f"{d.tag} has {e.fitted_serial}, listed {e.serial}" for d, e in wrong)
        sentence = f"Serials on {run.name} differ: {parts}. Look at the labels, and correct the unit or the list."
    yield told(run.wiring, Severity.FAIL, "link_serial", sentence, RECORD, devices=[device for device, _ in wrong])


def _zones_assigned(run, entries):
    """The zone that the panel assigned is that of the position; call points that change places are one finding."""
    wrong = [
        (device, entry)
        for device in run.devices
        if (entry := entries.get(device.key)) and None not in (entry.zone, device.zone) and entry.zone != device.zone
    ]
    if len(wrong) > 1 and sorted(entry.zone for _, entry in wrong) == sorted(device.zone for device, _ in wrong):
        parts = listed(f"{device.tag} of zone {device.zone} in zone {entry.zone}" for device, entry in wrong)
        sentence = (
            f"Call points are exchanged on {run.name}: the panel has {parts}. Each would open the wrong vents. Operate "
            "each and see which the panel shows; then assign them anew at the panel, or correct the list or the zones."
        )
        yield told(run.wiring, Severity.FAIL, "link_zone", sentence, RECORD, devices=[device for device, _ in wrong])
        return
    for device, entry in wrong:
        sentence = (
            f"The panel has {device.tag} in zone {entry.zone}, the register in zone {device.zone}: it would "
            f"open the "
            "wrong vents. Assign the right zone at the panel, or correct the zone of the position."
        )
        yield told(run.wiring, Severity.FAIL, "link_zone", sentence, RECORD, devices=[device])


def _capital(text):
    return text[:1].upper() + text[1:]


PORT_CHECKS = (listing,)
