"""Replacement air: inlets against outlets by the ratio that is asked, and whether they open together."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.zones.engineering.designs import codes, make_circuit, make_panel, only
from zones.engineering import AreaKind, OpenedBy, Severity, SmokeZone, Vent, VentKind, check_panel
from zones.engineering.area_methods import METHODS, AreaInputs
from zones.engineering.inlet_opening import OpeningCause
from zones.engineering.replacement_air import check_inlets, inlet_coefficient
from zones.engineering.zone_areas import check_zone_area

GEOMETRIC, AERODYNAMIC = AreaKind.GEOMETRIC, AreaKind.AERODYNAMIC
RANK = [Severity.FAIL, Severity.MISSING, Severity.QUESTION, Severity.MEETS]
OUTLET = Vent(  # slides all the way, as it was tested
    *("V1", VentKind.SLIDING, "Z1"),
    **{"height_m": 1.0, "stroke_mm": 1000.0},
    **{"declared_geometric_m2": 2.0, "declared_aerodynamic_m2": 1.2},
)


def inlet(m2, name="I1", **changes):
    figures = {"declared_geometric_m2": m2, "is_inlet": True, "opened_by": OpenedBy.FIXED}
    return Vent(name, **{"zone": "Z1", **figures, **changes})


def zone(ratio=1.0, required_m2=1.5, **changes):
    figures = {"required_area_m2": required_m2, "area_kind": GEOMETRIC, "inlet_ratio": ratio, "inlet_kind": GEOMETRIC}
    return SmokeZone("Z1", **{**figures, **changes})


def verdict(asked, *vents):
    return only(check_inlets(asked, vents), "air.inlets")


@pytest.mark.parametrize(
    ("inlet_m2", "severity"),
    [(1.49, Severity.FAIL), (1.5, Severity.QUESTION), (1.99, Severity.QUESTION), (2.0, Severity.MEETS)],
)
def test_inlets_are_held_against_the_area_required_and_against_what_the_outlets_open(inlet_m2, severity):
    found = verdict(zone(), OUTLET, inlet(inlet_m2))
    assert found.severity == severity
    assert "V1" not in {one.name for one in found.inputs}  # an outlet is no inlet


@pytest.mark.parametrize(
    ("inlet_m2", "severity"), [(0.4, Severity.QUESTION), (0.7, Severity.MISSING), (0.99, Severity.MEETS)]
)
def test_outlets_of_which_nobody_knows_the_sides_count_with_them_against_the_inlets(inlet_m2, severity):
    """0.5 m² in front, 0.984 m² with both triangles (handbook 5)."""
    leaf = Vent("V1", VentKind.TOP_HUNG, "Z1", width_m=1.0, height_m=1.0, stroke_mm=500.0, reveal_m=0.0)
    assert verdict(zone(required_m2=0.3), leaf, inlet(inlet_m2)).severity == severity


def test_an_inlet_of_which_nobody_knows_the_sides_meets_by_its_gap_in_front_alone():
    leaf = Vent("I1", VentKind.TOP_HUNG, "Z1", width_m=1.0, height_m=1.0, stroke_mm=500.0, reveal_m=0.0, is_inlet=True)
    small = replace(OUTLET, height_m=0.3, stroke_mm=300.0, width_m=1.0, declared_geometric_m2=0.3)
    for required_m2, severity in ((0.5, Severity.MEETS), (0.9, Severity.MISSING), (1.2, Severity.FAIL)):
        assert verdict(zone(required_m2=required_m2), small, leaf).severity == severity


def test_a_zone_without_inlet_is_told_when_air_is_asked_for():
    found = verdict(zone(), OUTLET)
    assert found.severity == Severity.FAIL
    assert "has no inlet for replacement air" in found.sentence


def test_what_is_not_asked_is_not_checked():
    assert check_inlets(zone(None, needs_no_inlets=True), [OUTLET]) == []
    assert check_inlets(zone(None, needs_no_inlets=True), [OUTLET, inlet(0.1)]) == []
    (said,) = check_inlets(zone(None), [OUTLET, inlet(9.0)])
    assert said.severity == Severity.NOTE and "not judged" in said.sentence


def test_a_method_that_asks_for_air_asks_until_the_strategy_says_otherwise():
    """Code du travail R. 4216-14: inlets of the same area as the outlets."""
    by_method = zone(None, None, area_kind=None, method=METHODS["fr-workplace"], inputs=AreaInputs(floor_area_m2=150))
    assert verdict(by_method, OUTLET, inlet(1.4)).severity == Severity.FAIL
    good = verdict(by_method, OUTLET, inlet(2.0))
    assert "Code du travail" in good.sentence
    for less, words in (
        ({"needs_no_inlets": True}, "the record says that none are asked for"),
        ({"inlet_ratio": 0.5, "inlet_kind": GEOMETRIC}, "asks for inlets of 1 times the outlets, the strategy for 0.5"),
    ):
        asked = only(check_inlets(replace(by_method, **less), [OUTLET, inlet(2.0)]), "air.method")
        assert asked.severity == Severity.QUESTION and words in asked.sentence


def test_inlets_never_count_as_smoke_outlets():
    found = only(check_zone_area(zone(required_m2=3.0), [OUTLET, inlet(5.0)]), "area.zone")
    assert found.severity == Severity.FAIL
    assert "opens 2 m²" in found.sentence
    panel = make_panel()
    only_inlets = replace(panel, vents=tuple(replace(vent, is_inlet=True) for vent in panel.vents))
    lacking = only(check_panel(only_inlets), "consistency.zone")
    assert lacking.severity == Severity.FAIL and "no smoke outlet" in lacking.sentence


def test_an_area_that_is_not_known_gives_no_verdict():
    assert verdict(zone(), OUTLET, inlet(None)).severity == Severity.MISSING
    assert verdict(zone(), replace(OUTLET, declared_geometric_m2=None), inlet(1.6)).severity == Severity.MISSING
    unlike = verdict(zone(inlet_kind=AERODYNAMIC), OUTLET, inlet(9.0))
    assert unlike.severity == Severity.MISSING and "declared aerodynamic area" in unlike.sentence


def test_a_leaf_as_an_inlet_gets_an_estimate_by_its_angle_and_no_verdict():
    """German DIN 18232-2, inlets: 0.4 from 45°, 0.5 from 60° [M]."""
    leaf = inlet(
        None, kind=VentKind.TOP_HUNG, width_m=1.0, height_m=1.0, stroke_mm=800.0, opened_by=OpenedBy.ACTUATOR
    )  # 2 × arcsin(0.4) = 47°
    findings = check_inlets(zone(inlet_kind=AERODYNAMIC), [OUTLET, leaf])
    assert codes(findings, Severity.MEETS) == []
    assert "about 0.4 m² with 0.4 at 47°" in only(findings, "air.estimate").sentence


def test_an_inlet_without_its_actuator_gives_no_verdict_whatever_is_declared():
    slides = {"kind": VentKind.SLIDING, "width_m": 3.0, "height_m": 3.0}
    found = verdict(zone(), OUTLET, inlet(9.0, opened_by=OpenedBy.ACTUATOR, **slides))
    assert found.severity == Severity.MISSING and "stroke of I1 not known" in found.sentence


@pytest.mark.parametrize(
    ("angle_deg", "coefficient"),
    [(None, None), (29.9, None), (30, 0.3), (44.9, 0.3), (45, 0.4), (60, 0.5), (89, 0.5), (90, 0.65), (120, 0.65)],
)
def test_the_coefficient_of_an_inlet_follows_from_its_angle(angle_deg, coefficient):
    """German DIN 18232-2, as the handbook of calculations has it in 5 [M]."""
    assert inlet_coefficient(angle_deg) == coefficient


@pytest.mark.parametrize("by", [OpenedBy.HAND, OpenedBy.DOOR])
def test_an_inlet_that_a_person_opens_is_a_question(by):
    findings = check_inlets(zone(), [OUTLET, inlet(5.0, opened_by=by)])
    assert only(findings, "air.opens").severity == Severity.QUESTION
    assert only(findings, "air.inlets").severity == Severity.MEETS


def test_a_finding_on_inlets_tells_every_figure_and_its_margin():
    tested = replace(OUTLET, declared_geometric_m2=2.0)
    found = verdict(zone(1.5), tested, inlet(1.2), inlet(0.8, "I2"))
    assert found.sentence == (
        "Zone Z1 lets in 2 m² geometric, 0.25 m² less than 1.5 times the 1.5 m² required. Fit or record more inlets."
    )
    assert [tuple(one) for one in found.inputs] == [
        *(("I1", 1.2, "m²"), ("I2", 0.8, "m²"), ("I1 by", "as declared", ""), ("I2 by", "as declared", "")),
        *(("sum of inlets", 2.0, "m²"), ("ratio asked", 1.5, "")),
        *(("required, geometric", 1.5, "m²"), ("outlets open", 2.0, "m²")),
    ]
    assert (found.compared.figure, found.compared.limit) == (2.0, 2.25)
    assert found.compared.margin == pytest.approx(-0.25)
    assert str(found.source) == "fire strategy" and found.formula
    short = verdict(zone(1.0), tested, inlet(1.9))
    assert short.sentence == (
        "Zone Z1 lets in 1.9 m² geometric, 0.1 m² less than 1 times the 2 m² that the outlets open, if enough for the "
        "area required. Ask the fire engineer."
    )
    good = verdict(zone(1.0), tested, inlet(2.5))
    assert good.sentence == (
        "Zone Z1 lets in 2.5 m² geometric for 1 times the outlets, 2 m²: within the entered limit (fire strategy)."
    )
    assert good.compared.margin == pytest.approx(0.5)


def test_without_an_area_required_the_outlets_alone_decide():
    of_outlets = zone(1.0, None, area_kind=None)
    assert verdict(of_outlets, OUTLET, inlet(1.9)).severity == Severity.FAIL
    assert verdict(of_outlets, OUTLET, inlet(2.0)).severity == Severity.MEETS
    lacking = verdict(of_outlets, inlet(2.0))
    assert lacking.severity == Severity.MISSING
    assert lacking.sentence.startswith("geometric area of the smoke outlets of zone Z1 not known")


def test_an_inlet_that_opens_less_far_than_declared_is_not_known():
    leaf = inlet(
        None,
        kind=VentKind.TOP_HUNG,
        width_m=1.0,
        height_m=1.0,
        stroke_mm=300.0,
        tested_angle_deg=60.0,
        declared_aerodynamic_m2=0.5,
        opened_by=OpenedBy.ACTUATOR,
    )
    found = verdict(zone(inlet_kind=AERODYNAMIC), OUTLET, leaf)
    assert found.severity == Severity.MISSING
    assert "declared aerodynamic area at the angle to which it opens of I1" in found.sentence


AREAS = st.one_of(st.none(), st.floats(0.1, 5.0))


def rank(asked, vents):
    return RANK.index(verdict(asked, *vents).severity)


@settings(max_examples=60, deadline=None)
@given(ratio=st.floats(0.1, 4), required=AREAS, opened=AREAS, inlets=st.lists(AREAS, max_size=3), by=st.floats(1, 2))
def test_more_asked_and_less_inlet_are_never_greener_and_no_missing_figure_meets(ratio, required, opened, inlets, by):
    outlet = replace(OUTLET, declared_geometric_m2=opened)
    vents = [outlet, *(inlet(m2, f"I{k}") for k, m2 in enumerate(inlets))]
    asked = zone(ratio, required, area_kind=required and GEOMETRIC)
    now = rank(asked, vents)
    assert rank(replace(asked, inlet_ratio=ratio * by), vents) <= now
    if required:
        assert rank(replace(asked, required_area_m2=required * by), vents) <= now
    if inlets and None not in inlets:
        assert rank(asked, vents[:-1]) <= now
        assert rank(asked, [*vents[:-1], inlet(inlets[-1] / by, "I9")]) <= now
    if RANK[now] == Severity.MEETS:
        assert opened is not None and inlets and None not in inlets
        assert sum(inlets) >= ratio * max(opened, required or 0) - 1e-6


# With the panel: what moves the inlets, when, and by which causes ---------------------------------------------------

LEAF = Vent("I1", VentKind.TOP_HUNG, "Z1", width_m=1.5, height_m=1.5, stroke_mm=500.0, reveal_m=0.0, is_inlet=True)
ALL = OpeningCause("B1 operates", {"A1.1": 0, "A1.2": 0, "A2.1": 0})


def panel_with(*, inlet_circuit=None, causes=(ALL,), **changes):
    circuit = make_circuit("circuit 2", count=1, actuator={"vent": "I1"}) if inlet_circuit is None else inlet_circuit
    panel = make_panel()
    asked = replace(panel.zones[0], inlet_ratio=0.5, inlet_kind=GEOMETRIC)
    figures = {"circuits": (*panel.circuits, *filter(None, [circuit])), "zones": (asked,), "opening_causes": causes}
    return replace(panel, vents=(*panel.vents, LEAF), **{**figures, **changes})


def of_air(panel):
    return {one.code: one for one in check_panel(panel) if one.code.startswith("air.")}


def test_inlets_that_open_with_the_outlets_are_told_so():
    found = of_air(panel_with())
    assert {one.severity for one in found.values()} == {Severity.MEETS}
    assert set(found) == {"air.inlets", "air.time", "air.cause"}


def test_an_inlet_that_opens_later_is_a_question():
    late = make_circuit("circuit 2", count=1, actuator={"vent": "I1"}, delay_s=20.0)
    found = of_air(panel_with(inlet_circuit=late))["air.time"]
    assert found.severity == Severity.QUESTION
    assert "smoke leaves before air comes in" in found.sentence


def test_in_a_sequence_without_a_recorded_order_the_inlets_may_be_last():
    panel = panel_with()
    in_sequence = replace(panel, supply=replace(panel.supply, sequential=True))
    assert of_air(in_sequence)["air.time"].severity == Severity.QUESTION
    ordered = [replace(one, sequence_step=step) for one, step in zip(panel.circuits, (2, 1), strict=True)]
    inlets_first = replace(in_sequence, circuits=tuple(ordered))
    assert of_air(inlets_first)["air.time"].severity == Severity.MEETS


def test_while_a_time_is_not_known_nothing_says_that_they_open_together():
    unknown = make_circuit("circuit 2", count=1, actuator={"vent": "I1", "speed_mm_per_s": None})
    assert "air.time" not in of_air(panel_with(inlet_circuit=unknown))


def test_an_inlet_that_no_output_of_the_panel_moves_is_not_known_to_open():
    found = of_air(panel_with(inlet_circuit=()))
    assert found["air.opens"].severity == Severity.MISSING
    assert not {"air.time", "air.cause"} & set(found)


def driven_by_another(**changes):
    """The inlet I1 on an output of panel P2, which has names of its own for vents of P1."""
    circuit = make_circuit("circuit 2", count=1, actuator={"vent": None, "vent_key": 7}, **changes)
    return replace(
        panel_with(inlet_circuit=()),
        vents=(*make_panel().vents, replace(LEAF, key=7)),
        others=(replace(make_panel(circuits=(circuit,)), name="panel P2"),),
    )


def test_an_inlet_that_another_panel_drives_is_judged_by_the_times_of_that_panel():
    found = of_air(driven_by_another())
    assert "air.opens" not in found
    assert found["air.time"].severity == Severity.MEETS
    late = of_air(driven_by_another(delay_s=20.0))["air.time"]
    assert late.severity == Severity.QUESTION and "smoke leaves before air comes in" in late.sentence


def test_that_the_signal_reaches_the_other_panel_is_left_to_a_test():
    found = of_air(driven_by_another())["air.signal"]
    assert found.severity == Severity.QUESTION
    assert "inlet I1 is opened by panel P2" in found.sentence
    assert "air.signal" not in of_air(panel_with())


@pytest.mark.parametrize(
    ("causes", "severity", "words"),
    [
        (None, Severity.MISSING, "cause and effect of panel P1 not known"),
        (
            (OpeningCause("B2 operates", {"A9.1": 0}),),
            Severity.MISSING,
            "nothing in the cause and effect of panel P1 opens its outlets",
        ),
        (
            (OpeningCause("D1 operates", {"A1.1": 0, "A1.2": 0}), ALL),
            Severity.FAIL,
            "D1 operates opens its outlets, but",
        ),
        ((OpeningCause("D1 operates", {"A1.1": 0, "A2.1": 5}),), Severity.QUESTION, "later than its outlets"),
    ],
)
def test_what_opens_the_outlets_must_open_the_inlets(causes, severity, words):
    found = of_air(panel_with(causes=causes))["air.cause"]
    assert found.severity == severity and words in found.sentence


def test_zones_of_which_nothing_is_recorded_share_one_note():
    found = of_air(make_panel())["air.asked"]
    assert found.severity == Severity.NOTE
    asked_none = replace(make_panel().zones[0], needs_no_inlets=True)
    assert of_air(make_panel(zones=(asked_none,))) == {}
