"""Classes of EN 12101-2, from memory: higher is better, but a lower temperature is; what is not declared is not met."""

from dataclasses import replace

import pytest

from tests.zones.engineering.designs import codes, only
from zones.engineering import Severity, Vent, VentKind
from zones.engineering.leaf_force import Leaf
from zones.engineering.quantities import QuantityError
from zones.engineering.vent_classes import VentClasses, check_classes, in_words, is_enough

ASKED = VentClasses(wind_pa=1500, snow_pa=250, cold_c=-5, reliability=1000, heat_c=300)
DECLARED = VentClasses(wind_pa=1500, snow_pa=500, cold_c=-15, reliability=1000, heat_c=300)


def vent(name="V1", **changes):
    return Vent(name, VentKind.TOP_HUNG, "Z1", classes=replace(DECLARED, **changes))


def test_all_classes_met_are_one_finding():
    (finding,) = check_classes("Z1", [vent(), vent("V2")], ASKED)
    assert finding.severity == Severity.MEETS
    assert "its 2 vents are declared for WL 1500, SL 250, T(-05), Re 1000 and B 300 or better" in finding.sentence


@pytest.mark.parametrize(
    ("name", "declared", "asked", "enough"),
    [
        ("wind_pa", 1500, 1500, True),
        ("wind_pa", 1500, 3000, False),
        ("snow_pa", 0, 125, False),
        ("cold_c", -15, 0, True),  # T(-15) works where T(00) is asked
        ("cold_c", 0, -15, False),
        ("cold_c", -5, -15, False),
        ("cold_c", -25, -15, True),
        ("reliability", 50, 1000, False),
        ("heat_c", 600, 300, True),
    ],
)
def test_higher_is_better_but_colder_is_too(name, declared, asked, enough):
    assert is_enough(name, declared, asked) is enough


def test_names_are_as_a_declaration_writes_them():
    assert [in_words("cold_c", number) for number in (0, -5, -15, -25)] == ["T(00)", "T(-05)", "T(-15)", "T(-25)"]


def test_a_class_too_low_fails_and_names_the_vents():
    finding = only(check_classes("Z1", [vent(), vent("V2", cold_c=0)], ASKED)[:1], "class.asked")
    assert finding.severity == Severity.FAIL
    assert "T(-05) is asked, declared is T(00) of V2." in finding.sentence


@pytest.mark.parametrize("field", ["wind_pa", "snow_pa", "cold_c", "reliability", "heat_c"])
def test_what_is_not_declared_is_not_known_and_never_met(field):
    findings = check_classes("Z1", [vent(**{field: None})], VentClasses(**{field: getattr(ASKED, field)}))
    assert [one.severity for one in findings] == [Severity.MISSING]
    assert "of V1 not known" in findings[0].sentence


def test_a_vent_without_any_class_is_asked_for_all_at_once():
    findings = check_classes("Z1", [Vent("V1", zone="Z1")], ASKED)
    assert [one.severity for one in findings] == [Severity.MISSING]
    assert "declared classes WL, SL, T, Re and B of V1 not known" in findings[0].sentence


def test_an_inlet_for_air_is_no_smoke_vent():
    assert check_classes("Z1", [Vent("I1", zone="Z1", is_inlet=True)], ASKED) == []


def test_nothing_asked_is_silent():
    assert check_classes("Z1", [vent()], VentClasses()) == check_classes("Z1", [vent()], None) == []


def test_no_snow_class_on_a_flat_roof_is_a_question():
    """EN 12101-2 [M]: SL 0 is for pitches above 45°, where snow slides off."""
    asked = VentClasses(snow_pa=0)
    flat = replace(vent(snow_pa=0), leaf=Leaf(installed_deg=10.0))
    assert codes(check_classes("Z1", [flat], asked), Severity.QUESTION) == ["class.snow_slope"]
    steep = replace(flat, leaf=Leaf(installed_deg=60.0))
    assert codes(check_classes("Z1", [steep], asked), Severity.QUESTION) == []


def test_a_temperature_class_above_freezing_is_a_slip_of_the_sign():
    with pytest.raises(QuantityError, match=r"T\(-15\) is -15"):
        VentClasses(cold_c=15)
