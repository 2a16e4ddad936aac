"""Photographs of the opened boxes beside the wiring and its diagram."""

import io

import pytest
from django.urls import reverse
from PIL import Image

from tests.zones.wiring.wired import wire_town
from zones.files.attachments import attach_file, withdraw_attachment

pytestmark = pytest.mark.django_db


def text_of(response):
    return " ".join(response.content.decode().split())


def keep_photo(town, title):
    picture = io.BytesIO()
    Image.new("RGB", (8, len(title))).save(picture, "PNG")
    return attach_file(
        owner_field="panel",
        owner=town.panel,
        name="box.png",
        content=picture.getvalue(),
        kind="photo",
        title=title,
        by=town.people["engineer"],
    )


@pytest.mark.parametrize("page", ["panel-wiring", "wiring-diagram"])
def test_a_photo_of_a_box_stands_beside_its_wiring_until_it_is_withdrawn(as_, town, page):
    wire_town(town)
    photo = keep_photo(town, "JB1 opened")
    address = reverse(page, args=[town.panel.pk])
    assert reverse("attachment-download", args=[photo.pk]) in text_of(as_("manager").get(address))
    withdraw_attachment(attachment=photo, by=town.people["office"])
    assert "None is kept yet" in text_of(as_("office").get(address))


def test_those_of_the_boxes_that_are_shown_come_first(as_, town):
    wire_town(town)
    for title in ("A2", "SD1 opened"):
        keep_photo(town, title)
    page = as_("engineer").get(reverse("panel-wiring", args=[town.panel.pk]) + "?of=line-1")
    assert [photo.title for photo in page.context["photos"]] == ["SD1 opened", "A2"]


def test_the_way_to_add_one_names_kind_and_box(as_, town):
    wire_town(town)
    page = text_of(as_("engineer").get(reverse("panel-wiring", args=[town.panel.pk]) + "?of=line-1"))
    assert "kind=photo&amp;title=SD1&amp;next=" in page
    form = (
        as_("engineer")
        .get(reverse("attachment-create", args=["panel", town.panel.pk]) + "?kind=photo&title=SD1")
        .context["form"]
    )
    assert (form["kind"].value(), form["title"].value()) == ("photo", "SD1")
