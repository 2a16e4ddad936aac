"""The whole check: one call, plain data, every gap a finding."""

import math
from dataclasses import fields, is_dataclass, replace

import pytest

from tests.zones.engineering.designs import codes, make_circuit, make_line, make_panel, only
from zones.engineering import CAUTION, PanelDesign, Severity, check_panel, worst_severity
from zones.engineering.panel_check import battery_duty, operation_of_panel, source_voltages


def test_a_sound_panel_meets_every_value_entered():
    findings = check_panel(make_panel())
    assert {one.severity for one in findings} == {Severity.MEETS, Severity.NOTE}
    assert worst_severity(findings) == Severity.MEETS
    areas = {one.code.split(".")[0] for one in findings}
    assert areas == {"cable", "protection", "supply", "battery", "line", "time", "area", "air", "force", "consistency"}


def test_a_bare_panel_is_all_gaps_and_passes_nothing():
    findings = check_panel(PanelDesign("panel P1", circuits=(make_circuit(),), lines=(make_line(),)))
    assert {"supply.panel", "battery.capacity", "cable.voltage"} <= set(codes(findings, Severity.MISSING))
    assert worst_severity(findings) == Severity.MISSING
    passed = codes(findings, Severity.MEETS)
    assert not {"cable.voltage", "supply.panel", "battery.capacity"}.intersection(passed)


def test_an_empty_panel_can_be_checked_too():
    assert {one.severity for one in check_panel(PanelDesign("panel P1"))} == {Severity.MISSING}


def test_every_finding_has_a_sentence_a_source_with_a_tag_and_sound_numbers():
    for finding in check_panel(make_panel()):
        assert finding.sentence.endswith(".")
        assert finding.source.tag in {"S", "S2", "M", "P", "calc"}
        assert "complian" not in finding.sentence.lower()
        assert all(math.isfinite(figure.value) for figure in finding.inputs if isinstance(figure.value, float))
        if finding.severity == Severity.MEETS:
            assert "within the entered" in finding.sentence.lower()


def unknown_variants(panel):
    """The panel with one optional figure after the other not known."""
    for part in ("supply", "battery"):
        thing = getattr(panel, part)
        for field in fields(thing):
            if field.default is None and getattr(thing, field.name) is not None:
                yield f"{part}.{field.name}", replace(panel, **{part: replace(thing, **{field.name: None})})
    circuit = panel.circuits[0]
    actuator = circuit.actuators[0]
    for field in ("rated_current_a", "minimum_voltage_v", "stroke_mm", "speed_mm_per_s", "at"):
        changed = replace(circuit, actuators=(replace(actuator, **{field: None}), *circuit.actuators[1:]))
        yield f"actuator.{field}", replace(panel, circuits=(changed,))
    for field in ("output_limit_a", "run_time_s", "end_of_line_at"):
        yield f"circuit.{field}", replace(panel, circuits=(replace(circuit, **{field: None}),))
    for field in ("length_m", "conductor"):
        runs = (replace(circuit.runs[0], **{field: None}), *circuit.runs[1:])
        yield f"run.{field}", replace(panel, circuits=(replace(circuit, runs=runs),))
    for field in ("required_area_m2", "area_kind", "needs_detection"):
        yield f"zone.{field}", replace(panel, zones=(replace(panel.zones[0], **{field: None}),))
    for field in ("kind", "width_m", "height_m", "stroke_mm", "reveal_m"):
        yield f"vent.{field}", replace(panel, vents=(replace(panel.vents[0], **{field: None}),))
    yield "battery", replace(panel, battery=None)


@pytest.mark.parametrize(
    ("name", "panel"), list(unknown_variants(make_panel())), ids=[name for name, _ in unknown_variants(make_panel())]
)
def test_one_missing_figure_is_a_finding_and_never_helps(name, panel):
    before, after = check_panel(make_panel()), check_panel(panel)
    assert worst_severity(after) == Severity.MISSING, name
    assert len(codes(after, Severity.MEETS)) <= len(codes(before, Severity.MEETS))
    assert codes(after, Severity.FAIL) == []


def test_a_zone_counts_its_own_vents_only():
    panel = make_panel()
    other = replace(panel.zones[0], name="Z2", required_area_m2=1.3)
    small = replace(panel.vents[0], name="V2", zone="Z2", width_m=0.6)
    findings = check_panel(replace(panel, zones=(*panel.zones, other), vents=(*panel.vents, small)))
    areas = {one.subject: one.severity for one in findings if one.code == "area.zone"}
    assert areas == {"Z1": Severity.MEETS, "Z2": Severity.FAIL}


def test_hot_lengths_that_nobody_entered_are_noted_once():
    finding = only(check_panel(make_panel()), "cable.voltage_fire")
    assert finding.severity == Severity.NOTE
    assert "because no length exposed to fire was entered. The fire engineer decides" in finding.sentence


def test_the_panels_own_drop_is_taken_off_both_sources():
    mains_v, discharged_v = source_voltages(make_panel())
    assert mains_v == pytest.approx(23.7)
    assert discharged_v == pytest.approx(20.7)  # 12 × 1.75 V [P] less 0.3 V


def test_battery_duty_of_a_sequence_is_its_largest_group_and_all_its_time():
    held = {"holds_speed": True}
    circuits = tuple(make_circuit(f"circuit {k}", sequence_step=(k + 1) // 2, actuator=held) for k in (1, 2, 3))
    panel = make_panel(circuits=circuits)
    together = battery_duty(operation_of_panel(panel))
    assert (together.motors_a, together.seconds_each) == (6.0, 50.0)
    sequence = battery_duty(operation_of_panel(replace(panel, supply=replace(panel.supply, sequential=True))))
    assert (sequence.motors_a, sequence.seconds_each) == (4.0, 100.0)


def test_battery_duty_of_a_sequence_without_an_order_is_not_known():
    panel = make_panel(circuits=tuple(make_circuit(f"circuit {k}") for k in (1, 2)))
    duty = battery_duty(operation_of_panel(replace(panel, supply=replace(panel.supply, sequential=True))))
    assert (duty.motors_a, duty.seconds_each, duty.starting_a) == (None, None, None)


def test_the_same_design_gives_the_same_findings():
    assert check_panel(make_panel()) == check_panel(make_panel())


def test_designs_are_frozen():
    panel = make_panel()
    for thing in (panel, panel.supply, panel.battery, panel.circuits[0], panel.lines[0], panel.vents[0]):
        assert is_dataclass(thing)
        with pytest.raises(AttributeError):
            setattr(thing, fields(thing)[0].name, "other")


def test_the_caution_defers_to_people_and_local_codes():
    assert "competent person" in CAUTION
    assert "local codes" in CAUTION
