"""Required areas by named methods: figures of the documents, and what a strategy's own figure says beside them."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.zones.engineering.designs import codes, only
from zones.engineering import (
    AreaKind,
    OpenedBy,
    QuantityError,
    Severity,
    SmokeZone,
    Vent,
    VentKind,
    worst_severity,
)
from zones.engineering.area_methods import METHODS, AreaInputs, Family
from zones.engineering.plumes import LABEL, large_fire_plume_kg_per_s, layer_rise_k, natural_vent_area_m2
from zones.engineering.required_areas import required_area
from zones.engineering.zone_areas import check_zone_area

HALL = AreaInputs(floor_area_m2=400)
FIRE = AreaInputs(fire_perimeter_m=12, heat_release_kw=5000, clear_height_m=3, layer_depth_m=2)


@pytest.mark.parametrize(
    ("key", "inputs", "area_m2", "kind"),
    [
        ("percent", AreaInputs(floor_area_m2=400, floor_percent=1.5), 6.0, None),
        ("fr-workplace", HALL, 4.0, AreaKind.GEOMETRIC),  # R. 4216-14: 1/100 [S]
        ("fr-workplace", AreaInputs(floor_area_m2=60), 1.0, AreaKind.GEOMETRIC),  # at least 1 m² [S]
        ("en-basement", HALL, 10.0, AreaKind.GEOMETRIC),  # 1/40 [S2]
        ("de-lift-shaft", AreaInputs(floor_area_m2=6), 0.15, AreaKind.GEOMETRIC),  # 2.5 %, at least 0.1 m² [S2]
        ("de-lift-shaft", AreaInputs(floor_area_m2=3), 0.1, AreaKind.GEOMETRIC),
        ("de-stair-old", AreaInputs(floor_area_m2=30), 1.5, AreaKind.GEOMETRIC),  # handbook 5 [S2]
        ("en-lobby", AreaInputs(), 1.5, AreaKind.GEOMETRIC),  # AD B volume 1, 3.51 a [S2]
        ("en-shaft", AreaInputs(), 1.0, AreaKind.GEOMETRIC),  # 3.51 b ii [S2]
        ("en-stair", AreaInputs(), 1.0, AreaKind.GEOMETRIC),
        ("bs-stair", AreaInputs(), 0.7, AreaKind.AERODYNAMIC),  # handbook 5 [S2, weak]
        ("de-stair", AreaInputs(), 1.0, AreaKind.GEOMETRIC),  # model building code, section 35 (8) [S2]
    ],
)
def test_a_method_asks_what_its_document_says(key, inputs, area_m2, kind):
    found = required_area(METHODS[key], inputs)
    assert (found.area_m2, found.method.kind) == (area_m2, kind)


def test_what_is_required_is_rounded_up():
    assert required_area(METHODS["fr-workplace"], AreaInputs(floor_area_m2=123.4)).area_m2 == 1.24


@pytest.mark.parametrize("method", METHODS.values(), ids=METHODS)
def test_every_method_says_where_it_applies_and_asks_for_nothing_that_it_does_not_need(method):
    assert method.applies.endswith(".") and method.source.document
    everything = replace(FIRE, floor_area_m2=400, floor_percent=2)
    whole = required_area(method, everything)
    assert whole.area_m2 > 0
    needed = AreaInputs(**{name: getattr(everything, name) for name in method.needs})
    assert required_area(method, needed).area_m2 == whole.area_m2
    for name in method.needs:  # a figure that is not known never becomes a number
        found = required_area(method, replace(everything, **{name: None}))
        assert found.area_m2 is None and len(found.lacking) == 1


def test_a_large_fire_follows_from_plume_layer_and_buoyancy():
    """Handbook 6.2 and 6.3 one after the other, with 70 % of the heat in the smoke."""
    mass = large_fire_plume_kg_per_s(12, 3, 0.188)
    area_m2 = natural_vent_area_m2(mass, layer_rise_k(3500, mass), 2)
    found = required_area(METHODS["large-fire"], FIRE)
    assert area_m2 <= found.area_m2 < area_m2 + 0.01
    assert "Inlets are counted as unlimited" in " ".join(found.limits)


def test_a_plume_by_grid_search():
    """The least vent that lets the plume out, found by trying: flow through it from the pressure under the layer."""
    found = required_area(METHODS["axisymmetric"], FIRE, inlet_m2=12.0)
    convective_kw, ambient_k, density, gravity = 3500.0, 288.15, 1.225, 9.81
    tip_m = 0.166 * convective_kw**0.4
    assert tip_m > 3  # the fire's flames reach into the layer
    mass = 0.032 * convective_kw**0.6 * 3
    layer_k = ambient_k + convective_kw / mass
    density_of_layer = density * ambient_k / layer_k
    pressure_pa = (density - density_of_layer) * gravity * 2

    def leaves(vent_m2):
        """Pressure that the inlets take is not there for the vent."""
        at_inlets_pa = (mass / 12.0) ** 2 / (2 * density)
        return vent_m2 * (2 * density_of_layer * (pressure_pa - at_inlets_pa)) ** 0.5

    least_m2 = next(m2 / 100 for m2 in range(1, 2000) if leaves(m2 / 100) >= mass)
    assert found.area_m2 == pytest.approx(least_m2, abs=0.0101)


def test_higher_smoke_and_smaller_inlets_never_need_less():
    method = METHODS["axisymmetric"]
    heights = [required_area(method, replace(FIRE, clear_height_m=z)).area_m2 for z in (1, 2, 3, 5, 8, 13, 20)]
    assert heights == sorted(heights)
    inlets = [required_area(method, FIRE, inlet_m2=m2).area_m2 for m2 in (40, 20, 10, 8)]
    assert inlets == sorted(inlets)
    assert "no vent area is enough" in required_area(method, FIRE, inlet_m2=1).refused


@pytest.mark.parametrize(
    ("key", "inputs", "words"),
    [
        ("large-fire", replace(FIRE, clear_height_m=40), "over 2.5 times the perimeter"),
        ("axisymmetric", FIRE, "flames reach into it"),
        ("large-fire", replace(FIRE, heat_release_kw=20_000), "everything burns"),
        ("large-fire", replace(FIRE, heat_release_kw=200), "may not rise"),
        ("large-fire", replace(FIRE, heat_release_kw=4000), "cooler smoke, which needs more area"),
    ],
)
def test_a_plume_says_where_it_does_not_hold(key, inputs, words):
    assert words in " ".join(required_area(METHODS[key], inputs).limits)


def test_an_impossible_input_is_refused():
    with pytest.raises(QuantityError, match="floor_percent is 150"):
        AreaInputs(floor_percent=150)


def vents(m2, kind=AreaKind.GEOMETRIC):
    """One that slides all the way, so that what is declared counts."""
    return [Vent("V1", VentKind.SLIDING, "Z1", height_m=1.0, stroke_mm=1000.0, **{f"declared_{kind}_m2": m2})]


def zone(key, inputs=HALL, required_m2=None, kind=None):
    return SmokeZone("Z1", required_m2, kind, method=METHODS[key], inputs=inputs)


def test_without_a_figure_of_the_strategy_the_method_decides_and_says_so():
    good = only(check_zone_area(zone("fr-workplace"), vents(4.0)), "area.zone")
    assert good.severity == Severity.MEETS
    assert "4 m² are required by 'France, workplaces" in good.sentence
    assert "within the entered limit (Code du travail:2008, R. 4216-14)" in good.sentence
    bad = only(check_zone_area(zone("fr-workplace"), vents(3.9)), "area.zone")
    assert bad.severity == Severity.FAIL


def test_the_strategys_figure_is_judged_and_a_method_that_says_otherwise_is_a_question():
    findings = check_zone_area(zone("fr-workplace", HALL, 3.0, AreaKind.GEOMETRIC), vents(3.5))
    assert only(findings, "area.zone").severity == Severity.MEETS
    asked = only(findings, "area.method")
    assert asked.severity == Severity.QUESTION
    assert "the strategy asks 3 m² geometric" in asked.sentence and "gives 4 m² geometric" in asked.sentence
    alike = check_zone_area(zone("fr-workplace", HALL, 4.0, AreaKind.GEOMETRIC), vents(4.0))
    assert only(alike, "area.method").severity == Severity.NOTE


def test_many_small_vents_do_not_make_up_for_what_is_asked_of_each():
    """Approved Document B volume 1, 3.51: 1 m² into, in and at the head of a smoke shaft, each [S2]."""
    three = [replace(vents(0.4)[0], name=f"V{number}") for number in (1, 2, 3)]
    alone = check_zone_area(zone("en-shaft"), three)
    assert only(alone, "area.each").severity == worst_severity(alone) == Severity.FAIL
    beside = check_zone_area(zone("en-shaft", HALL, 1.0, AreaKind.GEOMETRIC), three)
    assert only(beside, "area.each").severity == Severity.QUESTION
    assert "area.each" not in {one.code for one in check_zone_area(zone("en-shaft"), vents(1.0))}


def test_unlike_kinds_are_not_compared():
    findings = check_zone_area(zone("fr-workplace", HALL, 4.0, AreaKind.AERODYNAMIC), vents(4.0))
    asked = only(findings, "area.method")
    assert asked.severity == Severity.QUESTION and "Unlike kinds are not compared" in asked.sentence


def test_a_method_that_lacks_a_figure_gives_no_verdict_and_names_it():
    alone = check_zone_area(zone("fr-workplace", AreaInputs()), vents(50.0))
    assert codes(alone, Severity.MEETS) == []
    assert "floor area of zone Z1 not known" in only(alone, "area.method").sentence
    beside = check_zone_area(zone("fr-workplace", AreaInputs(), 4.0, AreaKind.GEOMETRIC), vents(50.0))
    assert worst_severity(beside) == Severity.MISSING


@pytest.mark.parametrize("opens_m2", [0.5, 500.0])
@pytest.mark.parametrize("key", [key for key, one in METHODS.items() if one.family is Family.PLUME])
def test_a_plume_alone_never_gives_a_verdict(key, opens_m2):
    large = Vent("V1", zone="Z1", is_inlet=False, declared_geometric_m2=opens_m2)
    findings = check_zone_area(zone(key, FIRE), [large])
    assert codes(findings, Severity.MEETS) == []
    missing = only(findings, "area.zone")
    assert missing.severity == Severity.MISSING
    assert LABEL in missing.sentence and "Enter the area that the fire engineer decided" in missing.sentence


def test_a_strategy_below_a_plume_is_a_question_and_one_above_it_is_not_yet_proof():
    asked = [
        only(check_zone_area(zone("large-fire", FIRE, m2, AreaKind.AERODYNAMIC), vents(9.0)), "area.method")
        for m2 in (1.0, 4.0, 40.0)
    ]
    assert [one.severity for one in asked] == [Severity.QUESTION] * 3  # the middle one: inlets are not known
    inlet = Vent("I1", zone="Z1", is_inlet=True, opened_by=OpenedBy.FIXED, declared_aerodynamic_m2=20.0)
    found = only(
        check_zone_area(zone("large-fire", FIRE, 4.0, AreaKind.AERODYNAMIC), [*vents(9.0), inlet]), "area.method"
    )
    assert found.severity == Severity.NOTE and LABEL in found.sentence


RANK = [Severity.FAIL, Severity.MISSING, Severity.QUESTION, Severity.MEETS, Severity.NOTE]
SOME_M2 = st.one_of(st.none(), st.floats(0.1, 8.0))


@settings(max_examples=60, deadline=None)
@given(
    key=st.sampled_from([*METHODS]),
    floor=st.one_of(st.none(), st.floats(5, 900)),
    entered=SOME_M2,
    opens=SOME_M2,
    by=st.floats(1, 3),
)
def test_a_larger_demand_or_a_smaller_opening_is_never_greener(key, floor, entered, opens, by):
    method = METHODS[key]
    kind = entered and (method.kind or AreaKind.GEOMETRIC)
    asked = zone(key, replace(FIRE, floor_area_m2=floor, floor_percent=1.0), entered, kind)

    def rank(asked, m2, code="area.zone"):
        found = check_zone_area(asked, vents(m2, method.kind or AreaKind.GEOMETRIC))
        return min((RANK.index(one.severity) for one in found if one.code == code), default=len(RANK))

    now = rank(asked, opens)
    if opens is not None:
        assert rank(asked, opens / by) <= now
        assert rank(asked, None) <= max(now, RANK.index(Severity.MISSING))
    if entered is not None:
        assert rank(replace(asked, required_area_m2=entered * by), opens) <= now
    elif floor is not None:
        larger = replace(asked, inputs=replace(asked.inputs, floor_area_m2=floor * by))
        assert rank(larger, opens) <= now
    if now == RANK.index(Severity.MEETS):
        by_method = required_area(method, asked.inputs).area_m2
        assert opens is not None and opens >= (entered or by_method) - 1e-6
        assert entered or method.family is not Family.PLUME


def test_a_finding_on_a_method_tells_every_figure_and_the_label_of_a_plume_alone():
    asked = only(check_zone_area(zone("fr-workplace", HALL, 3.0, AreaKind.GEOMETRIC), vents(3.5)), "area.method")
    unlike = only(check_zone_area(zone("fr-workplace", HALL, 3.0, AreaKind.AERODYNAMIC), vents(3.5)), "area.method")
    plume = only(check_zone_area(zone("axisymmetric", FIRE), vents(3.5)), "area.zone")
    figures = [("floor area", 400, "m²"), ("by the method", 4.0, "m²"), ("as the strategy asks", 3.0, "m²")]
    for one in (asked, unlike):
        assert [tuple(figure) for figure in one.inputs] == figures
        assert one.formula == "floor area × 1 %, at least 1 m²" and LABEL not in one.sentence
    assert [figure.name for figure in plume.inputs] == [
        *("required area", "heat release", "clear height", "layer depth", "by the method", "as the strategy asks"),
    ]
    assert plume.formula.endswith("area by the buoyancy of the layer")


def test_vents_below_a_plume_are_told_beside_the_missing_area():
    small = replace(vents(1.0, AreaKind.AERODYNAMIC)[0], kind=VentKind.LOUVRE, blade_angle_deg=80, tested_angle_deg=80)
    found = only(check_zone_area(zone("axisymmetric", FIRE), [small]), "area.plume")
    assert found.severity == Severity.QUESTION
    assert "its vents open 1 m² aerodynamic, less than the" in found.sentence and LABEL in found.sentence
    enough = replace(small, declared_aerodynamic_m2=100.0)
    assert "area.plume" not in {one.code for one in check_zone_area(zone("axisymmetric", FIRE), [enough])}
