"""The registry of papers: one entry is all it takes for a paper to be found, given out, listed and handed over."""

import importlib
from types import ModuleType

import pytest
from django.core.exceptions import ImproperlyConfigured
from django.urls import clear_url_caches, include, path, reverse

from inspections.hand_overs.document import compose_paper, papers_to_compose
from inspections.models import HandOver, HandOverFile
from sites_registry.access import STAFF_ROLES
from sites_registry.documents import addresses
from sites_registry.documents.papers import BUILDING, File, Made, NothingToShow, Paper, SeePage, papers
from tests import builders
from tests.access import table_papers
from tests.queries.test_papers import counted_papers
from zones import paper_entries

pytestmark = pytest.mark.django_db


def moon_chart(make=lambda building, asked: Made(b"%PDF moon"), **fields):
    return Paper(
        **{
            "key": "moon-chart",
            "title": "Moon chart",
            "holds": "Phases.",
            "of": BUILDING,
            "files": (File(make=make),),
            "folder": "schedules",
            "roles": STAFF_ROLES,
            **fields,
        }
    )


@pytest.fixture
def enter(monkeypatch, settings):
    """Enters a further paper, as an app does, and gives it its address."""

    def enter_paper(paper):
        monkeypatch.setattr(paper_entries, "PAPERS", (*paper_entries.PAPERS, paper))
        papers.cache_clear()
        urls = ModuleType("urls_with_a_further_paper")
        urls.urlpatterns = [
            path("", include([one for every in papers().values() for one in addresses.addresses_of(every)])),
            *importlib.import_module("sites_registry.urls").urlpatterns,
        ]
        settings.ROOT_URLCONF = urls
        clear_url_caches()

    yield enter_paper
    monkeypatch.undo()
    papers.cache_clear()
    clear_url_caches()


class TestAFurtherPaper:
    def test_is_given_out_to_those_who_may_see_it(self, enter, as_, town):
        enter(moon_chart())
        address = reverse("moon-chart-pdf", args=[town.hall.slug])
        response = as_("office").get(address)
        assert (response.status_code, response.content) == (200, b"%PDF moon")
        assert "Ropewalk-Hall_moon-chart_" in response["Content-Disposition"]
        assert as_("manager").get(address).status_code == 403
        assert as_("office").get(reverse("moon-chart-pdf", args=["no-such-hall"])).status_code == 404

    def test_is_hidden_from_who_may_not_see_what_it_is_of(self, enter, as_, town):
        enter(moon_chart(roles=("manager",)))
        address = reverse("moon-chart-pdf", args=[town.hall.slug])
        assert as_("manager").get(address).status_code == 200
        assert as_("stranger").get(address).status_code == 404

    def test_stands_on_the_page_of_papers_for_those_who_may_see_it(self, enter, as_, town):
        enter(moon_chart())
        page = reverse("schedule-list", args=[town.hall.slug])
        assert b"Moon chart" in as_("office").get(page).content
        assert b"Moon chart" not in as_("manager").get(page).content

    def test_goes_into_the_next_hand_over(self, enter, town):
        enter(moon_chart())
        hand_over = HandOver(
            building=town.hall, job=town.job, to=town.people["manager"], handed_over_by=town.people["office"]
        )
        key = f"moon-chart:{town.hall.pk}"
        assert (key, "Moon chart", "schedules", "Moon chart") in papers_to_compose(hand_over)
        assert compose_paper(hand_over, key) == b"%PDF moon"

    def test_is_walked_by_the_tests_of_access_and_of_queries(self, enter):
        assert "moon-chart-pdf" not in table_papers.rows()
        enter(moon_chart())
        assert table_papers.rows()["moon-chart-pdf"] == ("log in", "refused", "refused", "open", "open")
        assert "moon-chart-pdf" in table_papers.arguments()
        assert "moon-chart-pdf" in counted_papers()

    def test_with_a_key_that_another_has_stops_the_start(self, enter):
        with pytest.raises(ImproperlyConfigured, match="device-schedule"):
            enter(moon_chart(key="device-schedule"))


def refuse(error):
    def make(building, asked):
        raise error

    return make


def test_a_paper_with_nothing_to_show_is_not_there_and_not_handed_over(enter, as_, town):
    enter(moon_chart(refuse(NothingToShow())))
    assert as_("office").get(reverse("moon-chart-pdf", args=[town.hall.slug])).status_code == 404
    assert papers()["moon-chart"].make_for_hand_over(town.hall, None) is None


def test_a_paper_that_cannot_be_made_so_leads_to_the_page_that_says_why(enter, as_, town):
    page = reverse("schedule-list", args=[town.hall.slug])
    enter(moon_chart(refuse(SeePage(page, "The moon is too large for one sheet."))))
    response = as_("office").get(reverse("moon-chart-pdf", args=[town.hall.slug]), follow=True)
    assert response.redirect_chain == [(page, 302)]
    assert "The moon is too large for one sheet." in response.content.decode()


def test_a_blank_paper_is_given_out_and_not_handed_over(enter, as_, town):
    enter(moon_chart(lambda building, asked: Made(b"%PDF blank", is_blank=True)))
    assert as_("office").get(reverse("moon-chart-pdf", args=[town.hall.slug])).content == b"%PDF blank"
    assert papers()["moon-chart"].make_for_hand_over(town.hall, None) is None


def test_a_manager_is_kept_from_no_paper_but_the_material_list_and_quotations():
    """Written out, so that a slip in an entry cannot change what the tests of access expect."""
    assert {paper.key for paper in papers().values() if "manager" not in paper.roles} == {
        "material-list",
        "remedial-quotation",
    }


def test_each_paper_of_a_hand_over_lies_in_a_folder_that_there_is():
    assert {paper.folder for paper in papers().values() if paper.folder} <= set(HandOverFile.Folder.values)


def test_each_file_is_named_by_what_it_is_of(as_, town):
    builders.make_panel(town.hall, tag="P9")
    panel = town.hall.panels.get(position__tag="P9")
    response = as_("office").get(reverse("panel-settings-sheet-pdf", args=[panel.pk]))
    assert "Ropewalk-Hall_settings-p9_" in response["Content-Disposition"]
