"""Findings about two devices one after the other: which of them opens at a fault."""

from collections.abc import Iterable
from itertools import pairwise
from math import inf

from zones.engineering.circuits import ActuatorCircuit
from zones.engineering.findings import Figure, Finding, Severity, at_most, fail, listed, meets, note, question
from zones.engineering.fuses import ProtectiveDevice
from zones.engineering.quantities import rounded_down
from zones.engineering.sources import DATA_SHEET

_BESIDE = "current of all motors and the panel together"


def check_selectivity(
    circuit: ActuatorCircuit, up: ProtectiveDevice, what: str, beside_a: float | None, greatest_a: float | None
) -> list[Finding]:
    """The device of an output opens before the one upstream, so that a fault on one cable stops one output alone.

    Args:     what: the device upstream in words; beside_a: what else flows through it, ``None``: not known, which can
              only make it open sooner; greatest_a: of a short circuit.
    Source:   the standards of the two devices.
    """
    device, name, code = circuit.device, circuit.name, "protection.selectivity"
    inputs = (Figure("protective device", str(device)), Figure(what, f"{up.rated_a:g} A" if up.rated_a else None))
    if up.unknown:
        unknown = "kind of the fuse" if up.kind is None and up.rated_a else what
        words = f"{unknown} ({what}) not known: whether {name} alone opens at its fault not checked. Enter it to get a "
        return [Finding(code, Severity.MISSING, name, f"{words}verdict.", DATA_SHEET, (Figure(unknown, None), *inputs))]
    if device.rated_a >= up.rated_a:
        words = (
            f"{name}: its {device} is not smaller than the {what} of {up.rated_a:g} A: a fault on its cable opens that "
            f"first, and all outputs stop. Fit a smaller one, or ask the maker of the panel for a larger {what}."
        )
        compared = at_most(device.rated_a, up.rated_a, "A", up.rated_a - device.rated_a)
        return [fail(code, name, words, up.kind.source, inputs, compared=compared)]
    doubtful_a = first_doubt_a(device, up, beside_a or 0.0, greatest_a or inf)
    formula = "longest time of the one against the shortest of the other, at every current of a fault"
    if doubtful_a is None and beside_a is None:
        words = (
            f"{_BESIDE} ({what}) not known: whether {name} alone opens at its fault not checked. Enter the currents of "
            f"motors and panel to get a verdict."
        )
        return [Finding(code, Severity.MISSING, name, words, DATA_SHEET, (Figure(_BESIDE, None, "A"), *inputs))]
    if doubtful_a is None:
        words = f"{name}: its {device} opens before the {what} of {up.rated_a:g} A at every current of a fault"
        return [meets(code, name, words, up.kind.source, inputs, formula)]
    words = (
        f"{name}: by their standards alone its {device} opens before the {what} of {up.rated_a:g} A for certain only "
        f"below {rounded_down(doubtful_a, 1):g} A. Compare the makers' curves, or fit a smaller one."
    )
    return [question(code, name, words, up.kind.source, inputs, formula)]


def one_equipment(circuit: ActuatorCircuit, upstream: Iterable[tuple[str, ProtectiveDevice]]) -> list[Finding]:
    """An electronic limit has no curve of a standard: what opens first is its maker's to say."""
    name, fuses = circuit.name, [what for what, _ in upstream]
    words = (
        f"{name}: its {circuit.device} and the {listed(fuses)} are taken as one equipment of one maker: whether {name} "
        f"alone switches off at its fault not checked. The maker of the panel must have tested it."
    )
    inputs = (Figure("protective device", str(circuit.device)),)
    return [note("protection.selectivity", name, words, DATA_SHEET, inputs)]


def first_doubt_a(device: ProtectiveDevice, up: ProtectiveDevice, beside_a: float, greatest_a: float) -> float | None:
    """The least current at which it is not certain that `device` opens before `up`, A; ``None``: it is at all.

    Args:     beside_a: what else `up` carries; greatest_a: of a short circuit, infinite where not known.
    """
    begins_a = device.surely_opens_a
    steps = {begins_a, *(line * device.rated_a for line, _, _ in device.kind.lines)}
    steps |= {line * up.rated_a - beside_a for line, _, _ in up.kind.lines}
    bounds = sorted(step for step in steps if begins_a <= step < greatest_a)
    if not bounds:
        return min(begins_a, greatest_a)  # it never opens
    for begin_a, end_a in pairwise([*bounds, greatest_a]):  # between two steps neither time changes
        if _melts_first(device, up, begin_a, beside_a):
            continue
        if device.opens_s(begin_a) > up.holds_s(end_a * (1 - 1e-9) + beside_a):
            return begin_a
    return None


def _melts_first(device, up, current_a, beside_a):
    """Beyond the table of two fuses the energy that melts them decides: it no longer changes with the current [P]."""
    if not (device.kind.melts and up.kind.melts):
        return False
    last, _, longest_s = device.kind.lines[-1]
    if current_a < last * device.rated_a:
        return False
    through = (last * device.rated_a) ** 2 * longest_s * (1 + beside_a / current_a) ** 2
    return through <= min((line * up.rated_a) ** 2 * least_s for line, least_s, _ in up.kind.lines)
