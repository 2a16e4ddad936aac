"""The wiring of one panel as plain data: what the checks read, and what the drawings draw.

Designations after IEC 61666 (`-X3:5`), core colours after IEC 60757. Keys are unique within one `WiredPanel`; records
use their primary keys, examples use tags. Nothing here is checked when it is made: a wrong wiring must be
representable, or its faults could not be told. `checks.py` tells them.
"""

from dataclasses import dataclass
from enum import StrEnum


class TerminalKind(StrEnum):
    """What a terminal carries."""

    SUPPLY = "supply"
    BATTERY = "battery"
    OUTPUT = "output"  # an actuator circuit
    DATA = "data"  # the data core of addressed actuators
    MONITOR = "monitor"  # the core that watches an output up to its end-of-line resistor or module
    LINE = "line"  # a monitored detection line
    LINK = "link"  # the data link of call points: supply, return and data
    INPUT = "input"
    CONTACT = "contact"
    EARTH = "earth"
    OTHER = "other"
    UNKNOWN = ""


class Polarity(StrEnum):
    """The pole of a direct-current terminal; NONE where there is none (data, earth, contacts)."""

    PLUS = "+"
    MINUS = "-"
    NONE = ""


class Passing(StrEnum):
    """Whether a line goes in here or out of here; a terminal that ends it, or is no part of one, is NONE."""

    IN = "in"
    OUT = "out"
    NONE = ""


@dataclass(frozen=True, slots=True)
class WiredTerminal:
    """One terminal; `owner` is the key of its device (the panel is a device too)."""

    key: str
    owner: str
    block: str
    number: str
    function: str = ""
    kind: TerminalKind = TerminalKind.UNKNOWN
    polarity: Polarity = Polarity.NONE
    passing: Passing = Passing.NONE
    voltage_v: float | None = None  # rated; None: not known
    circuit: int | None = None  # where a run starts: the output, line, data link or input to which it belongs
    line: int | None = None
    link: int | None = None
    input: int | None = None
    cores_allowed: int = 1  # by the pattern of its model

    @property
    def starts_run(self) -> bool:
        """Whether a run starts here: the panel or the device offers it."""
        return any(number is not None for number in (self.circuit, self.line, self.link, self.input))

    @property
    def designation(self) -> str:
        return f"-{self.block}:{self.number}"


@dataclass(frozen=True, slots=True)
class WiredDevice:
    """A panel, a junction box or a device at a position.

    `kind` is the register's word for it ("control_panel", "junction_box", "actuator", "smoke_detector" …).
    """

    key: str
    tag: str
    kind: str
    place: str = ""
    zone: int | None = None
    group: str = ""  # "1.2": group 2 of zone 1
    circuit: int | None = None
    line: int | None = None
    link: int | None = None
    inputs: tuple[int, ...] = ()
    order: int | None = None  # on its circuit, line or data link, from where that starts
    terminals: tuple[WiredTerminal, ...] = ()
    pattern: str = (
        ""  # wiring pattern of its model, else the usual one of its kind: what it needs when nothing is there
    )


@dataclass(frozen=True, slots=True)
class WiredCore:
    """One core; `near` and `far` are keys of terminals. None at both ends is right only for a spare core."""

    key: str
    number: int
    colour: str = ""
    near: str | None = None
    far: str | None = None
    is_spare: bool = False


@dataclass(frozen=True, slots=True)
class WiredCable:
    """One cable with the cores recorded; `cores_count` is the number by its type (None: not known)."""

    key: str
    tag: str
    cable_type: str = ""
    cores_count: int | None = None
    area_mm2: float | None = None
    length_m: float | None = None
    circuit: int | None = None
    line: int | None = None
    cores: tuple[WiredCore, ...] = ()
    from_place: str = ""  # as written; it stands for an end that lies outside the record, such as a board
    to_place: str = ""


@dataclass(frozen=True, slots=True)
class Link:
    """A link between two terminals of one device: fitted by hand, or made inside the device (`is_internal`)."""

    key: str
    first: str
    second: str
    is_internal: bool = False


@dataclass(frozen=True, slots=True)
class WiredEndOfLine:
    """An end-of-line resistor or module across two terminals of one device or box."""

    key: str
    first: str
    second: str
    value_ohm: float | None = None
    kind: str = "resistor"


@dataclass(frozen=True, slots=True)
class WiredCircuit:
    """An actuator circuit as it should be: `drive` is "addressed", "polarity" or "" (not known).

    `is_complete`: somebody declared its wiring complete; before that, what is not there yet is not known, not wrong.
    """

    number: int
    drive: str = ""
    is_monitored: bool = False
    name: str = ""
    monitored_by: str = ""  # "two": its feed cores; "three": a core of its own; "": not known
    ends_in_box: bool = False
    is_complete: bool = True


@dataclass(frozen=True, slots=True)
class WiredLine:
    """A detection line as it should be; an unused one has its resistor at the terminals where it starts."""

    number: int
    is_used: bool = True
    end_of_line_ohm: float | None = None
    name: str = ""
    is_monitored: bool = True  # False where the record says that it needs no resistor
    zone: int | None = None
    ends_in_box: bool = False
    is_complete: bool = True


@dataclass(frozen=True, slots=True)
class WiredInput:
    """An input as it should be: `function` is "open", "close", "rain" …; monitored by a resistor or not."""

    number: int
    function: str = ""
    is_monitored: bool = False
    end_of_line_ohm: float | None = None
    name: str = ""
    zone: int | None = None
    ends_in_box: bool = False
    is_complete: bool = True


@dataclass(frozen=True, slots=True)
class ListedDevice:
    """A call point as the panel lists it; `device` is the key of the position confirmed, None where none is."""

    place: int
    serial: str = ""
    number_given: int | None = None
    zone: int | None = None
    device: str | None = None
    fitted_serial: str = ""  # of the unit at that position, "" where none is recorded


@dataclass(frozen=True, slots=True)
class WiredLink:
    """A data link of call points with the list that the panel gives; empty: nobody entered it."""

    number: int
    name: str = ""
    listed: tuple[ListedDevice, ...] = ()
    is_complete: bool = True
    is_monitored: bool = False  # the panel asks every call point; there is no end-of-line part


@dataclass(frozen=True, slots=True)
class WiredPanel:
    """A panel with everything wired to it."""

    panel: WiredDevice
    devices: tuple[WiredDevice, ...] = ()
    cables: tuple[WiredCable, ...] = ()
    links: tuple[Link, ...] = ()
    end_of_line_parts: tuple[WiredEndOfLine, ...] = ()
    circuits: tuple[WiredCircuit, ...] = ()
    lines: tuple[WiredLine, ...] = ()
    data_links: tuple[WiredLink, ...] = ()
    inputs: tuple[WiredInput, ...] = ()
    is_complete: bool = True

    def owners(self) -> dict[str, WiredDevice]:
        """Every device by key, the panel first."""
        return {device.key: device for device in (self.panel, *self.devices)}

    def terminals(self) -> dict[str, WiredTerminal]:
        """Every terminal by key, the panel's first."""
        return {terminal.key: terminal for device in (self.panel, *self.devices) for terminal in device.terminals}
