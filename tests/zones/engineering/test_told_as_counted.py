"""Lines and zones alike are counted by one of their kind: what each says of itself is what was counted."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.zones.engineering.designs import make_device, make_line, make_panel, only
from zones.engineering import AreaKind, Conductor, EndOfLineResistor, LineRole, Severity, SmokeZone, TradePractice
from zones.engineering.detection_lines import AlarmWiring
from zones.engineering.findings import all_when_read, meets
from zones.engineering.line_check import check_line, states_seen
from zones.engineering.sources import RECORD
from zones.engineering.zone_check import check_zones

CABLES = st.tuples(st.floats(0.5, 500), st.sampled_from([Conductor(0.5, 1), Conductor(0.75, 1), Conductor(1.5, 5)]))


@st.composite
def devices(draw, name):
    length_m, conductor = draw(CABLES)
    return make_device(
        *(name, draw(st.sampled_from([LineRole.DETECTOR, LineRole.CALL_POINT]))),
        length_m=length_m,
        conductor=conductor,
        alarm_ohm=draw(st.sampled_from([100.0, 470.0, 680.0, 1_800.0])),
        alarm_wiring=draw(st.sampled_from([AlarmWiring.PARALLEL, AlarmWiring.PARALLEL, AlarmWiring.SERIES])),
        quiescent_current_a=draw(st.sampled_from([0.0, 50e-6, 300e-6])),
        removal_opens_line=draw(st.sampled_from([True, True, False])),
    )


@st.composite
def lines(draw):
    count = draw(st.integers(0, 6))
    on_it = tuple(draw(devices(f"D{k}")) for k in range(count))
    element = EndOfLineResistor(on_it[-1].name if on_it else "panel", draw(st.sampled_from([4_700.0, 10_000.0])), 0.01)
    return make_line(devices=on_it, elements=(element,), keeps_first_alarm=draw(st.sampled_from([True, False, None])))


RANGES = [TradePractice(), TradePractice(short_below_ohm=20.0, alarm_low_ohm=60.0), TradePractice(alarm_high_ohm=700.0)]


@given(lines(), st.sampled_from(RANGES))
@settings(max_examples=80, deadline=None)
def test_a_line_says_of_itself_what_was_counted_of_its_kind(line, practice):
    findings = check_line(line, practice)
    assert all([one.sentence for one in findings])  # refused where another verdict, or another number, is told
    wrong = {f"line.{one.kind}" for one in states_seen(line, practice) if not one.as_wanted} - {
        "line.two alarms together"
    }
    told = {one.code.replace("removal", "removed") for one in findings if one.severity == Severity.FAIL}
    assert wrong <= told
    assert told - {"line.apart", "line.alarm_together"} <= wrong


def test_a_metre_too_much_is_counted_though_its_kind_would_do():
    """12 ohm of 0.75 mm² class 1, out and back, of which a short must look like less than 10."""
    practice = TradePractice(short_below_ohm=10.0)
    near, far = (make_line(devices=(make_device("D1", length_m=length_m),)) for length_m in (200.0, 205.0))
    assert only(check_line(near, practice), "line.short").severity == Severity.MEETS
    assert only(check_line(far, practice), "line.short").severity == Severity.FAIL


def zone_of(name, *vents):
    zone = SmokeZone(name, 1.8, AreaKind.GEOMETRIC, needs_no_inlets=True)
    return zone, [replace(vent, zone=name) for vent in vents]


def test_zones_alike_are_told_by_their_own_names():
    (first,) = make_panel().vents[:1]
    here, own = zone_of("north", replace(first, name="V1"), replace(first, name="V2"))
    there, others = zone_of("south", replace(first, name="V3"), replace(first, name="V4"))
    found = check_zones([here, there], [*own, *others])
    assert [one.subject for one in found] == ["north"] * (len(found) // 2) + ["south"] * (len(found) // 2)
    for one in found:
        assert f"one {one.subject}" in one.sentence


@pytest.mark.parametrize("count", [1, 3])
def test_another_number_of_findings_than_was_counted_is_refused(count):
    counted = [("area.zone", Severity.MEETS), ("area.vent", Severity.MEETS)]
    told = [meets(code, "north", "Zone north is", RECORD) for code, _ in (*counted, *counted)][:count]
    found = all_when_read(counted, "north", lambda: told)
    with pytest.raises(AssertionError, match="2 findings are counted"):
        _ = found[0].sentence
