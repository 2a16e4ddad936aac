"""The columns and the head of a table, said in one line of its template."""

import re

import pytest
from django.template import Context, Template


def table(text, **context):
    html = Template("{% load register_tags %}{% heads %}" + text + "{% endheads %}").render(Context(context))
    columns = [found or "" for found in re.findall(r'<col\s*(?:class="([\w-]+)")?\s*>', html)]
    heads = [" ".join(words.split()) for words in re.findall(r"<th\s[^>]*>(.*?)</th>", html, re.DOTALL)]
    return columns, heads, html


def test_what_a_column_holds_gives_its_width_and_one_that_says_nothing_takes_the_rest():
    columns, heads, _ = table("tag: Tag | Place | date: Tested")
    assert columns == ["tag-column", "", "date-column"]
    assert heads == ["Tag", "Place", "Tested"]


def test_the_head_of_numbers_stands_at_the_right_as_they_do():
    _, _, html = table("tag: Tag | number: Current, A | figure: Function")
    [right] = re.findall(r'<th[^>]*class="number"[^>]*>\s*(.*?)\s*</th>', html, re.DOTALL)
    assert right == "Current, A"


def test_one_head_may_stand_over_two_columns():
    columns, heads, html = table("number+number: Place of the resistor | Check")
    assert columns == ["number-column", "number-column", ""]
    assert heads == ["Place of the resistor", "Check"]
    assert 'colspan="2"' in html


def test_a_column_stands_for_whom_the_template_says():
    text = "tag: Tag{% if may_edit %} | date: Cables{% endif %}"
    assert table(text, may_edit=True)[1] == ["Tag", "Cables"]
    assert table(text, may_edit=False)[1] == ["Tag"]


def test_a_line_may_be_broken_between_what_a_column_holds_and_its_words():
    assert table("tag: Tag | number:\n    Aerodynamic, m²")[:2] == (
        ["tag-column", "number-column"],
        ["Tag", "Aerodynamic, m²"],
    )


@pytest.mark.parametrize("words", ["Note: what was seen", "Who, when", "12:30"])
def test_a_colon_in_the_words_is_no_kind_of_column(words):
    assert table(words)[:2] == ([""], [words])


def test_what_comes_from_a_record_is_escaped():
    assert "&lt;b&gt;" in table("tag: {{ name }}", name="<b>")[2]
