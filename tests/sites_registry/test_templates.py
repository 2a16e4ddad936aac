"""Templates are laid out for people: short lines, broken wherever white space lets them."""

import re

import pytest

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
