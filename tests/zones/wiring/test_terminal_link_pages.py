"""Links and end elements added, changed and taken out at the page of a terminal."""

import pytest
from django.urls import reverse

from tests import builders
from zones.models import EndOfLinePart, TerminalLink

pytestmark = pytest.mark.django_db


def text_of(response):
    return " ".join(response.content.decode().split())


@pytest.fixture
def pair(town):
    return [builders.make_terminal(town.panel, block="X3", number=number) for number in "12"]


def test_a_link_is_added_shown_at_both_ends_and_taken_out(as_, pair):
    first, second = pair
    url = reverse("terminal-link-create", args=[first.pk])
    response = as_("engineer").post(url, {"second": second.pk}, follow=True)
    assert "Link -X3:1 to -X3:2 added" in text_of(response)
    link = TerminalLink.objects.get()
    assert not link.is_internal
    assert "fitted by hand" in text_of(as_("engineer").get(reverse("terminal-update", args=[second.pk])))
    as_("engineer").post(reverse("terminal-link-remove", args=[link.pk]))
    assert not TerminalLink.objects.exists()
    assert TerminalLink.history.filter(history_type="-").exists()


def test_a_second_link_and_a_terminal_of_another_device_are_refused(as_, town, pair):
    first, second = pair
    TerminalLink.objects.create(first=first, second=second)
    elsewhere = builders.make_terminal(position=town.detector, block="X1", number="1")
    url = reverse("terminal-link-create", args=[second.pk])
    for other, sentence in ((first, "-X3:1 is linked to this terminal already"), (elsewhere, "Select a valid choice")):
        response = as_("office").post(url, {"second": other.pk})
        assert response.status_code == 422
        assert sentence in text_of(response)
    assert TerminalLink.objects.count() == 1


def test_an_end_of_line_part_is_added_and_moved(as_, town, pair):
    first, second = pair
    third = builders.make_terminal(town.panel, block="X3", number="3")
    url = reverse("end-of-line-part-create", args=[first.pk])
    data = {"second": second.pk, "kind": "resistor", "value_ohm": "10000", "tolerance_percent": "1"}
    assert as_("engineer").post(url, data).status_code == 302
    element = EndOfLinePart.objects.get()
    change = reverse("end-of-line-part-update", args=[element.pk])
    assert as_("engineer").post(change, {**data, "second": third.pk, "seen_version": 0}).status_code == 302
    element.refresh_from_db()
    assert element.second == third


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"value_ohm": "0"}, "enter more than 0"),
        ({"tolerance_percent": "80"}, "from 0 to 50 percent"),
        ({"second": ""}, "required"),
    ],
)
def test_an_element_that_cannot_be_is_told_at_its_field_and_not_made(as_, pair, fields, sentence):
    first, second = pair
    data = {"second": second.pk, "kind": "resistor", "value_ohm": "10000", **fields}
    response = as_("office").post(reverse("end-of-line-part-create", args=[first.pk]), data)
    assert response.status_code == 422
    assert sentence in text_of(response)
    assert not EndOfLinePart.objects.exists()


def test_a_terminal_with_a_link_stays(as_, pair):
    TerminalLink.objects.create(first=pair[0], second=pair[1])
    response = as_("office").post(reverse("terminal-remove", args=[pair[0].pk]), follow=True)
    assert "-X3:1 stays" in text_of(response)


def test_a_core_that_leads_to_a_named_board_is_not_told_as_missing(as_, town, pair):
    """The list names the place that the cable states; without one the end is missing."""
    cable = builders.make_cable(town.hall, tag="W9", from_place="board DB7")
    builders.connect(builders.make_core(cable, number=1), far=pair[0])
    url = reverse("panel-terminal-list", args=[town.panel.pk])
    assert "board DB7" in text_of(as_("engineer").get(url))
    assert "not recorded" not in text_of(as_("engineer").get(url))
    cable.from_place = ""
    cable.save()
    assert "not recorded" in text_of(as_("engineer").get(url))
