"""Free area of a zone: like is compared with like, and only what was tested counts as aerodynamic."""

from dataclasses import replace

import pytest

from tests.zones.engineering.designs import codes, only
from zones.engineering import AreaKind, Severity, SmokeZone, Vent, VentKind
from zones.engineering.zone_areas import check_zone_area, vent_area

ONE_SQUARE_METRE = SmokeZone("Z1", 1.0, AreaKind.GEOMETRIC)
LEAF = Vent(
    "V1", VentKind.TOP_HUNG, "Z1", width_m=1.0, height_m=1.0, stroke_mm=500.0, reveal_m=0.0
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
    assert "An estimate is no verdict" in estimate.sentence


def test_a_coefficient_without_a_test_gives_an_estimate_and_with_one_a_verdict():
    guessed = replace(LEAF, discharge_coefficient=0.6)
    assert codes(check_zone_area(zone(0.59, AreaKind.AERODYNAMIC), [guessed]), Severity.MEETS) == []
    tested = replace(guessed, coefficient_tested=True)
    assert only(check_zone_area(zone(0.59, AreaKind.AERODYNAMIC), [tested]), "area.zone").severity == Severity.MEETS
    finding = only(check_zone_area(zone(0.60, AreaKind.AERODYNAMIC), [tested]), "area.zone")
    assert finding.severity == Severity.FAIL  # 0.984 × 0.6 = 0.590
    assert "0.59 m² aerodynamic" in finding.sentence


def test_one_untested_vent_leaves_the_zone_without_verdict():
    tested = replace(LEAF, discharge_coefficient=0.6, coefficient_tested=True)
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
    declared = Vent("V1", zone="Z1", declared_aerodynamic_m2=0.62)  # nothing else known of it
    assert only(check_zone_area(zone(0.62, AreaKind.AERODYNAMIC), [declared]), "area.zone").severity == Severity.MEETS
    assert only(check_zone_area(zone(0.63, AreaKind.AERODYNAMIC), [declared]), "area.zone").severity == Severity.FAIL


def test_of_declared_and_computed_geometric_area_the_smaller_counts():
    assert vent_area(replace(LEAF, declared_geometric_m2=0.9)).geometric_m2 == 0.9
    assert vent_area(replace(LEAF, declared_geometric_m2=1.2)).geometric_m2 == pytest.approx(0.984, abs=5e-4)
    assert vent_area(Vent("V1", declared_geometric_m2=0.9)).geometric_m2 == 0.9


def test_a_declared_aerodynamic_area_never_answers_a_geometric_requirement():
    declared = Vent("V1", VentKind.DOME, "Z1", declared_aerodynamic_m2=5.0)
    assert {one.severity for one in check_zone_area(zone(0.5), [declared])} == {Severity.MISSING}


def test_more_aerodynamic_than_geometric_area_is_questioned():
    finding = only(check_zone_area(zone(0.5), [replace(LEAF, declared_aerodynamic_m2=1.1)]), "area.declared")
    assert finding.severity == Severity.QUESTION
    assert "declared with 1.1 m² aerodynamic but opens only 0.984 m² geometric" in finding.sentence


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
