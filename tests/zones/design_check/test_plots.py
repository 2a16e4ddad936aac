"""The plots on the page of a panel's design check: a fold for each circuit, battery and line, or why not."""

import re
from datetime import date

import pytest
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils import timezone

from tests import builders
from tests.reading import as_read
from tests.zones.installations import make_installation, set_figure
from zones.design_check.checked import checked_panel
from zones.design_check.plots import plots_of
from zones.models import Cable, DetectionLine, DeviceKind, Position
from zones.plots import Axis, LineChart, Series, line_chart

pytestmark = pytest.mark.django_db


@pytest.fixture
def made(town, shared, monkeypatch):
    monkeypatch.setattr(timezone, "localdate", lambda: date(2026, 3, 2))
    return shared.built(installation_at_the_hall, town)


def installation_at_the_hall(town):
    return make_installation(town.hall, tag="P7", circuits=2)


def page_of(client, made):
    return client.get(reverse("panel-design-check", args=[made.panel.pk])).content.decode()


def test_circuits_battery_and_lines_have_a_fold_each_with_their_state(made):
    sections = plots_of(checked_panel(made.panel))
    assert [section.heading for section in sections] == [
        "Voltage along Circuit 1",
        "Voltage along Circuit 2",
        "Charge of the battery of P7",
        "Line 1",
        "Line 2",
    ]
    assert {(section.key, section.word) for section in sections} == {("meets", "within the entered limit")}
    assert all(section.plots and not section.gaps for section in sections)


@pytest.mark.parametrize("person", ["office", "engineer", "manager"])
def test_everyone_who_reads_the_check_sees_the_drawings(as_, made, person):
    html = page_of(as_(person), made)
    assert html.count('<svg class="plot"') == 5
    assert '<title id="circuit-0-title">Voltage along Circuit 1</title>' in html


def test_a_drawing_has_words_and_a_table_and_no_style_of_its_own(as_, made):
    html = page_of(as_("manager"), made)
    for svg in re.findall(r"<svg.*?</svg>", html, re.S):
        assert 'role="img"' in svg
        assert re.search(r"<title[^>]*>.+</title><desc[^>]*>.+</desc>", svg)
        assert "style=" not in svg
        assert "<style" not in svg
        assert "<script" not in svg
    ids = re.findall(r'\bid="([^"]+)"', html)
    assert len(set(ids)) == len(ids)
    assert html.count("plot-table") == 5
    assert "P7M1.2" in html


def no_length(tag):
    return lambda made: Cable.objects.filter(tag=tag).update(length_m=None)


def no_capacity(made):
    set_figure(made.models[DeviceKind.BATTERY], capacity_ah=None)


def no_element(made):
    DetectionLine.objects.filter(pk=made.lines[0].pk).update(end_place="missing")


@pytest.mark.parametrize(
    ("break_it", "heading", "gap", "drawn"),
    [
        # Without the voltage that reaches the actuators their time on the battery is not known either.
        (no_length("P7W1.1"), "Voltage along Circuit 1", "Length of P7W1.1 not known", 3),
        (no_length("P7L1.1"), "Line 1", "Cable length of P7D1.1", 4),
        (no_capacity, "Charge of the battery of P7", "Capacity of the battery", 4),
        (no_element, "Line 1", "There is not one end-of-line resistor", 4),
    ],
)
def test_what_cannot_be_drawn_says_why(as_, made, break_it, heading, gap, drawn):
    break_it(made)
    section = next(one for one in plots_of(checked_panel(made.panel)) if one.heading == heading)
    assert section.plots == ()
    assert gap in " ".join(section.gaps)
    html = page_of(as_("engineer"), made)
    assert "Not drawn:" in html
    assert html.count('<svg class="plot"') == drawn


def test_a_cable_that_cannot_deliver_the_power_is_told_without_an_empty_drawing(made):
    Cable.objects.filter(tag="P7W1.1").update(length_m=1900)
    section = next(one for one in plots_of(checked_panel(made.panel)) if one.heading == "Voltage along Circuit 1")
    assert section.plots == ()
    assert section.gaps == ("Circuit 1: no course can be drawn, the cable cannot deliver the power.",)
    assert section.key == "not_met"


def test_a_cable_in_a_ring_says_why_it_is_not_drawn(made):
    first, second = Cable.objects.filter(tag__in=("P7W1.1", "P7W1.2")).order_by("tag")
    Cable.objects.filter(pk=first.pk).update(upstream=second)
    section = plots_of(checked_panel(made.panel))[0]
    assert "form a ring" in section.gaps[0]


def test_a_panel_with_nothing_on_it_has_no_drawings(as_, town):
    bare = builders.make_panel(town.hall, tag="P9")
    builders.make_circuit(bare, number=1)
    html = as_("office").get(reverse("panel-design-check", args=[bare.pk])).content.decode()
    assert 'id="plots"' not in html


def test_a_tag_of_signs_is_written_out_not_run(as_, made):
    Position.objects.filter(tag="P7M1.2").update(tag="<b>&M")
    html = page_of(as_("engineer"), made)
    assert "&lt;b&gt;&amp;M" in html
    assert "<b>&M" not in html


def test_another_page_draws_its_own_chart_with_the_same_part():
    chart = LineChart(
        key="drop",
        title="Drop",
        description="Rises.",
        x=Axis("length", "m", 0, 40),
        y=Axis("drop", "V", 0, 2),
        series=(Series("2.5 mm²", (((0, 0), (40, 2)),)),),
        columns=("m", "V"),
        rows=(("40", "2"),),
    )
    html = as_read(render_to_string("components/plots/figure.html", {"plot": line_chart(chart)}))
    assert '<path class="course look-1" d="M' in html
    assert "2.5 mm²" in html
