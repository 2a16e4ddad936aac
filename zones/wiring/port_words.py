"""Lines, data links and inputs in words: where they start, and which of them a device or a cable is on."""

from collections import defaultdict

from zones.models import CoreEnd, DataLink, InputDevice, InputPort, Terminal


def numbers_words(word, numbers):
    """ "input 3", "inputs 1 and 2", "inputs 1, 2 and 4"."""
    numbers = [str(number) for number in numbers]
    if len(numbers) == 1:
        return f"{word} {numbers[0]}"
    return f"{word}s {', '.join(numbers[:-1])} and {numbers[-1]}" if numbers else ""


def input_words(inputs):
    """Inputs as papers name them: "inputs 1 and 2", "inputs 203 and 204 at CP2"."""
    of_start = defaultdict(list)
    for one in inputs:
        of_start[one.starts_at.tag if one.starts_at_id else ""].append(one.number)
    return "; ".join(
        numbers_words("input", sorted(numbers)) + (f" at {start}" if start else "")
        for start, numbers in sorted(of_start.items())
    )


def run_words(position):
    """On what a device is, without the panel: "circuit 2", "line 201", "data link 1", "inputs 1 and 2"; else "".

    The position comes from `with_wiring().with_inputs()`.
    """
    for word, record in (
        ("circuit", position.actuator_circuit),
        ("line", position.detection_line),
        ("data link", position.data_link),
    ):
        if record:
            return f"{word} {record.number}"
    return input_words(wired.input_port for wired in position.at_inputs)


def run_with_panel(position):
    """The same with its panel in front: "P1 circuit 2"; "" where the device is on none."""
    record = position.actuator_circuit or position.detection_line or position.data_link
    panel = record.panel if record else next((wired.input_port.panel for wired in position.at_inputs), None)
    return f"{panel.tag} {run_words(position)}" if panel else ""


def runs_of_cables(cables):
    """Cable key → "P1 data link 1" or "P1 inputs 1 and 2", for cables that are a run of no circuit or line.

    By the terminals on which their cores end: a cable knows only its circuit or line. Three queries for any number.
    """
    keys = [cable.pk for cable in cables if not (cable.actuator_circuit_id or cable.detection_line_id)]
    if not keys:
        return {}
    links, inputs, positions = defaultdict(set), defaultdict(set), defaultdict(set)
    ends = CoreEnd.objects.filter(core__cable__in=keys).values_list(
        "core__cable",
        "terminal__data_link",
        "terminal__input_port",
        "terminal__electrical_kind",
        "terminal__position",
        "terminal__position__data_link",
    )
    for cable, link, input_port, kind, position, link_of_position in ends:
        if link or (kind == Terminal.ElectricalKind.LINK and link_of_position):
            links[cable].add(link or link_of_position)
        if input_port:
            inputs[cable].add(input_port)
        elif position:
            positions[cable].add(position)
    return _named(keys, links, inputs, positions)


def _named(keys, links, inputs, positions):
    known_links = DataLink.objects.select_related("panel__position").in_bulk(set().union(*links.values()))
    wired = InputDevice.objects.filter(position__in=set().union(*positions.values()) if positions else [])
    of_position = defaultdict(set)
    for position, input_port in wired.values_list("position", "input_port"):
        of_position[position].add(input_port)
    for cable in keys:
        if not links[cable] and not inputs[cable]:  # between two devices that are looped on the same inputs
            shared = [of_position[one] for one in positions[cable]]
            inputs[cable] = set.intersection(*shared) if shared else set()
    wanted = set().union(*inputs.values())
    known = InputPort.objects.select_related("panel__position", "starts_at").in_bulk(wanted) if wanted else {}
    found = {}
    for cable in keys:
        if links[cable]:
            found[cable] = ", ".join(sorted(str(known_links[key]) for key in links[cable]))
        elif inputs[cable]:
            records = [known[key] for key in inputs[cable]]
            found[cable] = f"{records[0].panel.tag} {input_words(records)}"
    return found
