"""One table of states: what a page, a script or a record calls a state has its row, and is shown as the row says."""

import re
from itertools import chain
from pathlib import Path

import pytest
from django.apps import apps
from django.conf import settings
from django.template import Context, Template

from inspections.headlines import ORDER
from sites_registry.states import GLYPHS, STATES, Tone, UnknownState, state_of
from zones.cause_and_effect.proof import STATE_OF as OF_VERDICTS
from zones.cause_and_effect.simulator import WORDS_OF as OF_VENTS
from zones.design_check.batteries import STATES as BATTERY_STATES
from zones.design_check.findings import SHOWN
from zones.device_lists.rows import Effect
from zones.engineering.cause_and_effect.proof import ProofVerdict
from zones.wiring.check import STATE_OF as OF_WIRING

ROOT = Path(settings.BASE_DIR)
APPS = ("sites_registry", "zones", "inspections")
TEMPLATES = sorted((ROOT / "templates").rglob("*.html"))
SCRIPTS = sorted((ROOT / "sites_registry/static/js").rglob("*.js"))
SOURCES = [path for app in APPS for path in sorted((ROOT / app).rglob("*.py"))]


def found_in(paths, pattern):
    """What a pattern finds in files, as {text: a file that has it}."""
    return {text: str(path) for path in paths for text in re.findall(pattern, path.read_text())}


def fields_shown_as_states():
    """Stored choices that a template shows as a state: `{% state visit.state visit.get_state_display %}`."""
    names = found_in(TEMPLATES, r"{% state [\w.]+ [\w.]+\.get_(\w+)_display %}")
    models = chain.from_iterable(apps.get_app_config(app).get_models() for app in APPS)
    return {
        f"{model.__name__}.{field.name}": field
        for model in models
        for field in model._meta.get_fields()
        if field.name in names and getattr(field, "choices", None)
    }


@pytest.mark.parametrize("field", fields_shown_as_states().values(), ids=fields_shown_as_states())
def test_each_stored_state_has_its_row_and_takes_its_word_from_there(field):
    assert [(key, state_of(key).word) for key, _ in field.choices] == list(field.choices)


def test_stored_states_are_found():
    assert {
        "Visit.state",
        "Result.outcome",
        "Defect.severity",
        "Protocol.state",
        "SettingFound.answer",
        "ImportRun.state",
        "LogEntry.check_result",
    } <= set(fields_shown_as_states())


@pytest.mark.parametrize(
    "keys",
    [
        ORDER,
        BATTERY_STATES,
        [OF_VERDICTS[one] for one in ProofVerdict],
        list(Effect),
        *[[key for key, _ in table.values()] for table in (OF_VENTS, SHOWN, OF_WIRING)],
    ],
)
def test_each_computed_state_has_its_row(keys):
    assert [key for key in keys if str(key) not in STATES] == []


def test_each_state_that_a_template_or_a_module_names_has_its_row():
    named = found_in(TEMPLATES, r'{% state "(\w+)"') | found_in(SOURCES, r'\b(?:state_mark|state_of)\("(\w+)"')
    assert len(named) > 30
    assert {key: path for key, path in named.items() if key not in STATES} == {}


def test_each_row_is_of_a_state_that_something_names():
    sources = [path for path in SOURCES if path.name != "states.py" and "migrations" not in path.parts]
    named = found_in([*sources, *TEMPLATES, *SCRIPTS], r"""["'](\w+)["']""")
    assert set(STATES) - set(named) == set()


def test_a_script_gives_each_tone_its_glyph():
    pairs = found_in(SCRIPTS, r'tone: "(\w+)", glyph: "(.)"') | found_in(SCRIPTS, r'"(\w+)", "([●▲■○?])"')
    assert len(pairs) > 3
    assert {pair: path for pair, path in pairs.items() if GLYPHS.get(pair[0]) != pair[1]} == {}


def test_the_style_sheet_knows_each_tone():
    css = "".join(path.read_text() for path in (ROOT / "sites_registry/static/css").rglob("*.css"))
    assert [tone for tone in Tone if f".state.{tone}" not in css] == []


def test_a_state_without_a_row_stops_and_says_where_to_give_it_one():
    with pytest.raises(UnknownState, match=r"no state 'melted'.*sites_registry/states\.py"):
        Template('{% load register_tags %}{% state "melted" %}').render(Context())


def test_what_is_not_known_at_all_is_shown_as_unknown():
    shown = Template("{% load register_tags %}{% state nothing %}").render(Context())
    assert "unknown" in shown and "?" in shown


def test_nothing_but_templates_takes_anything_from_a_template_tag():
    """Tags are for templates; what code shares with them stands in modules that both may read."""
    importers = [
        path
        for path in SOURCES
        if "templatetags import" in path.read_text() or re.search(r"^from \w+\.templatetags", path.read_text(), re.M)
    ]
    assert importers == []
