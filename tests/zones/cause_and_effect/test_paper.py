"""The cause-and-effect matrix on paper: as on the screen, with its legend, and what was proven."""

from django.urls import reverse

from tests import builders
from tests.paper_text import text_of
from zones.cause_and_effect.edits import add_usual_rules


def paper(as_, town):
    response = as_("manager").get(reverse("panel-cause-and-effect-pdf", args=[town.panel.pk]))
    return response, text_of(response.content)


def test_the_paper_has_matrix_legend_and_proof(as_, town):
    builders.make_position(town.hall, "actuator", tag="M1", smoke_zone=town.zone, panel=town.panel)
    add_usual_rules(panel=town.panel)
    response, text = paper(as_, town)
    assert "cause-and-effect-p1" in response["Content-Disposition"]
    for words in ("CP1", "latches until reset", "Tested on", "Main stair", "proven"):
        assert words in text


def test_the_paper_names_what_does_not_apply_and_asks_about_it(as_, town):
    group = builders.make_vent_group(town.zone, number=1)
    builders.make_position(town.hall, "actuator", tag="M1", smoke_zone=town.zone, panel=town.panel, vent_group=group)
    add_usual_rules(panel=town.panel)
    text = " ".join(paper(as_, town)[1].split())
    assert "does the fire strategy ask for it?" in text
    assert "Fire service first" in text and "No fire service control acts in" in text


def test_many_zones_are_told_in_several_tables(as_, town):
    for number in range(2, 20):
        builders.make_zone(town.hall, panel=town.panel, number=number, name=f"Bay {number}")
    _, text = paper(as_, town)
    assert text.count("Tested on") >= 2
    assert "Bay 19" in text


def test_a_panel_without_zones_has_a_paper_that_says_so(as_, town):
    town.panel = builders.make_panel(town.hall, tag="P9")
    assert "No smoke zone names this panel." in paper(as_, town)[1]
