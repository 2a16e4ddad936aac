"""How fields stand in a form: width by content, the unit behind the box, what may stay empty, faults at the top."""

import re

import pytest
from django import forms
from django.template import Context, Template

from sites_registry.forms.base import RegisterForm
from sites_registry.forms.layout import layout_of


class Entry(RegisterForm):
    tag = forms.CharField(max_length=20)
    name = forms.CharField(max_length=80)
    fitted_on = forms.DateField()
    limit_a = forms.DecimalField(label="Supply limit (A)", max_value=400)
    kind = forms.ChoiceField(choices=[("a", "actuator"), ("b", "smoke detector")])
    notes = forms.CharField(widget=forms.Textarea, required=False)
    is_current = forms.BooleanField(required=False)


class MostlyOptional(RegisterForm):
    tag = forms.CharField(max_length=20)
    storey = forms.CharField(max_length=20, required=False)
    room = forms.CharField(max_length=80, required=False)


class SometimesNeeded(RegisterForm):
    needed_at_times = ("why",)
    scope = forms.CharField()
    why = forms.CharField(required=False)


def shown(form, source="{% load crispy_forms_tags %}{{ form|crispy }}"):
    return Template(source).render(Context({"form": form}))


def words_of(form):
    return {bound.name: layout_of(bound).word for bound in form}


@pytest.mark.parametrize(
    ("name", "width"),
    [
        ("tag", "tag"),
        ("name", "name"),
        ("fitted_on", "date"),
        ("limit_a", "number"),
        ("kind", "tag"),
        ("notes", "text"),
    ],
)
def test_a_box_is_as_wide_as_what_it_holds(name, width):
    assert layout_of(Entry()[name]).width == width
    assert f"holds-{width}" in shown(Entry()[name], "{% load crispy_forms_tags %}{{ form|as_crispy_field }}")


def test_a_unit_stands_behind_the_box_and_is_still_read_out_with_the_label():
    html = shown(Entry())
    label = re.search(r'<label[^>]*for="id_limit_a">(.*?)</label>', html, re.DOTALL)[1]
    assert re.sub(r"<[^>]*>|\s+", " ", label).split() == ["Supply", "limit", "(A)"]
    assert re.search(r'id="id_limit_a">\s*<span class="unit" aria-hidden="true">A</span>', html)


def test_words_in_brackets_that_are_no_unit_stay_in_the_label():
    class WireForm(RegisterForm):
        conductor_class = forms.CharField(label="Class (IEC 60228)")

    layout = layout_of(WireForm()["conductor_class"])
    assert (layout.name, layout.unit) == ("Class (IEC 60228)", "")


def test_optional_is_said_in_words_where_most_must_be_filled_in():
    assert words_of(Entry())["notes"] == "optional"
    assert {word for name, word in words_of(Entry()).items() if name != "notes"} == {""}


def test_required_is_said_where_few_must_be_filled_in():
    assert words_of(MostlyOptional()) == {"tag": "required", "storey": "", "room": ""}


def test_what_is_needed_at_times_is_not_called_optional():
    assert words_of(SometimesNeeded()) == {"scope": "", "why": ""}


def test_no_form_marks_a_field_with_an_asterisk():
    assert "*" not in shown(Entry()) + shown(MostlyOptional())


def test_each_fault_stands_at_the_top_with_a_link_to_its_field_and_at_the_field():
    form = Entry({"tag": "P1", "name": "n", "fitted_on": "2026-03-03", "limit_a": "900", "kind": "a"})
    html = shown(form)
    assert html.index("error-list") < html.index('id="id_tag"')
    top = re.search(r'<div class="error-list" role="alert" tabindex="-1" autofocus>.*?</div>', html, re.DOTALL)[0]
    assert re.findall(r'href="#(\w+)"', top) == ["id_limit_a"]
    assert "less than or equal to 400" in top
    described = re.search(r'<input[^>]*name="limit_a"[^>]*aria-describedby="([^"]*)"', html)[1].split()
    assert "id_limit_a_error" in described
    assert 'id="id_limit_a_error"' in html


def test_a_form_without_faults_has_no_list_of_them():
    assert "error-list" not in shown(Entry())
