"""The tables of lists: widths by what a column holds, the sorted column said."""

import re

import pytest
from django.urls import reverse

from tests import builders

pytestmark = pytest.mark.django_db


def table_of(response):
    return re.search(r'<table\s+class="rows stacked".*?</table>', response.content.decode(), re.S)[0]


def columns_of(table):
    """The kind of each column by its head: [] where it has none."""
    return dict(
        zip(
            (
                " ".join(re.sub("<[^>]+>", " ", head).split()).strip(" ↑↓")
                for head in re.findall("<th .*?</th>", table, re.S)
            ),
            (re.findall('"(.*)-column"', col) for col in re.findall("<col(?: .*?)?>", table)),
            strict=True,
        )
    )


def test_a_column_has_the_width_of_what_it_holds_on_every_list(as_, town):
    builders.make_zone(town.hall)
    client = as_("office")
    pages = [reverse(name, args=[town.hall.slug]) for name in ("position-list", "panel-list", "zone-list")]
    positions, panels, zones = (columns_of(table_of(client.get(page))) for page in pages)
    assert (positions["Tag"], panels["Panel"], zones["Zone"]) == (["tag"], ["tag"], ["tag"])
    assert panels["Circuits"] == zones["Vents"] == ["number"]
    assert positions["Place"] == []  # takes what is left


@pytest.mark.parametrize(("sort", "said"), [("kind", "ascending"), ("-kind", "descending")])
def test_the_sorted_column_says_which_way(as_, town, sort, said):
    table = table_of(as_("office").get(reverse("position-list", args=[town.hall.slug]), {"sort": sort}))
    heads = [head for head in re.findall("<th .*?>", table, re.S) if "aria-sort" in head]
    assert [re.findall('aria-sort="(.*?)"', head) for head in heads] == [[said]]


def test_one_column_bears_the_arrow_where_rows_are_sorted_by_two(as_, town):
    table = table_of(as_("office").get(reverse("product-model-list")))  # by maker, then by name
    assert table.count('class="sorted"') == table.count("aria-sort") == 1


def test_a_cell_without_a_value_is_blank(as_, town):
    builders.make_position(town.hall, "actuator", tag="M77", smoke_zone=None)
    row = table_of(as_("office").get(reverse("position-list", args=[town.hall.slug]), {"text": "M77"}))
    assert "–" not in row
    assert "no unit" in row  # what matters is said


def test_a_row_of_visits_and_of_defects_is_the_link_as_on_every_list(as_, town):
    defect = builders.make_defect(building=town.hall)
    client = as_("office")
    for name, record in (("visit-list", town.visit), ("defect-list", defect)):
        assert f'<tr data-href="{record.get_absolute_url()}"' in table_of(client.get(reverse(name)))
