"""What pages, drawings and schedules say of a wiring that is complete, incomplete, or found wrong.

Counted by hand from the usual patterns: mains 3, line 1 at the panel 2, CP1 4, SD1 4.
"""

import io

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from openpyxl import load_workbook

from tests import builders
from tests.paper_text import text_of
from tests.zones.wiring.wired import wire_completely
from zones.models import CoreEnd, EndOfLinePart
from zones.units.patterns import use_panel_pattern
from zones.wiring.loops import LoopOptions, loop_run
from zones.wiring.state import state_of_building, state_of_panel

COMPLETE = "13 of 13 terminals wired, no wiring findings open"
PAGES = {
    "wiring-diagram": "panel",
    "zone-overview": "panel",
    "terminal-schedule": "panel",
    "cable-schedule": "building",
    "end-of-line-schedule": "building",
}


@pytest.fixture
def complete(town, shared):
    return shared.built(wire_completely, town)


@pytest.fixture
def incomplete(complete):
    """The core on the protective earth came off."""
    CoreEnd.objects.get(terminal__block="X1", terminal__number="PE").delete()
    return complete


def address(town, name, form=""):
    record = town.panel.pk if PAGES.get(name) == "panel" else town.hall.slug
    return reverse(f"{name}-{form}" if form else name, args=[record])


def page(as_, address):
    response = as_("office").get(address)
    assert response.status_code == 200
    return response.content.decode()


# Counting ------------------------------------------------------------------------------------------------------------


def test_a_panel_wired_to_the_last_core_is_complete(complete):
    state = state_of_panel(complete.panel)
    assert (state.word, state.state, state.counted) == ("complete", "known", COMPLETE)
    assert state_of_building(complete.hall) == state


def test_a_core_that_came_off_is_counted_and_told(incomplete):
    state = state_of_panel(incomplete.panel)
    assert (state.word, state.wired, state.needed) == ("incomplete", 12, 13)
    assert state.findings


def test_every_terminal_wired_but_wrong_is_not_complete(complete):
    EndOfLinePart.objects.update(value_ohm=4_700)
    state = state_of_panel(complete.panel)
    assert (state.wired, state.needed, state.findings, state.state) == (13, 13, 1, "fail")
    assert not state.is_complete


def test_devices_without_any_terminal_do_not_read_as_complete(town):
    """Mains 3; a call point and a detector of no run need two each by their patterns."""
    state = state_of_panel(town.panel)
    assert (state.wired, state.needed, state.is_complete) == (0, 7, False)


def test_a_panel_with_nothing_on_it_is_not_complete(town):
    panel = builders.make_panel(town.mill, tag="P9")
    assert state_of_panel(panel).counted == "0 of 3 terminals wired, no wiring findings open"
    assert not state_of_panel(panel).is_complete


def test_a_device_on_no_panel_keeps_its_building_from_being_complete(complete):
    builders.make_position(complete.hall, "smoke_detector", tag="SD2", panel=None)
    assert state_of_panel(complete.panel).is_complete
    assert state_of_building(complete.hall).counted == "13 of 15 terminals wired, no wiring findings open"


def test_a_building_costs_the_same_for_one_panel_and_for_six(complete):
    def cost():
        with CaptureQueriesContext(connection) as queries:
            state_of_building(complete.hall)
        return len(queries)

    one = cost()
    for number in range(2, 7):
        panel = builders.make_panel(complete.hall, tag=f"P{number}")
        line = builders.make_line(panel, number=1, end_of_line_ohm=10_000)
        device = builders.make_position(
            complete.hall, tag=f"SD{number}0", panel=panel, detection_line=line, order_on_line=1
        )
        use_panel_pattern(panel=panel, lines=1)
        loop_run(owner=line, devices=[device], options=LoopOptions(cores_count=2))
    assert cost() == one


# Pages ---------------------------------------------------------------------------------------------------------------


def test_the_building_page_counts_terminals_and_findings(as_, complete):
    for position in complete.hall.positions.without_unit():
        builders.fit(position, builders.make_unit(builders.make_product_model(position.kind)))
    shown = page(as_, complete.hall.get_absolute_url())
    assert f"Each position has a unit with its serial; {COMPLETE}." in shown
    CoreEnd.objects.get(terminal__block="X1", terminal__number="PE").delete()
    answer = page(as_, complete.hall.get_absolute_url())
    answer = answer[answer.index("how is it wired?") : answer.index("Is it within limits?")]
    assert "incomplete" in answer
    assert "12 of 13 terminals wired" in answer
    assert "complete</span>" not in answer.replace("incomplete</span>", "")


def test_the_panel_page_and_the_list_of_panels_count_them(as_, incomplete):
    assert "12 of 13 terminals wired" in page(as_, incomplete.panel.get_absolute_url())
    assert "12 of 13" in page(as_, reverse("panel-list", args=[incomplete.hall.slug]))
    assert "12 of 13 terminals wired" in page(as_, reverse("panel-wiring", args=[incomplete.panel.pk]))


# Drawings and schedules ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", PAGES)
def test_an_incomplete_drawing_or_schedule_says_so_on_screen_and_paper(as_, incomplete, name):
    notice = state_of_building(incomplete.hall).counted
    assert f"Incomplete: {notice}, as of" in page(as_, address(incomplete, name))
    pdf = text_of(as_("office").get(address(incomplete, name, "pdf")).content)
    assert f"Incomplete: {notice}, as of" in pdf


@pytest.mark.parametrize("name", PAGES)
def test_a_complete_one_carries_no_stamp(as_, complete, name):
    assert "Incomplete" not in page(as_, address(complete, name))
    assert "Incomplete" not in text_of(as_("office").get(address(complete, name, "pdf")).content)


@pytest.mark.parametrize("name", ["wiring-diagram", "zone-overview"])
def test_a_saved_drawing_is_stamped_when_incomplete(as_, complete, name):
    assert "Incomplete" not in page(as_, address(complete, name, "svg"))
    EndOfLinePart.objects.all().delete()
    assert "Incomplete: 11 of 11 terminals wired, 1 wiring finding open" in page(as_, address(complete, name, "svg"))


def test_every_sheet_of_a_long_schedule_is_stamped(as_, incomplete):
    for number in range(80):
        builders.make_terminal(incomplete.panel, block="X70", number=str(number), electrical_kind="other")
    pdf = as_("office").get(address(incomplete, "terminal-schedule", "pdf")).content
    text = text_of(pdf)
    assert text.count("Document number") > 1
    assert text.count("Incomplete: 12 of 13") == text.count("Document number") + 1  # once more at its head


def test_the_wiring_list_names_what_is_missing(as_, incomplete):
    response = as_("office").get(reverse("wiring-list-export", args=[incomplete.panel.pk, "xlsx"]))
    first = next(load_workbook(io.BytesIO(response.content)).active.iter_rows(values_only=True))
    assert first[1].startswith("Incomplete: 12 of 13 terminals wired")
    assert "incomplete-wiring-list-p1" in response["Content-Disposition"]
    response = as_("office").get(reverse("wiring-list-export", args=[incomplete.panel.pk, "csv"]))
    assert "incomplete-wiring-list-p1" in response["Content-Disposition"]
    assert response.content.decode("utf-8-sig").startswith("Device,")


def test_a_complete_wiring_list_is_the_table_alone(as_, complete):
    response = as_("office").get(reverse("wiring-list-export", args=[complete.panel.pk, "xlsx"]))
    first = next(load_workbook(io.BytesIO(response.content)).active.iter_rows(values_only=True))
    assert first[0] == "Device"
    assert "incomplete" not in response["Content-Disposition"]
