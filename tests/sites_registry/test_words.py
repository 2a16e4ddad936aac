"""How pages word what is stored: storeys, sentences, empty choices, quantities in forms."""

import pytest
from django.urls import reverse

from sites_registry.words import counted, full_stop, storey_name, storey_words, whole_days, written_day
from tests import builders
from zones.design_check.findings import SHOWN
from zones.engineering.findings import Severity
from zones.wiring.check import STATE_OF

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    "stored, shown",
    [
        ("2", "storey 2"),
        ("0", "ground floor"),
        ("-1", "storey -1"),
        ("12a", "storey 12a"),
        ("−1", "storey −1"),
        ("0–5", "ground floor to storey 5"),
        ("0 to 5", "ground floor to storey 5"),
        ("1–5", "storeys 1–5"),
        ("−1–3", "storeys −1–3"),
        ("1, 2", "storeys 1, 2"),
        ("roof", "roof"),
        ("Level 3", "Level 3"),
        ("", ""),
        (None, ""),
    ],
)
def test_a_storey_is_named_and_a_name_stays_as_it_is(stored, shown):
    assert storey_words(stored) == shown


@pytest.mark.parametrize(
    "number, noun, shown",
    [
        (1, "defects", "1 defect"),
        (3, "defects", "3 defects"),
        (0, "entries", "0 entries"),
        (1, "entries", "1 entry"),
        (1, "people", "1 person"),
        (1, "battery sets", "1 battery set"),
    ],
)
def test_one_thing_is_counted_as_one(number, noun, shown):
    assert counted(number, noun) == shown


@pytest.mark.parametrize("stored, shown", [("0", "ground floor"), ("0–5", "ground floor to 5"), ("2", "2"), ("", "")])
def test_under_a_head_that_says_storey_the_word_is_not_said_again(stored, shown):
    assert storey_name(stored) == shown


@pytest.mark.parametrize(
    "kept, shown",
    [("2026-07-28", "28 Jul 2026"), ("until further notice", "until further notice"), ("", ""), (None, None)],
)
def test_a_day_of_a_statement_is_written_like_any_other(kept, shown):
    assert written_day(kept) == shown


def test_no_line_of_a_sentence_ends_inside_a_day():
    assert whole_days("Due on 4 Jul 2027, 24 months on.") == "Due on 4\u00a0Jul\u00a02027, 24 months on."


@pytest.mark.parametrize(
    "typed, shown", [("Patrol", "Patrol."), ("Patrol.", "Patrol."), ("Why? ", "Why?"), ("", ""), (None, "")]
)
def test_a_typed_sentence_ends_once(typed, shown):
    assert full_stop(typed) == shown


@pytest.mark.parametrize("severity", [Severity.MISSING, Severity.QUESTION])
def test_a_severity_looks_and_reads_the_same_in_wiring_and_design(severity):
    assert STATE_OF[severity] == SHOWN[severity]


def test_the_line_below_a_list_says_one_of_one(as_, town):
    builders.make_invitation()
    assert "1 invitation<" in as_("office").get(reverse("invitation-list")).content.decode()


def test_a_choice_not_made_says_so_in_words(as_, town):
    page = as_("office").get(reverse("circuit-create", args=[town.panel.pk])).content.decode()
    assert "not entered" in page and "-----" not in page
    page = as_("office").get(reverse("panel-create", args=[town.hall.slug])).content.decode()
    assert "-----" not in page and ">Unknown<" not in page and ">not known<" in page
    page = as_("office").get(reverse("visit-create")).content.decode()
    assert ">choose<" in page and "-----" not in page


def test_a_quantity_stands_in_its_field_as_a_person_writes_it(as_, town):
    cable = builders.make_cable(town.hall, area_mm2="2.50", length_m="25.0")
    form = as_("office").get(reverse("cable-update", args=[cable.pk])).context["form"]
    assert (str(form["area_mm2"].value()), str(form["length_m"].value())) == ("2.5", "25")


def test_a_quantity_left_alone_is_no_change(as_, town):
    cable = builders.make_cable(town.hall, area_mm2="2.50")
    form = as_("office").get(reverse("cable-update", args=[cable.pk])).context["form"]
    assert not form.fields["area_mm2"].has_changed(form["area_mm2"].value(), "2.50")
