"""Terminal, cable and end-of-line schedules, screen and paper: columns as in the handbook (process.md §6)."""

import re

import pytest
from django.urls import reverse

from tests import builders
from tests.sites_registry.documents.test_base import words_of
from zones.models import EndOfLinePart
from zones.units.patterns import use_panel_pattern
from zones.wiring.edits import tick
from zones.wiring.loops import LoopOptions, loop_run


@pytest.fixture
def wired(town):
    """Line 1 of P1 with SD11 and SD12, looped; output 2 with a resistor left at nothing."""
    line = builders.make_line(town.panel, number=1, name="Main stair", end_of_line_ohm=10_000)
    town.devices = [
        builders.make_position(town.hall, tag=f"SD1{n}", panel=town.panel, detection_line=line, order_on_line=n)
        for n in (1, 2)
    ]
    use_panel_pattern(panel=town.panel, lines=2)
    options = LoopOptions(
        cores_count=3, colours=("BN", "BU", "BK"), cable_type="fire resisting", area_mm2="1.5", fire_rating="30 min"
    )
    loop_run(owner=line, devices=town.devices, options=options)
    town.line = line
    return town


def page_and_pdf(client, name, argument):
    page = client.get(reverse(name, args=[argument]))
    pdf = client.get(reverse(f"{name}-pdf", args=[argument]))
    assert pdf["Content-Type"] == "application/pdf"
    return " ".join(page.content.decode().split()), words_of(pdf.content)


def test_the_terminal_schedule_is_what_an_electrician_reads_at_the_panel(as_, wired):
    tick(terminal=wired.panel.terminals.get(block="XL1", number="1"), by=wired.people["engineer"], is_checked=True)
    page, words = page_and_pdf(as_("manager"), "terminal-schedule", wired.panel.pk)
    for text in ("Terminal", "Function", "Core", "Colour", "Cable", "Far end", "Checked", "line 1 Main stair"):
        assert text in page, text
        assert text in words, text
    for text in ("-XL1:1", "W1.L1-1", "BN", "SD11 -X1:1", "☑", "☐"):
        assert text in page, text
        assert text in words, text


def test_the_cable_schedule_names_both_ends_size_and_spare_cores(as_, wired):
    page, words = page_and_pdf(as_("office"), "cable-schedule", wired.hall.slug)
    heads = ("Tag", "Type", "Cores × mm²", "Length (m)", "From", "To", "Fire rating", "Route", "Spare cores")
    for text in (*heads, "3 × 1.5 mm²", "fire resisting", "30 min", "3 BK", "P1 line 1"):
        assert text in page, text
        assert text in words, text


def test_the_end_of_line_schedule_names_last_device_element_value_and_reading(as_, wired):
    point = builders.make_test_point(
        position=wired.devices[1],
        code="end-of-line-resistance",
        quantity="resistance",
        unit="kΩ",
        visit=wired.visit,
    )
    builders.make_result(point, reading="9.98")
    page, words = page_and_pdf(as_("office"), "end-of-line-schedule", wired.hall.slug)
    heads = ("Line, input or output", "Starts at", "Last device", "Kind", "Value (kΩ)", "Measured")
    for text in (*heads, "line 1 Main stair", "SD12", "SD12 -X1:3 -X1:4", "resistor", "9.98 kΩ"):
        assert text in page, text
        assert text in words, text
    assert re.search(r"resistor\s+10\s+9.98 kΩ", words)  # value and reading in one unit


def test_a_line_without_a_recorded_element_shows_what_is_planned(as_, wired):
    EndOfLinePart.objects.all().delete()
    _, words = page_and_pdf(as_("office"), "end-of-line-schedule", wired.hall.slug)
    assert re.search(r"planned\s+10\s", words)


@pytest.mark.parametrize("name", ["cable-schedule", "end-of-line-schedule"])
def test_a_building_with_nothing_wired_has_empty_schedules(as_, town, name):
    page, words = page_and_pdf(as_("office"), name, town.hall.slug)
    assert "Nothing is recorded yet" in page
    assert "Nothing is recorded" in words


def test_the_schedules_are_reached_from_the_schedules_page_and_from_the_panel(as_, wired):
    schedules = as_("manager").get(reverse("schedule-list", args=[wired.hall.slug])).content.decode()
    for name, argument in (
        ("terminal-schedule", wired.panel.pk),
        ("cable-schedule", wired.hall.slug),
        ("end-of-line-schedule", wired.hall.slug),
    ):
        assert reverse(name, args=[argument]) in schedules
    wiring = as_("manager").get(reverse("panel-wiring", args=[wired.panel.pk])).content.decode()
    assert reverse("terminal-schedule", args=[wired.panel.pk]) in wiring
