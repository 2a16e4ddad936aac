"""Force of the actuators of a vent: never greener with more load or less force, and nothing missing is ever met."""

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.zones.engineering.designs import codes, make_actuator, only
from zones.engineering import Severity, Vent, VentKind
from zones.engineering.circuits import ActuatorCircuit
from zones.engineering.force_check import check_forces
from zones.engineering.force_verdicts import Judged, verdicts_of
from zones.engineering.leaf_force import HingeAt, Leaf, WorstPoint
from zones.engineering.operation import operation_of
from zones.engineering.power_supply import PowerSupply
from zones.engineering.solved_circuits import SolvedCircuit
from zones.engineering.trade_practice import TRADE_PRACTICE
from zones.engineering.travels import travel

# A flap of 1 m × 1 m and 30.6 kg (300 N) on a flat roof: 150 N at the moving edge, 450 N with 600 N/m² of snow.
LEAF = Leaf(
    **{"mass_kg": 30.59, "installed_deg": 0.0, "hinge_at": HingeAt.UPPER, "bracket_m": 1.0, "bracket_depth_m": 0.0},
    **{"wind_opening_pa": 0.0, "snow_pa": 600.0, "movers": 1},
)
FLAP = Vent("V1", VentKind.DOME, "Z1", width_m=1.0, height_m=1.0, stroke_mm=500.0, reveal_m=0.0, key=1, leaf=LEAF)
FORCES = {
    **{"push_force_n": 600.0, "lower_push_force_n": 560.0, "pull_force_n": 600.0, "lower_pull_force_n": 560.0},
    **{"holding_force_n": 1500.0, "vent_key": 1},
}


def operation(*actuators, mains_v=24.0, discharged_v=20.0):
    """A panel whose cables lose nothing: each voltage reaches every actuator as it is."""
    circuit = ActuatorCircuit("circuit 1", (), tuple(actuators))
    travels = [travel(one, "mains", "on mains", mains_v) for one in actuators]
    travels += [travel(one, "end of discharge", "at the end of battery discharge", discharged_v) for one in actuators]
    solved = SolvedCircuit(circuit, {})
    solved.__dict__["travels"] = tuple(travels)
    return replace(operation_of("P1", PowerSupply(), ()), circuits=(solved,))


def check(vent=FLAP, *, actuators=None, practice=TRADE_PRACTICE, **volts):
    drives = actuators if actuators is not None else (make_actuator("A1", **FORCES),)
    return check_forces("P1", ["Z1"], [vent], operation(*drives, **volts), practice)


def with_leaf(**changes):
    return replace(FLAP, leaf=replace(LEAF, **changes))


def test_weight_and_snow_against_the_force_at_the_voltage_that_arrives():
    """(300 + 600) / 2 = 450 N; at 20 V of 18 to 24 V the data sheet gives 560 + 40 / 3 = 573.3 N."""
    finding = only(check(), "force.opening")
    assert finding.severity == Severity.MEETS
    assert finding.sentence == (
        "Zone Z1: V1 needs 450 N at 0 mm of its stroke (0°) to open, its actuator pushes 573 N at the end of battery "
        "discharge, 1.27 times as much; 1.2 times are wanted: within the entered limit (common practice)."
    )
    assert finding.compared.limit == 540 and finding.compared.figure == 573


def test_between_what_it_takes_and_the_margin_is_a_question_and_below_it_a_fail():
    assert only(check(with_leaf(snow_pa=700.0)), "force.opening").severity == Severity.QUESTION  # 500 N, 1.14 times
    finding = only(check(with_leaf(snow_pa=880.0)), "force.opening")  # 590 N
    assert finding.severity == Severity.FAIL
    assert finding.sentence.endswith(
        "too weak. Each must push at least 708 N at 20 V, or stand farther from the hinge."
    )
    finding = only(check(with_leaf(snow_pa=1000.0)), "force.opening")  # 650 N
    assert "too weak. Each must push at least 780 N at 20 V, or" in finding.sentence


def test_the_margin_is_the_firms_to_edit():
    strict = replace(TRADE_PRACTICE, force_margin=1.5)
    assert only(check(practice=strict), "force.opening").severity == Severity.QUESTION
    with pytest.raises(ValueError, match="force_margin"):
        replace(TRADE_PRACTICE, force_margin=0.9)


def test_several_actuators_share_a_leaf_and_the_weakest_counts():
    two = with_leaf(snow_pa=1500.0, movers=2)  # 900 N
    pair = [make_actuator(name, **FORCES) for name in ("A1", "A2")]
    assert only(check(two, actuators=pair), "force.opening").severity == Severity.MEETS  # 1146 N
    weak = [pair[0], replace(pair[1], push_force_n=400.0, lower_push_force_n=400.0)]
    finding = only(check(two, actuators=weak), "force.opening")  # 2 × 400 N
    assert finding.severity == Severity.FAIL and "its 2 actuators together push 800 N" in finding.sentence


def test_an_actuator_that_hangs_elsewhere_is_asked_for():
    finding = only(check(with_leaf(movers=2)), "force.opening")
    assert finding.severity == Severity.MISSING and "circuit of every actuator of V1 not known" in finding.sentence


def test_without_a_second_line_of_the_data_sheet_it_is_checked_at_the_rated_voltage_only():
    one_line = make_actuator("A1", **FORCES | {"lower_push_force_n": None})
    finding = only(check(actuators=[one_line]), "force.opening")
    assert finding.severity == Severity.MISSING
    assert "checked at the rated voltage only: it needs 450 N" in finding.sentence and "has 600 N" in finding.sentence
    assert "at the 20 V that reach it at the end of battery discharge" in finding.sentence
    too_heavy = check(with_leaf(snow_pa=2000.0), actuators=[one_line])
    assert only(too_heavy, "force.opening").severity == Severity.FAIL  # not even at the rated voltage
    at_rated = check(actuators=[one_line], discharged_v=24.0)
    assert only(at_rated, "force.opening").severity == Severity.MEETS


def test_below_its_least_voltage_the_voltage_comes_first():
    finding = only(check(discharged_v=17.0), "force.opening")
    assert finding.severity == Severity.MISSING and "below the 18 V it needs to run" in finding.sentence
    lower_line = make_actuator("A1", **FORCES | {"lower_voltage_v": 16.0})
    assert only(check(actuators=[lower_line], discharged_v=17.0), "force.opening").severity == Severity.MISSING


def test_a_bottom_hung_leaf_is_pulled_shut_against_its_weight():
    window = replace(with_leaf(installed_deg=90.0, wind_opening_pa=50.0), kind=VentKind.BOTTOM_HUNG)
    finding = only(check(window), "force.closing")
    assert finding.severity == Severity.MEETS and "to close, its actuator pulls" in finding.sentence
    assert only(
        check(window, actuators=[make_actuator("A1", **FORCES | {"pull_force_n": 20.0})]), "force.closing"
    ).severity == (Severity.FAIL)
    unknown = check(window, actuators=[make_actuator("A1", **FORCES | {"pull_force_n": None})])
    assert "pull force of A1 not known: force to close" in only(unknown, "force.closing").sentence


def test_suction_on_the_closed_leaf_against_the_holding_force():
    assert codes(check(), Severity.MEETS) == ["force.opening"]  # nobody stated suction
    held = only(check(with_leaf(wind_suction_pa=1500.0)), "force.holding")  # 750 N
    assert held.severity == Severity.MEETS and "needs 750 N to stay shut" in held.sentence
    torn = only(check(with_leaf(wind_suction_pa=3500.0)), "force.holding")  # 1750 N
    assert torn.severity == Severity.FAIL and "too weak. Each must hold at least 2100 N" in torn.sentence
    unknown = check(
        with_leaf(wind_suction_pa=1500.0), actuators=[make_actuator("A1", **FORCES | {"holding_force_n": None})]
    )
    assert only(unknown, "force.holding").severity == Severity.MISSING


def test_a_stroke_that_its_place_on_the_frame_does_not_allow_is_told_once():
    near = check(with_leaf(bracket_m=0.1))
    finding = only(near, "force.geometry")
    assert (finding.severity, finding.subject) == (Severity.FAIL, "Z1")
    assert finding.sentence.startswith("Zone Z1: ")
    assert check(replace(FLAP, fixing_m=0.2)) == []  # the finding on the area says it


def test_an_existing_register_gets_one_quiet_line_for_all_zones():
    bare = replace(FLAP, leaf=Leaf(movers=1))
    findings = check_forces("P1", ["Z1", "Z2"], [bare, replace(bare, zone="Z2")], operation())
    assert [one.severity for one in findings] == [Severity.NOTE]
    assert "zone Z1 and Z2: no weight of a leaf, wind or snow was entered" in findings[0].sentence


def test_of_a_zone_that_is_asked_about_in_part_the_rest_is_named():
    findings = check_forces(
        "P1", ["Z1"], [FLAP, replace(FLAP, name="V2", leaf=Leaf(movers=1))], operation(make_actuator("A1", **FORCES))
    )
    assert "not checked in zone Z1 (V2): no weight" in only(findings, "force.not_checked").sentence


def test_suction_needs_no_weight_where_weight_holds_the_leaf_shut():
    findings = check(with_leaf(mass_kg=None, wind_suction_pa=1500.0))
    assert only(findings, "force.holding").severity == Severity.MEETS
    hatch = check(with_leaf(mass_kg=None, wind_suction_pa=1500.0, opens_inwards=True))
    assert codes(hatch, Severity.MEETS) == []


def test_louvres_and_sliding_vents_are_said_not_to_be_computed():
    findings = check(replace(FLAP, kind=VentKind.LOUVRE))
    assert [one.code for one in findings] == ["force.not_computed"]


def test_of_a_flap_whose_hinge_nobody_recorded_the_worst_edge_counts():
    steep = with_leaf(installed_deg=45.0, hinge_at=None)
    by_edge = [only(check(with_leaf(installed_deg=45.0, hinge_at=edge)), "force.opening") for edge in HingeAt]
    assert only(check(steep), "force.opening").compared.limit == max(one.compared.limit for one in by_edge)


def test_two_leaves_need_an_actuator_each():
    double = replace(with_leaf(bracket_m=0.5, movers=1), kind=VentKind.DOUBLE_LEAF)
    assert "actuator of the second leaf of V1" in only(check(double), "force.opening").sentence
    pair = [make_actuator(name, **FORCES) for name in ("A1", "A2")]
    both = replace(double, leaf=replace(double.leaf, movers=2), stroke_mm=300.0)
    assert "the one of each leaf pushes" in only(check(both, actuators=pair), "force.opening").sentence


KNOWN = ("mass_kg", "installed_deg", "bracket_m", "bracket_depth_m", "wind_opening_pa", "snow_pa")


@pytest.mark.parametrize("field", KNOWN)
def test_a_figure_of_the_leaf_that_is_missing_never_meets(field):
    findings = check(with_leaf(**{field: None}))
    assert codes(findings, Severity.MEETS) == [] and codes(findings, Severity.MISSING)


@pytest.mark.parametrize("field", ["push_force_n", "lower_push_force_n", "rated_voltage_v", "lower_voltage_v"])
def test_a_figure_of_the_actuator_that_is_missing_never_meets(field):
    findings = check(actuators=[make_actuator("A1", **FORCES | {field: None})])
    assert "force.opening" not in codes(findings, Severity.MEETS)


def test_with_a_load_missing_what_is_known_may_fail_already():
    findings = check(with_leaf(snow_pa=None, mass_kg=200.0))
    assert [one.severity for one in findings if one.code == "force.opening"] == [Severity.MISSING, Severity.FAIL]


GREEN = [Severity.FAIL, Severity.QUESTION, Severity.MEETS]


@settings(max_examples=40, deadline=None)
@given(
    st.floats(5, 120),
    st.floats(0, 1500),
    st.floats(0, 400),
    st.floats(0, 90),
    st.floats(100, 2000),
    st.sampled_from(["mass", "snow", "wind", "force", "volts"]),
)
def test_heavier_snowier_windier_or_weaker_is_never_greener(mass, snow, wind, installed, force, worse):
    def severities(mass, snow, wind, force, volts):
        vent = with_leaf(
            **{"mass_kg": mass, "snow_pa": snow, "wind_opening_pa": wind, "wind_suction_pa": wind + 300},
            **{"installed_deg": installed, "bracket_depth_m": 0.1},
        )
        weak = {name: value * force / 600 for name, value in FORCES.items() if name != "vent_key"}
        drive = make_actuator("A1", vent_key=1, **weak)
        return {
            one.code: GREEN.index(one.severity)
            for one in check(vent, actuators=[drive], discharged_v=volts)
            if one.severity in GREEN
        }

    figures = {"mass": mass, "snow": snow, "wind": wind, "force": force, "volts": 22.0}
    worsened = figures | {worse: figures[worse] * {"force": 0.8, "volts": 0.85}.get(worse, 1.4)}
    before, after = severities(**figures), severities(**worsened)
    for code in before.keys() & after.keys():
        assert after[code] <= before[code], code


def test_where_no_lever_is_left_no_force_suffices_and_nothing_is_compared():
    """In line with the hinge no force turns a leaf (statics)."""
    point = WorstPoint(math.inf, 0.0, 0.0)
    (finding,) = verdicts_of(
        "Z1", "force.opening", "to open", "push", [Judged(FLAP, point, 5e4, 1, "")], TRADE_PRACTICE
    )
    assert (finding.severity, finding.compared) == (Severity.FAIL, None)
