"""Style sheets: nothing set twice, nothing without use, each page loads what it needs, written alike."""

import re
from pathlib import Path

import crispy_bootstrap5
import crispy_forms
import cssbeautifier
import pytest

from sites_registry.documents.measures import as_css
from tests.sites_registry import style_sheets as styles

ON_EVERY_PAGE = {"tokens", "ground", "parts", "tables", "forms"}
ALL_SHEETS = {**{f"{name}.css": text for name, text in styles.screen_sheets().items()}}
ALL_SHEETS |= {str(path.relative_to(styles.TEMPLATES)): path.read_text() for path in styles.PRINT}


def pages():
    """Templates that are a page of their own: they extend, and come down to base.html."""
    for name in styles.templates():
        root = name
        while parent := styles.parent_of(root):
            root = parent
        if root == "base.html" and name != root and not Path(name).name.startswith("_"):
            yield name


def written_alike(text):
    options = cssbeautifier.default_options()
    options.indent_size = 2
    options.newline_between_rules = False
    options.end_with_newline = True
    options.space_around_combinator = True
    options.preserve_newlines = True
    options.max_preserve_newlines = 2
    return cssbeautifier.beautify(text, options)


def test_no_property_is_set_twice_for_a_selector_on_screen():
    assert styles.set_twice(styles.screen_sheets().values()) == []


@pytest.mark.parametrize("path", styles.PRINT, ids=lambda path: path.parent.name)
def test_no_property_is_set_twice_for_a_selector_on_paper(path):
    assert styles.set_twice([path.read_text()]) == []


def test_a_property_set_twice_is_found_over_sheets_and_lists_of_selectors_but_not_over_media():
    one = ".a, .b { color: red; } @media print { .b { color: black; } }"
    assert styles.set_twice([one, ".c { color: red; }"]) == []
    assert styles.set_twice([one, ".b { color: blue; margin: 0; }"]) == [("", ".b", "color")]


def test_every_token_that_a_sheet_uses_is_set():
    set_here = {each.name for text in styles.screen_sheets().values() for each in styles.declarations(text)}
    set_here |= set(re.findall(r"(--[\w-]+):", as_css()))
    used = {(name, token) for name, text in ALL_SHEETS.items() for token in re.findall(r"var\((--[\w-]+)", text)}
    assert {(name, token) for name, token in used if token not in set_here} == set()


def test_every_token_that_is_set_is_used():
    set_here = {each.name for each in styles.declarations(styles.screen_sheets()["tokens"]) if each.name[:2] == "--"}
    used = {token for text in ALL_SHEETS.values() for token in re.findall(r"var\((--[\w-]+)", text)}
    assert set_here - used == set()


@pytest.fixture(scope="module")
def words_of_the_sources():
    """(words, beginnings of words that are completed when the page is made) of what may give a class."""
    scripts = [*(styles.ROOT / "sites_registry" / "static" / "js").rglob("*.js")]
    for app in styles.APPS:
        scripts += (styles.ROOT / app).rglob("*.py")
    for pack in (crispy_forms, crispy_bootstrap5):
        scripts += Path(pack.__file__).parent.rglob("*.html")
    text = "\n".join(path.read_text() for path in scripts)
    words = set(re.findall(r"[A-Za-z][\w-]*", text))
    for template in styles.templates().values():
        words |= styles.names_given(template)[0]
        words |= set(" ".join(re.findall(r"{% block body_class %}(.*?){% endblock %}", template)).split())
        text += template
    return words, tuple(set(re.findall(r"[A-Za-z][\w-]*-(?=\{)", text)))


@pytest.mark.parametrize("name", ALL_SHEETS)
def test_every_class_of_a_sheet_is_given_by_a_template_or_a_source(name, words_of_the_sources):
    words, beginnings = words_of_the_sources
    classes = {each for part in styles.declarations(ALL_SHEETS[name]) for each in styles.classes_of(part.selector)}
    assert {each for each in classes if each not in words and not each.startswith(beginnings)} == set()


@pytest.mark.parametrize("name", sorted(pages()))
def test_a_page_loads_the_sheets_that_it_needs_and_no_other(name):
    assert styles.sheets_loaded(name) - ON_EVERY_PAGE == styles.sheets_needed(name, ON_EVERY_PAGE)


def test_every_page_loads_what_every_page_needs():
    assert styles.sheets_loaded("base.html") == ON_EVERY_PAGE


def test_a_part_that_a_script_swaps_in_finds_its_styles_on_the_page():
    """What no page includes may be sent to any page, so it has to do with the sheets that every page loads."""
    included = {part for name in pages() for part in styles.with_all_parts(name)}
    alone = {
        name
        for name in styles.templates()
        if name not in included and not any(part.startswith("documents/") for part in styles.with_all_parts(name))
    }
    assert alone
    assert {name: found for name in alone if (found := styles.sheets_needed(name, ON_EVERY_PAGE))} == {}


@pytest.mark.parametrize("name", ALL_SHEETS)
def test_a_sheet_is_written_one_declaration_a_line(name):
    assert ALL_SHEETS[name] == written_alike(ALL_SHEETS[name])


@pytest.mark.parametrize("name", ALL_SHEETS)
def test_a_line_of_a_sheet_is_at_most_120_characters_long(name):
    assert [line for line in ALL_SHEETS[name].splitlines() if len(line) > 120] == []
