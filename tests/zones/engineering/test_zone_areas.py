"""Free area of a zone: like is compared with like, and only what was tested counts as aerodynamic."""

from dataclasses import replace

import pytest

from tests.zones.engineering.designs import codes, only
from zones.engineering import AreaKind, OpenedBy, Severity, SmokeZone, Vent, VentKind
from zones.engineering.zone_areas import check_zone_area, vent_area

ONE_SQUARE_METRE = SmokeZone("Z1", 1.0, AreaKind.GEOMETRIC)
LEAF = Vent(
    "V1", VentKind.TOP_HUNG, "Z1", width_m=1.0, height_m=1.0, stroke_mm=500.0, reveal_m=0.0, sides_blocked=False
)  # 0.984 m²: handbook 5


def zone(required_m2=1.0, kind=AreaKind.GEOMETRIC):
    return SmokeZone("Z1", required_m2, kind)


def test_a_leaf_of_one_metre_just_misses_one_square_metre():
    finding = only(check_zone_area(zone(), [LEAF]), "area.zone")
    assert finding.severity == Severity.FAIL
    assert "opens 0.984 m² geometric, 0.016 m² less than the 1 m² required" in finding.sentence


def test_a_longer_stroke_reaches_it_and_the_frame_limits():
    findings = check_zone_area(zone(), [replace(LEAF, stroke_mm=600.0)])
    assert only(findings, "area.zone").severity == Severity.MEETS
    more = check_zone_area(zone(1.01), [replace(LEAF, stroke_mm=900.0)])
    assert only(more, "area.zone").severity == Severity.FAIL


def test_the_vents_of_a_zone_add_up():
    vents = [LEAF, replace(LEAF, name="V2")]
    assert only(check_zone_area(zone(1.96), vents), "area.zone").severity == Severity.MEETS
    assert only(check_zone_area(zone(1.97), vents), "area.zone").severity == Severity.FAIL


def test_an_aerodynamic_requirement_is_not_met_by_geometry():
    """Never compare a geometric result with an aerodynamic requirement: handbook 5."""
    findings = check_zone_area(zone(0.5, AreaKind.AERODYNAMIC), [LEAF])
    assert only(findings, "area.zone").severity == Severity.MISSING
    estimate = only(findings, "area.estimate")
    assert estimate.severity == Severity.NOTE
    assert estimate.subject == only(findings, "area.zone").subject
    assert "An estimate is no verdict" in estimate.sentence


def aerodynamic(required_m2, *vents):
    return check_zone_area(zone(required_m2, AreaKind.AERODYNAMIC), vents)


TESTED = replace(LEAF, discharge_coefficient=0.6, coefficient_tested=True, tested_angle_deg=28.9)


def test_a_coefficient_without_a_test_gives_an_estimate_and_with_one_a_verdict():
    guessed = replace(TESTED, coefficient_tested=False)
    assert codes(aerodynamic(0.59, guessed), Severity.MEETS) == []
    assert only(aerodynamic(0.60, TESTED), "area.zone").severity == Severity.MEETS  # 1.0 × 1.0 × 0.6
    finding = only(aerodynamic(0.61, TESTED), "area.zone")
    assert finding.severity == Severity.FAIL
    assert "0.6 m² aerodynamic" in finding.sentence


def test_a_coefficient_belongs_to_the_frame_not_to_the_gap():
    """1.2 × 1.0 m, Cv 0.35: 0.42 m², never Cv times the computed gap (handbook 5)."""
    vent = replace(TESTED, width_m=1.2, stroke_mm=200.0, discharge_coefficient=0.35, tested_angle_deg=11.0)
    finding = only(aerodynamic(0.42, vent), "area.zone")
    assert finding.severity == Severity.MEETS
    assert ("V1 by", "frame × tested coefficient at 11°", "") in finding.inputs


@pytest.mark.parametrize("what", [{"discharge_coefficient": 0.6}, {"declared_aerodynamic_m2": 0.6}])
def test_opened_less_far_than_tested_there_is_no_verdict(what):
    short = replace(TESTED, **({"discharge_coefficient": None} | what), tested_angle_deg=29.1)
    finding = only(aerodynamic(0.1, short), "area.zone")
    assert finding.severity == Severity.MISSING
    assert "V1 opens 28.9°, its test or declaration holds at 29.1°" in finding.sentence
    assert only(aerodynamic(0.1, replace(short, tested_angle_deg=28.9)), "area.zone").severity == Severity.MEETS


def test_without_the_angle_of_its_test_there_is_no_verdict():
    finding = only(aerodynamic(0.1, replace(TESTED, tested_angle_deg=None)), "area.zone")
    assert finding.severity == Severity.MISSING
    assert finding.sentence.startswith("angle of test or declaration of V1 not known")


def test_a_fixing_nearer_to_the_hinge_opens_farther():
    near = replace(TESTED, fixing_m=0.6, tested_angle_deg=49.0)  # 2 asin(0.5/1.2) = 49.25°
    assert only(aerodynamic(0.1, near), "area.zone").severity == Severity.MEETS


def test_a_sliding_vent_counts_as_declared_when_it_opens_all_the_way():
    sliding = replace(TESTED, kind=VentKind.SLIDING, stroke_mm=1000.0, tested_angle_deg=None)
    assert only(aerodynamic(0.6, sliding), "area.zone").severity == Severity.MEETS
    assert only(aerodynamic(0.1, replace(sliding, stroke_mm=900.0)), "area.zone").severity == Severity.MISSING


def test_an_estimate_names_the_coefficient_of_each_vent():
    vents = (replace(LEAF, discharge_coefficient=0.35), replace(LEAF, name="V2"))
    assert (
        "a coefficient of 0.35 for V1 and 0.6 for V2 in place"
        in only(aerodynamic(0.5, *vents), "area.estimate").sentence
    )


def test_one_untested_vent_leaves_the_zone_without_verdict():
    tested = TESTED
    findings = check_zone_area(zone(0.1, AreaKind.AERODYNAMIC), [tested, replace(LEAF, name="V2")])
    assert "V2" in only(findings, "area.zone").sentence
    assert codes(findings, Severity.MEETS) == []


@pytest.mark.parametrize(
    ("asked", "what"),
    [(zone(None), "required area of zone Z1"), (zone(1.0, None), "kind of required area of zone Z1")],
)
def test_a_missing_requirement_gives_no_verdict(asked, what):
    finding = only(check_zone_area(asked, [LEAF]), "area.zone")
    assert finding.severity == Severity.MISSING
    assert finding.sentence.startswith(what)


def test_a_missing_figure_of_one_vent_gives_no_verdict_on_the_zone():
    findings = check_zone_area(
        zone(0.1), [LEAF, Vent("V2", VentKind.TOP_HUNG, "Z1", width_m=1.0, height_m=1.0, reveal_m=0.0)]
    )
    assert [one.severity for one in findings] == [Severity.MISSING]
    assert findings[0].sentence.startswith("stroke of V2 not known: free area of zone Z1 not checked")


def test_an_impossible_stroke_is_a_finding_and_not_an_error():
    findings = check_zone_area(zone(), [replace(LEAF, height_m=0.3, stroke_mm=1000.0)])
    assert codes(findings, Severity.FAIL) == ["area.vent"]


def test_a_stroke_typed_in_metres_is_questioned():
    findings = check_zone_area(zone(), [replace(LEAF, stroke_mm=0.5)])
    assert "0.5 m is 500 mm" in only(findings, "figure.unusual").sentence


def test_a_declared_aerodynamic_area_counts_as_tested():
    declared = replace(LEAF, declared_aerodynamic_m2=0.62, tested_angle_deg=20.0)
    assert only(check_zone_area(zone(0.62, AreaKind.AERODYNAMIC), [declared]), "area.zone").severity == Severity.MEETS
    assert only(check_zone_area(zone(0.63, AreaKind.AERODYNAMIC), [declared]), "area.zone").severity == Severity.FAIL


def test_of_declared_and_computed_geometric_area_the_smaller_counts():
    assert vent_area(replace(LEAF, declared_geometric_m2=0.9)).geometric_m2 == 0.9
    assert vent_area(replace(LEAF, declared_geometric_m2=1.2)).geometric_m2 == pytest.approx(0.984, abs=5e-4)


DECLARED = replace(LEAF, reveal_m=None, declared_geometric_m2=0.9, tested_angle_deg=28.9)  # gaps cannot be computed


@pytest.mark.parametrize(
    ("changes", "counts_m2"),
    [
        ({}, 0.9),
        ({"stroke_mm": 100.0}, None),  # opens 5.7°
        ({"tested_angle_deg": None}, None),
        ({"stroke_mm": None}, None),
        ({"declared_geometric_m2": 1.5}, None),  # of a frame of 1 m²
        ({"opened_by": OpenedBy.DOOR, "is_inlet": True, "stroke_mm": None}, 0.9),
    ],
)
def test_a_declared_geometric_area_counts_alone_only_where_the_stroke_reaches_its_angle(changes, counts_m2):
    assert vent_area(replace(DECLARED, **changes)).geometric_m2 == counts_m2


def test_a_figure_cleared_never_makes_a_declared_geometric_area_count():
    short = replace(DECLARED, stroke_mm=100.0)
    for vent in (short, Vent("V1", declared_geometric_m2=0.9)):
        findings = check_zone_area(zone(0.5), [vent])
        assert {one.severity for one in findings if one.code == "area.zone"} == {Severity.MISSING}


def test_blades_that_no_actuator_moves_open_nothing():
    blades = {"blades": 8, "blade_pitch_m": 0.12, "blade_angle_deg": 85.0, "kind": VentKind.LOUVRE}
    assert only(check_zone_area(zone(0.8), [replace(LEAF, **blades)]), "area.zone").severity == Severity.MEETS
    idle = replace(LEAF, **blades, stroke_mm=None, declared_aerodynamic_m2=0.6, tested_angle_deg=85.0)
    for kind in AreaKind:
        found = only(check_zone_area(zone(0.5, kind), [idle]), "area.zone")
        assert found.severity == Severity.MISSING and found.sentence.startswith("stroke of V1 not known")


def test_a_declared_aerodynamic_area_never_answers_a_geometric_requirement():
    declared = Vent("V1", VentKind.DOME, "Z1", declared_aerodynamic_m2=5.0)
    assert {one.severity for one in check_zone_area(zone(0.5), [declared])} == {Severity.MISSING}


def test_more_aerodynamic_area_than_frame_is_questioned():
    finding = only(check_zone_area(zone(0.5), [replace(LEAF, declared_aerodynamic_m2=1.1)]), "area.declared")
    assert finding.severity == Severity.QUESTION
    assert "declared with 1.1 m² aerodynamic, but its frame has only 1 m²" in finding.sentence


def test_more_aerodynamic_area_than_frame_meets_nothing():
    above = replace(LEAF, declared_aerodynamic_m2=1.1, tested_angle_deg=20.0)
    findings = aerodynamic(0.5, above)
    assert only(findings, "area.declared").severity == Severity.MISSING
    assert codes(findings, Severity.MEETS) == []


def test_the_angle_is_told_for_leaves_only():
    assert vent_area(LEAF).angle_deg == pytest.approx(28.96, abs=6e-3)  # handbook 5
    assert vent_area(replace(LEAF, kind=VentKind.SLIDING)).angle_deg is None


def test_a_stroke_that_no_hinge_allows_names_the_vent_and_its_figures_in_words():
    finding = only(check_zone_area(zone(), [replace(LEAF, fixing_m=0.2)]), "area.vent")
    assert finding.severity == Severity.FAIL
    assert finding.sentence == (
        "Zone Z1: stroke of V1 is 0.5 m; it must be at most twice the distance to the hinge, 0.4 m. Correct it to get "
        "a verdict."
    )


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"reveal_m": 0.9}, "reveal of V1 is 0.9 m; usual is 0 to 0.6 m"),
        ({"fixing_m": 5.0}, "fixing of V1 is 5 m; usual is 0.2 to 4 m"),
        ({"declared_geometric_m2": 90.0}, "declared geometric of V1 is 90 m²; usual is 0.1 to 60 m²"),
    ],
)
def test_a_strange_figure_of_a_vent_is_questioned_and_used(changes, words):
    findings = check_zone_area(zone(), [replace(LEAF, **changes)])
    assert words in only(findings, "figure.unusual").sentence
    assert any(one.code == "area.zone" for one in findings)


@pytest.mark.parametrize(
    ("required_m2", "severity"),
    [(0.5, Severity.MEETS), (0.9, Severity.MISSING), (1.1, Severity.FAIL)],
)
def test_while_nobody_knows_what_closes_the_sides_only_the_gap_in_front_counts(required_m2, severity):
    """0.5 m² in front, 0.984 m² with both triangles (handbook 5)."""
    findings = check_zone_area(zone(required_m2), [replace(LEAF, sides_blocked=None)])
    found = only(findings, "area.zone")
    assert found.severity == severity
    assert ("whether walls or neighbours close the sides of V1 not known" in found.sentence) == (
        severity == Severity.MISSING
    )
