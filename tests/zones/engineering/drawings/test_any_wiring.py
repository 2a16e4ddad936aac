"""Any wiring, however wrong, is drawn, and readably: properties over generated panels."""

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.zones.engineering.drawings.cores import badly_drawn_cores
from tests.zones.engineering.drawings.geometry import faults
from tests.zones.engineering.drawings.wirings import terminal
from zones.engineering.drawings.wiring_diagram import draw_canvas, draw_sheets
from zones.engineering.wiring.wired_panel import (
    Link,
    Passing,
    Polarity,
    TerminalKind,
    WiredCable,
    WiredCircuit,
    WiredCore,
    WiredDevice,
    WiredEndOfLine,
    WiredLine,
    WiredPanel,
)

KINDS = ("actuator", "smoke_detector", "manual_call_point", "junction_box", "battery", "fire_alarm_interface", "odd")
WORDS = st.sampled_from(["", "Stair 2", "a very long place above the door of the plant room", "级 2", "<&>\x07"])


@st.composite
def devices(draw, key, is_panel=False):
    band = draw(st.sampled_from(["circuit", "line", ""]))
    place = {band: draw(st.integers(1, 3))} if band and not is_panel else {}
    ends = []
    for number in range(draw(st.integers(0, 8 if is_panel else 5))):
        fields = {"passing": draw(st.sampled_from(Passing)), "polarity": draw(st.sampled_from(Polarity))}
        fields["kind"] = draw(st.sampled_from([TerminalKind.EARTH, TerminalKind.OUTPUT, TerminalKind.UNKNOWN]))
        if is_panel and (band := draw(st.sampled_from(["circuit", "line", ""]))):
            fields[band] = draw(st.integers(1, 3))
        ends.append(terminal(key, number, function=draw(WORDS), **fields))
    return WiredDevice(
        key,
        key if draw(st.booleans()) else f"{key} with a long tag",
        draw(st.sampled_from(KINDS)),
        draw(WORDS),
        draw(st.none() | st.integers(1, 24)),
        draw(st.sampled_from(["", "1.2"])),
        order=draw(st.none() | st.integers(1, 4)),
        terminals=tuple(ends),
        **place,
    )


@st.composite
def panels(draw):
    """A panel with up to eight devices and anything wired to anything: also to nothing, to itself and twice."""
    panel = draw(devices("P1", is_panel=True))
    others = tuple(draw(devices(f"D{number}")) for number in range(draw(st.integers(0, 8))))
    keys = [each.key for device in (panel, *others) for each in device.terminals]
    end = st.sampled_from([*keys, None, "unknown"])
    cables = []
    for number in range(draw(st.integers(0, 6))):
        cores = [
            WiredCore(
                f"W{number}.{at}",
                at,
                draw(st.sampled_from(["", "BN", "GNYE"])),
                draw(end),
                draw(end),
                draw(st.booleans()),
            )
            for at in range(draw(st.integers(0, 5)))
        ]
        cables.append(
            WiredCable(f"W{number}", f"W{number}" * draw(st.integers(1, 9)), cores=tuple(cores), area_mm2=1.5)
        )
    links = [
        Link(f"L{n}", draw(end) or "", draw(end) or "", draw(st.booleans())) for n in range(draw(st.integers(0, 6)))
    ]
    elements = [
        WiredEndOfLine(f"R{n}", draw(end) or "", draw(end) or "", 4700.0) for n in range(draw(st.integers(0, 3)))
    ]
    return WiredPanel(
        panel, others, tuple(cables), tuple(links), tuple(elements), (WiredCircuit(1, name="Stair"),), (WiredLine(2),)
    )


SLOW = settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large]
)


@SLOW
@given(panels())
def test_any_wiring_makes_a_readable_canvas_with_every_core_once(wired):
    sheet = draw_canvas(wired)
    assert faults(sheet) == {}
    assert badly_drawn_cores(wired, [sheet]) == []


@SLOW
@given(panels())
def test_any_wiring_makes_readable_sheets_with_every_core_once(wired):
    sheets = draw_sheets(wired, width_mm=260, height_mm=180)
    assert all(faults(sheet) == {} for sheet in sheets)
    assert badly_drawn_cores(wired, sheets) == []
