"""Lines of a settings sheet about data links and inputs; `sheet.py` puts them in their order."""

from functools import partial

from zones.models import InputPort

Function = InputPort.Function
PRESSED = (Function.OPEN, Function.CLOSE, Function.STOP, Function.OPEN_CLOSE, "")  # what a hand presses


def link_lines(link, line_of, choice_of, rules):
    """What is set of a data link, then each call point as listed; `rules`: what its break does, in words."""
    section = f"Data link {link.number}" + (f" {link.name}" if link.name else "")
    line = partial(line_of, section, f"data link {link.number}", f"link-{link.pk}")
    yield line("when_broken", "reaction to a break", **choice_of(link, "when_broken"))
    yield line("rules", "rules for a break", rules)
    yield line("entries", "call points listed", str(len(link.listed)) if link.listed else "")
    for entry in link.listed:
        line = partial(line_of, section, f"data link {link.number}", f"entry-{entry.pk}")
        yield line("serial", f"serial of entry {entry.place}", entry.serial)
        yield line("number_given", f"number given to entry {entry.place}", entry.number_given)
        zone = str(entry.zone_assigned) if entry.zone_assigned_id else ""
        yield line("zone_assigned", f"zone of entry {entry.place}", zone)
        how = entry.position_id and f"{entry.position.tag}, confirmed: {entry.get_confirmed_how_display()}"
        yield line("position", f"position of entry {entry.place}", how or "")


def input_lines(one, line_of, choice_of):
    """What is set of an input: what it does, for which zone, and by what it is monitored."""
    section = f"Input {one.number}" + (f" {one.name}" if one.name else "")
    line = partial(line_of, section, f"input {one.number}", f"input-{one.pk}")
    if one.starts_at_id:
        yield line("starts_at", "start", one.starts_at.tag)
    yield line("function", "function", **choice_of(one, "function"))
    if one.function in PRESSED and (one.wired or one.long_press or one.short_press):
        yield line("long_press", "long press", **choice_of(one, "long_press"))
        yield line("short_press", "short press", **choice_of(one, "short_press"))
    if one.smoke_zone_id or one.function in PRESSED:
        yield line("smoke_zone", "zone", str(one.smoke_zone) if one.smoke_zone_id else "")
    if one.vent_group_id:
        yield line("vent_group", "group", str(one.vent_group))
    yield line("devices", "devices", ", ".join(wired.position.tag for wired in one.wired) or "none")
    monitored = "resistor" if one.is_monitored else "not monitored"
    yield line("is_monitored", "monitoring of the cable", monitored, choices=("resistor", "not monitored"))
    if one.is_monitored:
        yield line("end_of_line_ohm", "end-of-line resistor", one.end_of_line_ohm, unit="Ω")
        yield line("end_place", "place of the resistor", **choice_of(one, "end_place"))
