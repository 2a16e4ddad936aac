"""The rows of the wiring page and of the schedules: terminals block by block with core, far end and findings."""

from collections import defaultdict
from dataclasses import dataclass, field

from sites_registry.read_once import read_once
from zones.engineering.drawings.runs import ohm_words
from zones.engineering.findings import Severity, by_severity
from zones.engineering.wiring.checks import check_wiring
from zones.engineering.wiring.core_checks import KIND_WORDS
from zones.engineering.wiring.runs import runs_of
from zones.engineering.wiring.tracing import BOX, TracedWiring, core_name
from zones.engineering.wiring.wired_panel import WiredDevice, WiredPanel
from zones.models import DeviceKind, Terminal
from zones.wiring.check import STATE_OF, shown
from zones.wiring.records import wired_panel
from zones.wiring.state import state_of

KIND_LABELS = dict(DeviceKind.choices)


@dataclass
class TerminalRow:
    """A terminal as it is read and edited; `core` and `far` are texts as one types them."""

    key: str
    pk: int
    name: str
    designation: str
    function: str
    kind: str
    pole: str
    voltage_v: float | None = None
    core: str = ""
    core_only: str = ""
    colour: str = ""
    cable: str = ""
    far: str = ""
    outside: str = ""  # where the core leads to when that is no terminal of the record
    element: str = ""
    links: str = ""
    run: str = ""  # the line or input that starts at this terminal of a device
    more: list = field(default_factory=list)  # (core, colour, cable, far end) of further cores on it
    findings: list = field(default_factory=list)
    checked: object = None

    @property
    def more_words(self):
        """Further cores on the terminal as a page names them: as in "and W2.1 BN to SD2 -X1:1"."""
        names = [
            f"{cable}.{number} {colour}".strip() + (f" to {far}" if far else "")
            for number, colour, cable, far in self.more
        ]
        return f"and {', '.join(names)}" if names else ""


@dataclass
class Block:
    """Rows under one heading: a block of the panel, or a device."""

    heading: str
    note: str
    rows: list


@dataclass
class WiringPage:
    """A panel's wiring as a page shows it."""

    wired: WiredPanel
    findings: list
    choices: list
    chosen: str
    blocks: list

    @property
    def counts(self):
        counts = by_severity(self.findings)
        return [
            (
                STATE_OF[one][0],
                STATE_OF[one][1] + ("s" if one == Severity.FAIL and counts[one] != 1 else ""),
                counts[one],
            )
            for one in STATE_OF
        ]

    @property
    def state(self):
        return state_of([self.wired], findings=self.findings)

    @property
    def shown_findings(self):
        return [shown(finding) for finding in self.findings]

    @property
    def has_wiring(self):
        return bool(self.wired.cables)

    def rows(self):
        return [row for block in self.blocks for row in block.rows]


def read_page(panel, chosen=""):
    """The wiring of a panel, limited to what `chosen` names: "" the panel, "output-2", "link-1", "others", "all"."""
    wired, findings = _wired_and_checked(panel)
    choices = _choices(wired)
    chosen = chosen if chosen in dict(choices) else ""
    page = WiringPage(wired, findings, choices, chosen, blocks_of(wired, findings, chosen))
    add_ticks(page.rows())
    return page


@read_once
def _wired_and_checked(panel):
    wired = wired_panel(panel)
    return wired, check_wiring(wired)


def add_ticks(rows):
    """Say at each row when and by whom it was seen on site as recorded; one query."""
    seen = Terminal.objects.filter(pk__in=[row.pk for row in rows]).exclude(checked_at=None)
    ticks = {terminal.pk: terminal for terminal in seen.select_related("checked_by")}
    for row in rows:
        if terminal := ticks.get(row.pk):
            row.checked = {"at": terminal.checked_at, "by": terminal.checked_by.full_name}


RUN_WORDS = {"output": "output", "line": "line", "link": "data link", "input": "input"}


def _runs(wired):
    """The runs of a panel by the word that names them in addresses."""
    return {"output": wired.circuits, "line": wired.lines, "link": wired.data_links, "input": wired.inputs}


def _choices(wired):
    choices = [("", f"Panel {wired.panel.tag}")]
    for kind, runs in _runs(wired).items():
        word = RUN_WORDS[kind].capitalize()
        choices += [(f"{kind}-{one.number}", f"{word} {one.number} {one.name}".strip()) for one in runs]
    if any(_is_other(device) for device in wired.devices):
        choices.append(("others", "Switches, sensors, boxes"))
    return choices


def _is_other(device):
    return device.circuit is None and device.line is None and device.link is None


def blocks_of(wired, findings=(), chosen=""):
    """Blocks of rows; `chosen` as of `read_page`, "all" for the panel and every device."""
    wiring, told = TracedWiring(wired), _by_name(findings)
    panel, blocks = wired.panel, defaultdict(list)
    kind, _, number = chosen.partition("-")
    for terminal in panel.terminals:
        if chosen in ("", "all") or number in _runs_at(terminal, kind):
            blocks[terminal.block].append(terminal)
    found = [
        Block(f"-{block}", _note(terminals, wired), _rows(wiring, terminals, told))
        for block, terminals in blocks.items()
    ]
    far = _far_along(wiring, kind, number)
    # From where a run starts, as one wires it.
    for device in sorted(wired.devices, key=lambda one: far.get(one.key, len(far))):
        if chosen in ("all", *(("others",) if _is_other(device) else ())) or _is_on(device, kind, number, far):
            found.append(_device_block(device, wiring, told))
    return found


def blocks_of_offering(wired):
    """Blocks of the devices at which lines or inputs start, each with all its terminals."""
    wiring = TracedWiring(wired)
    offering = [device for device in wired.devices if any(terminal.starts_run for terminal in device.terminals)]
    return [_device_block(device, wiring, {}) for device in offering]


_RUN_FIELDS = {"output": "circuit", "line": "line", "link": "link", "input": "input"}


def _runs_at(terminal, kind):
    """The number of the run of this kind that starts at a terminal, as text in a tuple; () where none does."""
    number = getattr(terminal, _RUN_FIELDS[kind]) if kind in _RUN_FIELDS else None
    return () if number is None else (str(number),)


def _far_along(wiring, kind, number):
    """How many cables each device and junction box lies from where the chosen run starts; {} where none is chosen."""
    run = next(
        (run for run in runs_of(wiring) if run.each_of == _RUN_FIELDS.get(kind) and str(run.order.number) == number),
        None,
    )
    return run.distances() if run else {}


def _is_on(device, kind, number, far):
    """Whether a device is on the run, or the run starts at it, or it is a junction box on the way."""
    if device.kind == BOX:
        return device.key in far
    on = device.inputs if kind == "input" else (getattr(device, _RUN_FIELDS.get(kind, ""), None),)
    return number in map(str, on) or any(number in _runs_at(terminal, kind) for terminal in device.terminals)


def _device_block(device: WiredDevice, wiring, told):
    note = " · ".join(filter(None, [KIND_LABELS.get(device.kind, device.kind), device.place]))
    return Block(device.tag, note, _rows(wiring, device.terminals, told))


def _note(terminals, wired):
    """What a block of the panel serves, where all its terminals serve the same."""
    runs = {_start(terminal) for terminal in terminals} - {None}
    if len(runs) != 1:
        return ""
    word, number = runs.pop()
    orders = {"output": wired.circuits, "line": wired.lines, "data link": wired.data_links, "input": wired.inputs}
    one = next(one for one in orders[word] if one.number == number)
    return " ".join(filter(None, [word, str(number), one.name or getattr(one, "function", "").replace("_", " ")]))


def _start(terminal):
    """("line", 201) of a terminal where a run starts; None of any other."""
    numbers = {"output": terminal.circuit, "line": terminal.line, "data link": terminal.link, "input": terminal.input}
    return next(((word, number) for word, number in numbers.items() if number is not None), None)


def _by_name(findings):
    told = defaultdict(list)
    for finding in findings:
        for name in {str(figure.value) for figure in finding.inputs if figure.name in ("terminal", "core")}:
            told[name].append(finding)
    return told


def _rows(wiring, terminals, told):
    return [_row(wiring, terminal, told) for terminal in terminals]


def _row(wiring, terminal, told):
    row = TerminalRow(
        key=terminal.key,
        pk=int(terminal.key[1:]),
        name=wiring.name(terminal.key),
        designation=terminal.designation,
        function=terminal.function,
        kind=KIND_WORDS.get(terminal.kind, ""),
        pole=terminal.polarity.replace("-", "−"),
        voltage_v=terminal.voltage_v,
    )
    pairs = wiring.on_terminal.get(terminal.key, [])
    if pairs:
        cable, core = pairs[0]
        row.core, row.colour, row.cable = core_name(cable, core), core.colour, cable.tag
        row.core_only = f"{cable.tag}.{core.number}"
        row.far, row.outside = _far_end(wiring, terminal, cable, core)
        row.more = [
            (str(more.number), more.colour, of.tag, " ".join(_far_end(wiring, terminal, of, more)).strip())
            for of, more in pairs[1:]
        ]
    if not wiring.is_at_panel(terminal.key) and (start := _start(terminal)):
        row.run = f"{start[0]} {start[1]}"
    row.element = next(
        (_element_words(one) for one in wiring.wired.end_of_line_parts if terminal.key in (one.first, one.second)), ""
    )
    row.links = ", ".join(
        wiring.terminals[step.terminal].designation for step in wiring.steps[terminal.key] if step.core is None
    )
    seen = {}
    for finding in [*told.get(row.name, ()), *(told.get(row.core, ()) if row.core else ())]:
        seen.setdefault(finding.code, shown(finding))
    row.findings = list(seen.values())
    return row


def _far_end(wiring, terminal, cable, core):
    """(terminal at the other end, where the core leads to when that is no terminal of the record)."""
    other = core.far if core.near == terminal.key else core.near
    if other:
        return wiring.name(other), ""
    return "", cable.from_place if core.near is None else cable.to_place


def _element_words(element):
    value = f" {ohm_words(element.value_ohm)}" if element.value_ohm else ""
    return f"end-of-line {element.kind}{value}"
