"""What cannot be is refused in words: the range by its name, never the name of a field in the code."""

import ast
import re
from pathlib import Path

import pytest

from tests.zones.engineering.designs import make_circuit, make_panel
from zones.calculators.forms.base import FigureField
from zones.calculators.forms.battery import BatteryForm
from zones.calculators.forms.opening_time import OpeningTimeForm
from zones.calculators.forms.supply import SupplyForm
from zones.calculators.forms.vent_area import VentAreaForm
from zones.calculators.forms.voltage_drop import VoltageDropForm
from zones.editing.figures import COMPUTED_AS, refusal_of
from zones.engineering.quantities import QUANTITIES, QuantityError, in_words
from zones.engineering.what_if import with_battery, with_run_length

ROOT = Path(__file__).resolve().parents[3]
SOURCES = sorted((ROOT / "zones").rglob("*.py")) + sorted((ROOT / "inspections").rglob("*.py"))
INTERNAL = re.compile(r"\b[a-z0-9]+_[a-z0-9_]+\b")
UNITS = {"mm", "m", "a", "v", "w", "s", "h", "ah", "ua", "kw", "ohm", "deg", "c", "mm2", "m2", "n", "percent", "k"}
BEYOND = ("-1e9", "1e12")


def fields_named_in_code():
    """Every field that code gives to a QuantityError, or to a check that raises one."""
    of_call = r'(?:QuantityError|require_positive|require_not_negative|require_one_of)\(\s*"([^"]+)"|field="([^"]+)"'
    found = {one or other for path in SOURCES for one, other in re.findall(of_call, path.read_text())}
    of_table = rf'\(\s*"(?:{"|".join(QUANTITIES)})",\s*"([a-z0-9_]+)"\s*\)'
    named = found | {name for path in SOURCES for name in re.findall(of_table, path.read_text())}
    return sorted(named - UNITS)


@pytest.mark.parametrize("field", fields_named_in_code())
def test_a_refusal_names_its_figure_in_words(field):
    sentence = QuantityError(field, 5.0, "greater than 6", subject="V1").in_words()
    assert not INTERNAL.search(sentence), sentence
    assert in_words(field).split()[-1] not in UNITS, f"the unit of {field} stands in its name: {in_words(field)}"


def test_no_refusal_is_shown_by_the_name_in_the_code():
    """``str(error)`` of a QuantityError is for a notebook; whoever shows one says ``error.in_words()``."""
    shown = []
    for path in SOURCES:
        for handler in [one for one in ast.walk(ast.parse(path.read_text())) if isinstance(one, ast.ExceptHandler)]:
            if handler.type is not None and "QuantityError" in ast.unparse(handler.type):
                text = "\n".join(ast.unparse(line) for line in handler.body)
                if re.search(rf"str\({handler.name}\)|\{{{handler.name}\}}", text):
                    shown.append(f"{path.relative_to(ROOT)}:{handler.lineno}")
    assert shown == []


@pytest.mark.parametrize("form", [BatteryForm, OpeningTimeForm, SupplyForm, VentAreaForm, VoltageDropForm])
@pytest.mark.parametrize("text", [*BEYOND, "abc", "1,250", "5 m_m"])
def test_the_errors_of_a_calculator_are_without_internal_names(form, text):
    names = [name for name, field in form.base_fields.items() if isinstance(field, FigureField)]
    errors = form(dict.fromkeys(names, text)).errors
    assert set(names) <= set(errors)
    for name, sentences in errors.items():
        for sentence in sentences:
            assert not INTERNAL.search(sentence.replace(text, "")), f"{name}: {sentence}"


@pytest.mark.parametrize("name", COMPUTED_AS)
def test_the_errors_of_a_record_are_without_internal_names(name):
    for value in BEYOND:
        assert not INTERNAL.search(refusal_of(name, float(value)))


SAME = [  # field of a calculator, field of the record
    (OpeningTimeForm, "stroke_mm", "stroke_mm"),
    (OpeningTimeForm, "speed_mm_per_s", "speed_mm_s"),
    (OpeningTimeForm, "delay_s", "delay_s"),
    (OpeningTimeForm, "run_time_s", "run_time_s"),
    (VoltageDropForm, "length_m", "length_m"),
    (VoltageDropForm, "hot_length_m", "hot_length_m"),
    (VoltageDropForm, "fire_minutes", "fire_minutes"),
    (VoltageDropForm, "rated_current_a", "rated_current_a"),
    (VoltageDropForm, "minimum_voltage_v", "minimum_voltage_v"),
    (BatteryForm, "capacity_ah", "capacity_ah"),
    (BatteryForm, "standby_h", "standby_hours"),
    (BatteryForm, "operations", "operations"),
    (BatteryForm, "greatest_current_a", "discharge_limit_a"),
    (BatteryForm, "peukert_exponent", "peukert_exponent"),
    (BatteryForm, "fuse_a", "battery_fuse_a"),
    (BatteryForm, "charging_limit_a", "charging_limit_a"),
    (BatteryForm, "coldest_c", "battery_coldest_c"),
    (BatteryForm, "starting_s", "starting_s"),
    (VentAreaForm, "width_mm", "width_mm"),
    (VentAreaForm, "height_mm", "height_mm"),
    (VentAreaForm, "reveal_mm", "reveal_mm"),
    (VentAreaForm, "fixing_mm", "fixing_distance_mm"),
    (VentAreaForm, "blade_pitch_mm", "blade_pitch_mm"),
    (VentAreaForm, "required_area_m2", "required_area_m2"),
    (VentAreaForm, "declared_aerodynamic_m2", "aerodynamic_area_m2"),
    (VentAreaForm, "discharge_coefficient", "discharge_coefficient"),
]


@pytest.mark.parametrize(("form", "typed", "recorded"), SAME, ids=[recorded for *_, recorded in SAME])
def test_a_calculator_and_the_record_name_one_range(form, typed, recorded):
    for value in BEYOND:
        (by_hand,) = form({typed: value}).errors[typed]
        assert f"must be {form.base_fields[typed].accepted}." in by_hand
        assert f"must be {form.base_fields[typed].accepted}." in refusal_of(recorded, float(value))


@pytest.mark.parametrize(
    ("tried", "form", "typed"),
    [
        (lambda value: with_run_length(make_circuit(), "C1", value), VoltageDropForm, "length_m"),
        (lambda value: with_battery(make_panel(), value), BatteryForm, "capacity_ah"),
    ],
    ids=["length", "capacity"],
)
def test_a_tried_figure_has_the_range_of_the_calculator(tried, form, typed):
    for value in BEYOND:
        with pytest.raises(QuantityError, match=re.escape(f"must be {form.base_fields[typed].accepted}.")):
            tried(float(value))
