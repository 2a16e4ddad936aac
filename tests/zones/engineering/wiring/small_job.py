"""The small two-zone job, wired core by core as a fitter builds it, as plain data with names for keys.

Output 1: an addressed actuator, three cores. Output 2: a polarity actuator, three cores to a junction box, two onward;
the
module stands in the box. A data link with two call points; CP1 has a detector on its own line, CP2 none, so that its
resistor sits on its own terminals, and a ventilation switch. A second switch on two inputs of the panel, a detector on
a
line of the panel, a rain sensor on a monitored input. Mains with earth to the body; two battery blocks in series.
"""

from tests.zones.engineering.wiring.examples import device
from zones.engineering.pattern_texts import TWO_CORE_ACTUATOR
from zones.engineering.wiring.wired_panel import (
    Link,
    ListedDevice,
    WiredCable,
    WiredCircuit,
    WiredCore,
    WiredDevice,
    WiredEndOfLine,
    WiredInput,
    WiredLine,
    WiredLink,
    WiredPanel,
    WiredTerminal,
)

PANEL = """X1:L supply 230 V, mains L
X1:N supply 230 V, mains N
X1:PE earth, protective earth
X1:B earth, body of the cabinet
X2:1 battery + 24 V, battery
X2:2 battery - 24 V, battery
XA1:1 output out + 24 V
XA1:2 output out - 24 V
XA1:3 data out
XA2:1 output out + 24 V
XA2:2 output out - 24 V
XA2:3 monitor out
for each line
XL{n}:1 line out + 24 V
XL{n}:2 line out - 24 V
for each data link
XD{n}:1 link out + 24 V, supply
XD{n}:2 link out - 24 V, return
XD{n}:3 link out, data
for each input
XS{n}:1 input out, signal
XS{n}:2 input out, common
XS{n}:3 other + 24 V, supply
XS{n}:4 other - 24 V, supply
"""
COLOURS = ("BN", "BU", "BK", "GY", "WH")


def cable(tag, *pairs, colours=COLOURS, spare=0, **of):
    """A cable with a core for each pair of terminals "P1 -X1:1"; None for an end that lies outside the record."""
    cores = [WiredCore(f"{tag}.{n}", n, colours[n - 1], near, far) for n, (near, far) in enumerate(pairs, start=1)]
    cores += [
        WiredCore(f"{tag}.{n}", n, colours[n - 1], is_spare=True) for n in range(len(cores) + 1, len(cores) + 1 + spare)
    ]
    return WiredCable(tag, tag, "fire resisting", len(cores), 1.5, 10.0, cores=tuple(cores), **of)


def box(tag, *names):
    terminals = tuple(WiredTerminal(f"{tag} -{name}", tag, *name.split(":")) for name in names)
    return WiredDevice(tag, tag, "junction_box", terminals=terminals)


def small_job(**panel_fields):
    """The job as it is right; every part declared complete."""
    panel, _ = device("P1", "control_panel", numbers={"line": [1], "data link": [1], "input": [1, 2, 3]}, pattern=PANEL)
    panel = _of_outputs(panel)
    made = _devices()
    devices = [*(one for one, _ in made), box("JB1", "X1:1", "X1:2", "X1:3", "X2:1", "X2:2")]
    links = [link for _, inside in made for link in inside]
    links += [
        Link("b1", "JB1 -X1:1", "JB1 -X2:1"),
        Link("b2", "JB1 -X1:2", "JB1 -X2:2"),
        Link("pe", "P1 -X1:PE", "P1 -X1:B"),
    ]
    return WiredPanel(
        panel,
        tuple(devices),
        _cables(),
        tuple(links),
        _elements(),
        circuits=(WiredCircuit(1, "addressed"), WiredCircuit(2, "polarity", True, "", "three", ends_in_box=True)),
        lines=(
            WiredLine(1, True, 10_000.0, zone=1),
            WiredLine(201, True, 10_000.0, zone=1),
            WiredLine(202, False, 10_000.0, zone=2),
        ),
        data_links=(
            WiredLink(
                1,
                "",
                (ListedDevice(1, "TC-01", 11, 1, "CP1", "TC-01"), ListedDevice(2, "TC-02", 12, 2, "CP2", "TC-02")),
            ),
        ),
        inputs=(
            WiredInput(1, "open", zone=1),
            WiredInput(2, "close", zone=1),
            WiredInput(3, "rain", True, 10_000.0),
            WiredInput(201, "open", zone=1),
            WiredInput(202, "close", zone=1),
            WiredInput(203, "open", zone=2),
            WiredInput(204, "close", zone=2),
        ),
        **panel_fields,
    )


def _devices():
    return [
        device("M1", "actuator", "addressed", circuit=1, order=1, zone=1),
        device("M2", "actuator", pattern=TWO_CORE_ACTUATOR, circuit=2, order=1, zone=2),
        device(
            "CP1",
            "manual_call_point",
            "data link",
            ports={"line 1": 201, "input 1": 201, "input 2": 202},
            link=1,
            order=1,
            zone=1,
        ),
        device(
            "CP2",
            "manual_call_point",
            "data link",
            ports={"line 1": 202, "input 1": 203, "input 2": 204},
            link=1,
            order=2,
            zone=2,
        ),
        device("SD1", "smoke_detector", line=201, order=1, zone=1),
        device("SD2", "smoke_detector", line=1, order=1, zone=1),
        device("VS1", "ventilation_switch", inputs=(203, 204), zone=2),
        device("VS2", "ventilation_switch", inputs=(1, 2), zone=1),
        device("RS1", "rain_sensor", inputs=(3,)),
        device("G1", "battery"),
        device("G2", "battery"),
    ]


def _of_outputs(panel):
    from dataclasses import replace

    return replace(
        panel,
        terminals=tuple(
            replace(one, circuit=int(one.block[2:])) if one.block.startswith("XA") else one for one in panel.terminals
        ),
    )


def _cables():
    return (
        cable(
            "W0",
            (None, "P1 -X1:L"),
            (None, "P1 -X1:N"),
            (None, "P1 -X1:PE"),
            colours=("BN", "BU", "GNYE"),
            from_place="board DB1",
            to_place="P1",
        ),
        cable("W1", ("P1 -XA1:1", "M1 -X1:1"), ("P1 -XA1:2", "M1 -X1:2"), ("P1 -XA1:3", "M1 -X1:3"), circuit=1),
        cable("W2", ("P1 -XA2:1", "JB1 -X1:1"), ("P1 -XA2:2", "JB1 -X1:2"), ("P1 -XA2:3", "JB1 -X1:3"), circuit=2),
        cable("W3", ("JB1 -X2:1", "M2 -X1:1"), ("JB1 -X2:2", "M2 -X1:2"), circuit=2, spare=1),
        cable("W4", *((f"P1 -XD1:{n}", f"CP1 -X1:{n}") for n in (1, 2, 3))),
        cable("W5", *((f"CP1 -X2:{n}", f"CP2 -X1:{n}") for n in (1, 2, 3))),
        cable("W6", ("CP1 -X3:1", "SD1 -X1:1"), ("CP1 -X3:2", "SD1 -X1:2"), line=201),
        cable("W7", *((f"CP2 -X4:{n}", f"VS1 -X1:{n}") for n in (1, 2, 3))),
        cable("W8", ("P1 -XS1:2", "VS2 -X1:1"), ("P1 -XS1:1", "VS2 -X1:2"), ("P1 -XS2:1", "VS2 -X1:3")),
        cable("W9", ("P1 -XL1:1", "SD2 -X1:1"), ("P1 -XL1:2", "SD2 -X1:2"), line=1),
        cable(
            "W10",
            ("P1 -XS3:3", "RS1 -X1:1"),
            ("P1 -XS3:4", "RS1 -X1:2"),
            ("P1 -XS3:1", "RS1 -X1:3"),
            ("P1 -XS3:2", "RS1 -X1:4"),
        ),
        cable("WB1", ("P1 -X2:1", "G1 -X1:1")),
        cable("WB2", ("P1 -X2:2", "G2 -X1:2")),
        cable("WB3", ("G1 -X1:2", "G2 -X1:1")),
    )


def _elements():
    return (
        WiredEndOfLine("E2", "JB1 -X1:3", "JB1 -X1:2", None, "module"),
        WiredEndOfLine("R201", "SD1 -X1:3", "SD1 -X1:4", 10_000.0),
        WiredEndOfLine("R202", "CP2 -X3:1", "CP2 -X3:2", 10_000.0),
        WiredEndOfLine("R1", "SD2 -X1:3", "SD2 -X1:4", 10_000.0),
        WiredEndOfLine("R3", "RS1 -X1:3", "RS1 -X1:4", 10_000.0),
    )
