"""Wiring patterns: the terminals of a product model, one line of text each, and its internal links.

    X1:1 line in + 24 V, from the panel
    link X1:1 X1:3

A line is: terminal, kind, then in any order `in` or `out`, `+` or `-`, a rated voltage, how many cores it takes (`2
cores`); after a comma a function in words. In a panel's pattern the lines below `for each output`, `for each line`,
`for each data link` or `for each input` are repeated, `{n}` standing for the number; `for each addressed output` and
`for each polarity output` are those of one drive, as their third core differs. In a device's pattern the lines
below `port line 1 needs 10000 ohm, detectors` or `port input 1, open` are a line or an input that starts at the device:
which resistor it needs, and `waits at X2:1 X2:2` where that sits while the port is unused (else at its own first two
terminals). Terminals after IEC 61666, kinds of `TerminalKind`.
"""

import re
from dataclasses import dataclass, replace

from zones.engineering.device_kinds import KINDS
from zones.engineering.findings import listed
from zones.engineering.wiring.wired_panel import Passing, Polarity, TerminalKind

MOST_TERMINALS = 200
LONGEST_FUNCTION = 120
EACH = ("output", "addressed output", "polarity output", "line", "data link", "input")
OF_EITHER_DRIVE = {"addressed output", "polarity output"}
_TERMINAL = re.compile(r"-?([^\s:,]{1,16}):([^\s:,]{1,16})$")
_CORES = re.compile(r"\b([1-4]) cores?\b", re.IGNORECASE)
_PORT = re.compile(
    r"port (?P<kind>line|input) (?P<number>[1-9][0-9]?)(?: needs (?P<ohm>[0-9]{1,8}(?:\.[0-9])?) ohm)?"
    r"(?: waits at -?(?P<first>\S+) -?(?P<second>\S+))?$",
    re.IGNORECASE,
)
_VOLTAGE = re.compile(r"([0-9]{1,4}(?:\.[0-9])?)\s*V\b", re.IGNORECASE)
TERMINAL_KINDS = tuple(kind.value for kind in TerminalKind if kind)


class PatternError(ValueError):
    """The text is no pattern; the message names the line and what is expected."""


@dataclass(frozen=True, slots=True)
class PatternTerminal:
    """A terminal of a pattern; `each` says that it is repeated for each "output", "line" or "input" of a panel."""

    block: str
    number: str
    kind: TerminalKind
    polarity: Polarity
    passing: Passing
    voltage_v: float | None
    function: str
    each: str
    port: str  # "line 1": of a line that starts at the device
    cores_allowed: int

    @property
    def name(self) -> str:
        return f"{self.block}:{self.number}"


@dataclass(frozen=True, slots=True)
class PatternPort:
    """A line or an input that a device offers: kind "line" or "input", number, function in words.

    `needs_ohm` is its end-of-line resistor (None: it needs none), `waits_at` where that sits while unused.
    """

    kind: str
    number: int
    function: str = ""
    needs_ohm: float | None = None
    waits_at: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        return f"{self.kind} {self.number}"


@dataclass(frozen=True, slots=True)
class Pattern:
    """The terminals of a product model in order, and which of them are joined inside (names such as "X1:1")."""

    terminals: tuple[PatternTerminal, ...]
    links: tuple[tuple[str, str], ...]
    ports: tuple[PatternPort, ...]


def read_pattern(text: str) -> Pattern:
    """Read a pattern from its lines; empty lines are passed over.

    Raises: PatternError: a line that is not understood, a terminal named twice, a link to a terminal that is not there.
    """
    terminals, links, ports, each, port = [], [], [], "", ""
    for number, raw in enumerate(text.splitlines(), start=1):
        line = " ".join(raw.split())
        if not line:
            continue
        if line.lower().startswith("for each "):
            each, port = line.lower().removeprefix("for each ").rstrip(":"), ""
            if each not in EACH:
                raise PatternError(
                    f"Line {number}: 'for each {each}' is not understood. Write output, addressed output, "
                    "polarity output, line, data link or input."
                )
        elif line.lower().startswith("port "):
            ports.append(_read_port(line, number))
            each, port = "", ports[-1].name
        elif line.lower().startswith("link "):
            links.append(_read_link(line, number))
        else:
            terminals.append(_read_terminal(line, number, each, port))
    _check(terminals, links)
    _check_ports(terminals, ports)
    return Pattern(tuple(terminals), tuple(links), tuple(ports))


def _read_port(line, number):
    head, _, function = line.partition(",")
    found = _PORT.match(" ".join(head.split()))
    if not found:
        raise PatternError(
            f"Line {number}: '{line[:60]}' is no port. Write for instance: port line 1 needs 10000 ohm, detectors."
        )
    waits = tuple(name for name in (found["first"], found["second"]) if name)
    return PatternPort(
        found["kind"].lower(),
        int(found["number"]),
        function.strip(),
        float(found["ohm"]) if found["ohm"] else None,
        waits,
    )


def _check_ports(terminals, ports):
    names = [terminal.name for terminal in terminals]
    for port in ports:
        if [one.name for one in ports].count(port.name) > 1:
            raise PatternError(f"The port {port.name} stands there twice. Give each its own number.")
        if not any(terminal.port == port.name for terminal in terminals):
            raise PatternError(f"The port {port.name} has no terminal. Write its terminals below it.")
        for name in port.waits_at:
            if name not in names:
                raise PatternError(f"The port {port.name} waits at {name}, which is no terminal of the pattern.")


def _read_link(line, number):
    parts = [part.removeprefix("-") for part in line.split()[1:]]
    if len(parts) != 2 or not all(_TERMINAL.match(part) for part in parts) or parts[0] == parts[1]:
        raise PatternError(f"Line {number}: '{line[:60]}' is no link. Write for instance: link X1:1 X1:3.")
    return parts[0], parts[1]


def _read_terminal(line, number, each, port):
    head, _, function = line.partition(",")
    name, _, rest = head.strip().partition(" ")
    found = _TERMINAL.match(name)
    if not found:
        raise PatternError(
            f"Line {number}: '{name[:40]}' is no terminal. Begin with one, for instance: X1:1 line in +."
        )
    if len(function.strip()) > LONGEST_FUNCTION:
        raise PatternError(f"Line {number}: the function has more than {LONGEST_FUNCTION} letters. Shorten it.")
    cores = _CORES.search(rest)
    rest = _CORES.sub(" ", rest)
    voltage = _VOLTAGE.search(rest)
    words = _VOLTAGE.sub(" ", rest).replace("−", "-").lower().split()
    kinds = [word for word in words if word in TERMINAL_KINDS]
    poles = [word for word in words if word in ("+", "-")]
    ways = [word for word in words if word in ("in", "out")]
    strange = [word for word in words if word not in (*kinds, *poles, *ways)]
    if strange or len(kinds) != 1 or len(poles) > 1 or len(ways) > 1:
        why = (
            f"'{strange[0][:20]}' is not understood"
            if strange
            else "give one kind, at most one pole and one of in, out"
        )
        raise PatternError(f"Line {number}: {why}. Kinds are {listed(TERMINAL_KINDS, len(TERMINAL_KINDS))}.")
    if voltage and not 0 < float(voltage[1]) <= 1000:
        raise PatternError(f"Line {number}: {voltage[1]} V is not possible. Write more than 0 and at most 1000 V.")
    if ("{n}" in name) != bool(each):
        hint = "needs {n} in its name, as it is repeated" if each else "has {n}, but stands below no 'for each …'"
        raise PatternError(f"Line {number}: {name} {hint}.")
    return PatternTerminal(
        found[1],
        found[2],
        TerminalKind(kinds[0]),
        Polarity(poles[0] if poles else ""),
        Passing(ways[0] if ways else ""),
        float(voltage[1]) if voltage else None,
        function.strip(),
        each,
        port,
        int(cores[1]) if cores else 1,
    )


def _check(terminals, links):
    if len(terminals) > MOST_TERMINALS:
        raise PatternError(f"{len(terminals)} terminals are too many: at most {MOST_TERMINALS}.")
    names = [terminal.name for terminal in terminals]
    for terminal in terminals:
        # An output has one drive, so the terminals of the other drive may have the same names.
        beside = [
            one for one in terminals if one.name == terminal.name and {one.each, terminal.each} != OF_EITHER_DRIVE
        ]
        if len(beside) > 1:
            raise PatternError(f"{terminal.name} stands there twice. Leave one out.")
    for link in links:
        for name in link:
            if name not in names:
                raise PatternError(f"The link {link[0]} {link[1]} names {name}, which is no terminal of the pattern.")


def repeated(pattern: Pattern, numbers: dict[str, list[int]]) -> tuple[list[tuple[PatternTerminal, int | None]], list]:
    """The pattern written out: terminals with the number of their output, line or input (None: once), and links.

    Args: numbers: {"output": [1, 2], "line": [1], "input": []}; what is left out is not made.
    """
    terminals, links = [], []
    joined = {name: each.each for each in pattern.terminals for name in [each.name]}
    for terminal in pattern.terminals:
        if not terminal.each:
            terminals.append((terminal, None))
    for each in EACH:
        for number in numbers.get(each, ()):
            terminals += [(_numbered(t, number), number) for t in pattern.terminals if t.each == each]
    for first, second in pattern.links:
        for number in numbers.get(joined[first], ()) if joined[first] else (0,):
            links.append(tuple(name.replace("{n}", str(number)) for name in (first, second)))
    return terminals, links


def _numbered(terminal, number):
    def put(text):
        return text.replace("{n}", str(number))

    return replace(terminal, block=put(terminal.block), number=put(terminal.number), function=put(terminal.function))


# Key: the register's word for the kind, then the variant ("" where there is one only).
DEFAULT_PATTERNS = {(kind, variant): text for kind, facts in KINDS.items() for variant, text in facts.patterns.items()}


def default_pattern(kind: str, drive: str = "") -> str:
    """The usual pattern of a kind of device as text, "" where there is none (a junction box: it depends on its cables).

    For panels and actuators the drive decides over the third core; without one, that of polarity is taken. `drive` is
    "data link" for what hangs on one.
    """
    usual = DEFAULT_PATTERNS.get((kind, ""), DEFAULT_PATTERNS.get((kind, "polarity"), ""))
    return DEFAULT_PATTERNS.get((kind, drive), usual)
