"""Templates are laid out for people: short lines, broken wherever white space lets them."""

import re

import pytest
from django.conf import settings

from tests.sites_registry.style_sheets import templates

MEASURE = 120
# A template tag stays on its line, and what stands in quotes, or together without white space, cannot be parted.
ONE_PIECE = re.compile(r"{%.*?%}|{{.*?}}|\"(?:{%.*?%}|{{.*?}}|[^\"])*\"")


def could_be_broken(line):
    return len(line) > MEASURE and " " in ONE_PIECE.sub("", line.strip())


@pytest.mark.parametrize("name", templates())
def test_a_line_is_at_most_120_characters_long_where_it_can_be_broken(name):
    assert [line for line in templates()[name].splitlines() if could_be_broken(line)] == []


def test_a_long_line_of_words_or_of_attributes_could_be_broken_but_one_long_tag_could_not():
    assert could_be_broken("  <p>" + "so many words " * 10)
    assert could_be_broken('<input name="a" ' + 'data-what="something" ' * 6 + ">")
    assert not could_be_broken('    {% include "a.html" with ' + "one=a.b.c two=d.e.f " * 6 + "only %}")
    assert not could_be_broken('  aria-label="' + "some words in quotes " * 6 + '"')


ON_SCREEN = [name for name in templates() if "paper" not in name and not name.startswith("documents/")]
# A form, and what is held in a hand on site, begin with a plain head; all other pages with the title block.
WITH_A_PLAIN_HEAD = {
    "components/form_page.html",
    "errors_plain.html",
    "inspections/settings_found/visit_settings.html",
    "inspections/visits/visit_field.html",
    "inspections/visits/visit_find.html",
    "inspections/visits/visit_floor_plan.html",
    "zones/panels/zone_duplicate.html",
    "zones/positions/place_confirmation.html",
}
# What was before and what is after, side by side: there a dash says that nothing stood there. The text of a certificate
# is that of its paper.
WITH_A_DASH_FOR_NOTHING = {
    "components/stale_edit.html",
    "inspections/certificates/_certificate_text.html",
    "inspections/certificates/_certificate_zones.html",
    "zones/as_installed/_as_installed_rows.html",
    "zones/cause_and_effect/_cell_effects.html",
    "zones/cause_and_effect/rule_matrix.html",
    "zones/device_lists/import_run_detail.html",
    "zones/wiring/panel_wiring.html",
}
A_DASH_FOR_NOTHING = re.compile(r"\"–\"(?= *[%}])|(?m:^\s*–$)|>\s*–\s*<")


def test_records_and_lists_begin_with_a_title_block():
    with_a_plain_head = {name for name in ON_SCREEN if 'class="page-head"' in templates()[name]}
    assert with_a_plain_head == WITH_A_PLAIN_HEAD


def test_an_empty_cell_is_blank():
    with_a_dash = {name for name in ON_SCREEN if A_DASH_FOR_NOTHING.search(templates()[name])}
    assert with_a_dash == WITH_A_DASH_FOR_NOTHING


def test_a_dash_for_nothing_is_found_and_one_between_words_is_not():
    assert A_DASH_FOR_NOTHING.search('<td>{{ row.note|default:"–" }}</td>')
    assert A_DASH_FOR_NOTHING.search("<td>\n  –\n</td>")
    assert not A_DASH_FOR_NOTHING.search("1–50 of 90")


def test_days_hours_and_language_are_written_in_one_way_everywhere():
    """As British English writes them (settings.LANGUAGE_CODE): 3 Mar 2026, 08:05."""
    formats, languages = set(), set()
    for text in templates().values():
        formats |= set(re.findall(r'(?:\|date:|\|time:|now )"([^"]*)"', text))
        languages |= set(re.findall(r'<html lang="([^"]*)"', text))
    assert formats == {"j M Y", "j M Y, H:i", "H:i"}
    assert {language.lower() for language in languages} == {settings.LANGUAGE_CODE}


def test_scripts_write_days_by_the_same_words_and_not_by_those_of_a_browser():
    scripts = (settings.BASE_DIR / "sites_registry/static/js").rglob("*.js")
    assert [path.name for path in scripts if "toLocale" in path.read_text()] == []
