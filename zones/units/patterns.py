"""Terminals made from wiring patterns: those of a device, and those of a panel with its outputs, lines and inputs."""

from dataclasses import dataclass, field

from django.core.exceptions import ValidationError
from django.db import transaction
from simple_history.utils import bulk_create_with_history

from zones.engineering.natural_order import natural_key
from zones.engineering.wiring.patterns import (
    PatternError,
    PatternTerminal,
    default_pattern,
    read_pattern,
    repeated,
)
from zones.models import (
    ActuatorCircuit,
    DataLink,
    DetectionLine,
    DeviceKind,
    Drive,
    EndPlace,
    InputPort,
    ProductModel,
    Terminal,
    TerminalLink,
)
from zones.models.position_rules import check_has_terminals_of_its_own
from zones.models.product_models import ProductModel as Model

MOST_OF_A_PANEL = 200  # outputs, lines or inputs
# Up to here lines and inputs are the panel's own, as printed at its terminals; those that devices offer come after.
NUMBERS_OF_THE_PANEL = 200


@dataclass
class Made:
    """What `use_pattern` did: terminals made, terminals completed, links made."""

    terminals: list = field(default_factory=list)
    completed: list = field(default_factory=list)
    links: list = field(default_factory=list)
    runs: list = field(default_factory=list)


def model_at(position) -> ProductModel | None:
    """The product model fitted at a position, else the one planned."""
    fitting = position.fittings.open().select_related("unit__product_model").first()
    return fitting.unit.product_model if fitting else position.product_model


def pattern_text_for(*, kind, product_model=None, drive=""):
    """The pattern of a product model, else the usual one of its kind; "" where there is none."""
    if product_model is not None and product_model.wiring_pattern.strip():
        return product_model.wiring_pattern
    return default_pattern(kind, drive or (product_model.drive if product_model else ""))


def pattern_of(text):
    """The pattern that a text describes. Raises ValidationError at "wiring_pattern"."""
    try:
        return read_pattern(text)
    except PatternError as error:
        raise ValidationError({"wiring_pattern": str(error)}) from error


def refuse_repeats(pattern):
    """Raise ValidationError at "wiring_pattern" where a pattern that is not of a panel repeats terminals."""
    if any(one.each for one in pattern.terminals):
        raise ValidationError({"wiring_pattern": "Only a panel repeats terminals with 'for each …'. Write each one."})


@transaction.atomic
def change_pattern(*, product_model, text):
    """Store the pattern of a product model; terminals made before stay as they are."""
    pattern = pattern_of(text)
    if product_model.kind != DeviceKind.CONTROL_PANEL:
        refuse_repeats(pattern)
    record = Model.objects.select_for_update(of=("self",)).get(pk=product_model.pk)
    record.wiring_pattern = "\n".join(line.rstrip() for line in text.strip().splitlines())
    record.save()
    return record


@transaction.atomic
def use_device_pattern(*, position, model=None, drive=""):
    """Make the terminals of a device from its pattern; those that are there are only completed. Returns Made.

    Raises ValidationError where the kind has no pattern (a junction box has what its cables need)
    and at the position of a panel.
    """
    check_has_terminals_of_its_own(position)
    drive = drive or ("data link" if position.data_link_id else "")
    text = pattern_text_for(kind=position.kind, product_model=model or model_at(position), drive=drive)
    if not text.strip():
        raise ValidationError(
            f"There is no wiring pattern for {position} ({position.get_kind_display()}). Write one at its product "
            "model, or add its terminals by hand."
        )
    pattern = pattern_of(text)
    terminals, links = repeated(pattern, {})
    made_runs = []
    offered = _ports_of(position, pattern, made_runs)
    rows = [(one, offered.get(one.port, {})) for one, _ in terminals]
    made = _make({"position": position}, position.building_id, rows, links)
    made.runs = made_runs
    return made


def _ports_of(position, pattern, made):
    """The lines and inputs that a device offers by its pattern, by name of the port; those not there are made.

    A device that is on no panel offers them to none: its terminals are made without.
    """
    panel = position.data_link.panel if position.data_link_id else position.panel
    if panel is None or not pattern.ports:
        return {}
    there = {
        f"{one.block}:{one.number}": one
        for one in Terminal.objects.filter(position=position).select_related("detection_line", "input_port")
    }
    offered = {}
    for port in pattern.ports:
        names = [one.name for one in pattern.terminals if one.port == port.name]
        of = "detection_line" if port.kind == "line" else "input_port"
        record = next((found for name in names if (found := getattr(there.get(name), of, None))), None)
        if record is None:
            record = _new_port(position, panel, port)
            made.append(record)
        offered[port.name] = {of: record}
    return offered


def _new_port(position, panel, port):
    records = panel.detection_lines if port.kind == "line" else panel.input_ports
    highest = records.order_by("-number").values_list("number", flat=True).first() or 0
    number = max(highest, NUMBERS_OF_THE_PANEL) + 1
    fields = {
        "panel": panel,
        "starts_at": position,
        "number": number,
        "name": f"{position.tag} {port.function or port.kind}",
        "smoke_zone": position.smoke_zone,
        "end_of_line_ohm": port.needs_ohm,
        "end_place": "" if port.needs_ohm else EndPlace.NONE_NEEDED,
    }
    if port.kind == "line":
        record = DetectionLine(**fields)
    else:
        function = port.function.casefold()
        known = function if function in InputPort.Function.values else ""
        record = InputPort(**fields, function=known, is_monitored=port.needs_ohm is not None)
    record.full_clean()
    record.save()
    return record


@transaction.atomic
def use_panel_pattern(*, panel, outputs=0, lines=0, inputs=0, links=0):
    """Make the terminals of a panel with so many outputs, lines and inputs; what is there is only completed.

    Outputs and lines up to these numbers that the register lacks are made too, without a name. Returns Made.
    """
    for name, number in (("outputs", outputs), ("lines", lines), ("inputs", inputs), ("links", links)):
        if not 0 <= number <= MOST_OF_A_PANEL:
            raise ValidationError({name: f"{number} is not possible: from 0 to {MOST_OF_A_PANEL}."})
    made_runs = []
    circuits = _runs(ActuatorCircuit, panel, outputs, made_runs)
    detection_lines = _runs(DetectionLine, panel, lines, made_runs)
    data_links = _runs(DataLink, panel, links, made_runs)
    input_ports = {one.number: one for one in panel.input_ports.filter(starts_at=None)}
    model = model_at(panel.position)
    own = model is not None and bool(model.wiring_pattern.strip())
    runs = {"output": circuits, "line": detection_lines, "data link": data_links, "input": input_ports}
    rows, all_links = [], []
    # An output's third terminal follows from its drive, so the usual pattern is used once for each drive.
    drives = [(None, circuits)] if own else _by_drive(circuits)
    for place, (drive, some) in enumerate(drives):
        text = pattern_text_for(kind=DeviceKind.CONTROL_PANEL, product_model=model if own else None, drive=drive or "")
        numbers = {"output": sorted(some)}
        for name, of_drive in _by_drive(some):
            numbers[f"{name} output"] = sorted(of_drive)
        if place == 0:
            numbers |= {"line": sorted(detection_lines), "data link": sorted(data_links)}
            numbers["input"] = sorted({*range(1, inputs + 1), *input_ports})
        terminals, links = repeated(pattern_of(text), numbers)
        all_links += links if place == 0 else [link for link in links if link not in all_links]
        for one, number in terminals:
            if number is not None or place == 0:
                rows.append((one, _run_of(one, number, runs)))
    made = _make({"panel": panel}, panel.building_id, rows, all_links)
    made.runs = made_runs
    return made


def _by_drive(circuits):
    addressed = {number: one for number, one in circuits.items() if one.drive == Drive.ADDRESSED}
    others = {number: one for number, one in circuits.items() if one.drive != Drive.ADDRESSED}
    return [(Drive.POLARITY, others), (Drive.ADDRESSED, addressed)]


def _runs(model, panel, wanted, made):
    """Outputs or lines of the panel by number; numbers up to `wanted` that are not there are made."""
    of_panel = {"panel": panel} if model in (ActuatorCircuit, DataLink) else {"panel": panel, "starts_at": None}
    there = {one.number: one for one in model.objects.filter(**of_panel)}
    elsewhere = set(model.objects.filter(panel=panel).values_list("number", flat=True)) - set(there)
    for number in range(1, wanted + 1):
        if number not in there and number not in elsewhere:
            record = model(panel=panel, number=number)
            record.full_clean()
            record.save()
            there[number] = record
            made.append(record)
    return there


_FIELD_OF = {
    "output": "actuator_circuit",
    "line": "detection_line",
    "data link": "data_link",
    "input": "input_port",
}


def _run_of(terminal, number, runs):
    """The record of the output, line, data link or input to which a repeated terminal belongs, by its field."""
    kind = "output" if terminal.each.endswith("output") else terminal.each
    record = runs[kind].get(number) if kind else None
    return {_FIELD_OF[kind]: record} if record else {}


def _make(owner, building_id, rows, links):
    """Make or complete the terminals of one owner, and the links between them."""
    there = {(one.block, one.number): one for one in Terminal.objects.filter(**owner)}
    made = Made()
    for one, run in rows:
        found = there.get((one.block, one.number))
        if found is None:
            terminal = Terminal(
                **owner, building_id=building_id, block=one.block, number=one.number, **_fields(one, run)
            )
            terminal.order_key = natural_key(f"{one.block}:{one.number}")
            made.terminals.append(terminal)
            there[(one.block, one.number)] = terminal
        elif _complete(found, _fields(one, run)):
            made.completed.append(found)
    bulk_create_with_history(made.terminals, Terminal)
    by_name = {f"{block}:{number}": terminal for (block, number), terminal in there.items()}
    made.links = _link([(by_name[first], by_name[second]) for first, second in links])
    return made


def _fields(one: PatternTerminal, run):
    return {
        "function": one.function,
        "electrical_kind": one.kind.value,
        "pole": one.polarity.value,
        "passing": one.passing.value,
        "rated_voltage_v": one.voltage_v,
        "cores_allowed": one.cores_allowed,
        **run,
    }


def _complete(terminal, wanted):
    """Fill what is empty at a terminal; what somebody entered stays. Says whether anything changed."""
    if terminal.electrical_kind and terminal.electrical_kind != wanted["electrical_kind"]:
        return False  # another terminal than the pattern's: nothing of it is known to fit
    changed = {name: value for name, value in wanted.items() if value and not getattr(terminal, name)}
    if wanted["cores_allowed"] > terminal.cores_allowed:
        changed["cores_allowed"] = wanted["cores_allowed"]
    for name, value in changed.items():
        setattr(terminal, name, value)
    if changed:
        terminal.full_clean(exclude=["order_key", "building"])
        terminal.save()
    return bool(changed)


def _link(pairs):
    """Internal links that are not there yet."""
    keys = {tuple(sorted((first.pk, second.pk))) for first, second in pairs}
    there = set(TerminalLink.objects.filter(first__in={first for first, _ in keys}).values_list("first", "second"))
    links = [TerminalLink(first_id=a, second_id=b, is_internal=True) for a, b in sorted(keys - there)]
    bulk_create_with_history(links, TerminalLink)
    return links
