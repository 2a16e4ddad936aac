"""The table of kinds: complete, without doubles, naming what is there; and the only place that knows a kind."""

import ast
import re
from dataclasses import fields, replace
from pathlib import Path

import pytest
from django.core.checks import run_checks

from zones.engineering import device_kinds
from zones.engineering.kind_facts import TABLE, ImportWords, IncompleteKind, KindFacts, Run, table_of
from zones.models import DeviceKind, kind_checks

ROOT = Path(__file__).resolve().parents[2]
ROWS = list(device_kinds.KINDS.values())
CALL_POINT = device_kinds.KINDS["manual_call_point"]


def test_a_row_says_which_facts_it_leaves_out():
    facts = [one.name for one in fields(KindFacts) if one.name != "value"]
    said = f"'gas_detector' does not say: {', '.join(facts[:-1])} and {facts[-1]}."
    with pytest.raises(IncompleteKind, match=re.escape(said)):
        KindFacts(value="gas_detector")


def test_every_column_of_the_schedule_has_its_words():
    columns = [row.schedule_column for row in ROWS if row.schedule_column]
    assert columns and all(isinstance(one.heading, str) and one.heading for one in columns)


# Kind → the first letters of its tag, the letter in its symbol; tags hang on doors, and drawings are made.
IN_USE = {
    "control_panel": ("P", "A"),
    "actuator": ("M", "M"),
    "manual_call_point": ("CP", "S"),
    "smoke_detector": ("SD", "B"),
    "heat_detector": ("HD", "B"),
    "ventilation_switch": ("VS", "S"),
    "rain_sensor": ("RS", "B"),
    "wind_sensor": ("WS", "B"),
    "fire_alarm_interface": ("FA", "K"),
    "fire_service_control": ("FS", "S"),
    "indicator": ("IN", "P"),
    "battery": ("G", ""),
    "junction_box": ("JB", "X"),
}


@pytest.mark.parametrize("value", IN_USE)
def test_tags_and_symbols_that_are_in_use_stay_what_they_are(value):
    row = device_kinds.KINDS[value]
    assert (row.tag_prefix, row.symbol.letter) == IN_USE[value]


@pytest.mark.parametrize(
    "value",
    [
        *("smoke_detector", "heat_detector", "rain_sensor", "wind_sensor"),
        *("fire_alarm_interface", "fire_service_control", "indicator"),
    ],
)
def test_a_device_with_electronics_draws_current_all_the_time_and_is_asked_how_much(value):
    """Counted as a bare contact, it would be missing in the size of the battery. Common practice."""
    assert device_kinds.KINDS[value].is_electronic


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"value": "x"}, "'manual_call_point' and 'x' have the same label, 'manual call point'"),
        ({"value": "x", "label": "x"}, "have the same tag_prefix, 'CP'"),
        ({"value": "x", "label": "x", "tag_prefix": "X"}, "have the same schedule_column"),
        (
            {"value": "x", "label": "x", "tag_prefix": "X", "schedule_column": None},
            "have the same import_words, 'call point'",
        ),
    ],
)
def test_two_kinds_do_not_share_a_name(change, sentence):
    with pytest.raises(IncompleteKind, match=re.escape(sentence)):
        table_of(*ROWS, replace(CALL_POINT, **change))


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"tag_prefix": "PS"}, "'ps' could mean the kind of device 'control_panel' ('p', "),  # the plural of P
        ({"tag_prefix": "MCP"}, "'mcp' could mean the kind of device 'manual_call_point' "),  # a word of another
        ({"label": "Battery"}, "'battery' could mean the kind of device 'battery' "),
    ],
)
def test_no_list_can_mean_two_kinds_by_one_word(change, sentence):
    other = {"value": "x", "label": "x ray", "tag_prefix": "X1", "schedule_column": None, "import_words": ImportWords()}
    with pytest.raises(IncompleteKind, match=re.escape(sentence)):
        table_of(*ROWS, replace(CALL_POINT, **{**other, **change}))


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"label_words": ("Melder",)}, "has 1 label_words; de, es, fr, it, nl, pl are needed"),
        ({"belongs_on": Run.CIRCUIT}, "belongs_on a circuit, which is not in its hangs_on"),
    ],
)
def test_a_row_does_not_contradict_itself(change, sentence):
    with pytest.raises(IncompleteKind, match=sentence):
        replace(CALL_POINT, **change)


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"needed_figures": ("colour",)}, "'manual_call_point': needed_figures names 'colour', which is none of"),
        ({"papers": ("poem",)}, "papers names 'poem'"),
        ({"input_functions": ("dance",)}, "input_functions names 'dance'"),
        ({"patterns": {"": "X1:1 wire"}}, "its wiring pattern '' does not read: "),
    ],
)
def test_what_a_row_names_must_be_there(monkeypatch, change, sentence):
    monkeypatch.setattr(kind_checks, "KINDS", {CALL_POINT.value: replace(CALL_POINT, **change)})
    (error,) = run_checks(tags=["models"])
    assert error.id == "zones.E001" and sentence in error.msg and TABLE in error.hint


def test_the_table_as_it_stands_is_in_order():
    assert run_checks(tags=["models"]) == []


# These have records of their own, so code about those records names them.
WITH_RECORDS = {"control_panel", "battery", "junction_box"}


@pytest.fixture(scope="module")
def code():
    """(file, node) of everything in the code but the table, the migrations and the demo."""
    found = []
    for app in ("sites_registry", "zones", "inspections"):
        for path in sorted((ROOT / app).rglob("*.py")):
            name = path.relative_to(ROOT).as_posix()
            if name != TABLE and "/migrations/" not in name and "/demo/" not in name:
                found += [(name, node) for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))]
    return found


def _kinds_in(node):
    if isinstance(node, ast.Tuple):
        return [kind for each in node.elts for kind in _kinds_in(each)]
    if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name) and node.value.id == "DeviceKind":
        return [node.attr.lower()] if node.attr in DeviceKind.names else []
    if isinstance(node, ast.Constant) and node.value in DeviceKind.values:
        return [node.value]
    return []


def test_no_list_of_kinds_stands_outside_the_table(code):
    found = []
    for name, node in code:
        named = node.keys if isinstance(node, ast.Dict) else getattr(node, "elts", ())
        if len({kind for each in named for kind in _kinds_in(each)}) > 1:
            found.append((name, node.lineno))
    assert found == []


def test_code_names_no_kind_that_has_no_records_of_its_own(code):
    """By its member anywhere, by its value where a `kind` is compared."""
    found = []
    for name, node in code:
        named = [node] if isinstance(node, ast.Attribute) else []
        if isinstance(node, ast.Compare) and getattr(node.left, "attr", "") == "kind":
            named = node.comparators
        found += [(name, node.lineno) for each in named if {*_kinds_in(each)} - WITH_RECORDS]
    assert found == []


def test_no_template_names_a_kind_that_has_no_records_of_its_own():
    values = "|".join(set(DeviceKind.values) - WITH_RECORDS)
    for path in sorted((ROOT / "templates").rglob("*.html")):
        compared = re.findall(
            rf"kind (?:==|!=|in) \"[\w ]*\b(?:{values})\b|for-kinds=\"(?:{values})", path.read_text("utf-8")
        )
        assert compared == [], path.name
