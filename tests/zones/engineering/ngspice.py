"""A general circuit simulator as an independent opinion: runs ngspice in batch mode on one netlist."""

import math
import re
import shutil
import subprocess
import tempfile
from pathlib import Path

import pytest

EXECUTABLE = shutil.which("ngspice")
needs_ngspice = pytest.mark.skipif(
    EXECUTABLE is None, reason="ngspice is not installed (Debian package 'ngspice'): no independent opinion"
)

# Tight enough for 1e-9; gmin must not leak beside lines of some kilohm.
_OPTIONS = ".options reltol=1e-10 abstol=1e-13 vntol=1e-10 gmin=1e-18 itl1=2000"
_PRINTED = re.compile(r"^(?:v\((\S+)\)|i\((\S+)\)) = (\S+)$", re.MULTILINE | re.IGNORECASE)


def operating_point(elements, wanted, *, repeat=1):
    """Values of `wanted` ("v(n1)", "i(vs)") at the operating point of a netlist, in that order.

    `repeat` solves the same network several times in one process, for timing.
    """
    # One expression per line: a long line would be cut by the simulator.
    printed = "\n".join(f"print {name}" for name in wanted)
    again = f"repeat {repeat - 1}\nop\nend\n" if repeat > 1 else ""
    netlist = "\n".join(["* network", *elements, _OPTIONS, ".control", "set numdgt=15", again + "op", printed])
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "network.cir"
        path.write_text(f"{netlist}\n.endc\n.end\n")
        done = subprocess.run([EXECUTABLE, "-b", path], capture_output=True, text=True, check=False)
    found = {(volts or f"i:{amps}").lower(): float(value) for volts, amps, value in _PRINTED.findall(done.stdout)}
    keys = [name[2:-1].lower() if name[0] == "v" else f"i:{name[2:-1].lower()}" for name in wanted]
    missing = [key for key in keys if key not in found]
    if missing:
        raise AssertionError(f"ngspice gave no {missing}:\n{done.stdout}\n{done.stderr}\n{netlist}")
    return [found[key] for key in keys]


def tree_netlist(network, source_v, of=""):
    """Elements of a cable tree; node k is n<k>. Both cores are one resistor, as the return core is alike.

    `of` ends every name, so that several trees stand beside each other.
    """
    lines = [f"VS{of} panel{of} 0 {source_v!r}"]
    for k, feeder in enumerate(network.fed_from):
        above, node = f"panel{of}" if feeder < 0 else f"n{feeder}{of}", f"n{k}{of}"
        lines.append(f"RC{k}{of} {above} {node} {network.loop_ohm[k]!r}")
        if network.current_a[k]:
            lines.append(f"IL{k}{of} {node} 0 {network.current_a[k]!r}")
        if network.power_w[k]:
            lines.append(f"BL{k}{of} {node} 0 I={network.power_w[k]!r}/v({node})")
            lines.append(f".nodeset v({node})={source_v!r}")  # of two solutions the one with the higher voltage
        if network.conductance_s[k]:
            lines.append(f"RL{k}{of} {node} 0 {1 / network.conductance_s[k]!r}")
    return lines


def tree_voltages(network, source_v, *, repeat=1):
    """Voltage at every node of a cable tree, as ngspice sees it."""
    wanted = [f"v(n{k})" for k in range(len(network.fed_from))]
    return operating_point(tree_netlist(network, source_v), wanted, repeat=repeat)


def forest_voltages(trees):
    """Voltage at every node of several (cable tree, source voltage) in one process, a list for each."""
    elements = [
        line for t, (network, source_v) in enumerate(trees) for line in tree_netlist(network, source_v, f"_{t}")
    ]
    names = [[f"v(n{k}_{t})" for k in range(len(network.fed_from))] for t, (network, _) in enumerate(trees)]
    found = iter(operating_point(elements, [name for of_tree in names for name in of_tree]))
    return [[next(found) for _ in of_tree] for of_tree in names]


def resistance_seen(elements, terminal="t"):
    """Resistance between a terminal and ground: 1 A is driven in, the volts are the ohms."""
    (volts,) = operating_point([*elements, f"IT 0 {terminal} 1"], [f"v({terminal})"])
    return math.inf if volts > 1e9 else volts
