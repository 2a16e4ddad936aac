"""Many devices put on an output, line or data link at once: shown first, all or none."""

import pytest
from django.urls import reverse

from tests import builders

pytestmark = pytest.mark.django_db


@pytest.fixture
def line(town):
    """Line 1 of P1 with SD1 in place 1; SD2 is on line 2, SD3 on nothing; M1 drives a vent."""
    town.other = builders.make_line(town.panel, number=2)
    line = builders.make_line(town.panel, number=1)
    town.detector.detection_line, town.detector.order_on_line, town.detector.panel = line, 1, town.panel
    town.detector.save()
    new = {"panel": town.panel, "smoke_zone": town.zone}
    town.sd2 = builders.make_position(
        town.hall, "smoke_detector", tag="SD2", walking_order=20, detection_line=town.other, order_on_line=7, **new
    )
    town.sd3 = builders.make_position(town.hall, "smoke_detector", tag="SD3", walking_order=10, **new)
    town.m1 = builders.make_position(town.hall, "actuator", tag="M1", **new)
    return line


def put(as_, line, devices, **more):
    return as_("office").post(
        reverse("line-members", args=[line.pk]), {"devices": [one.pk for one in devices], **more}, follow=True
    )


def text_of(response):
    return " ".join(response.content.decode().split())


def places(line):
    return dict(line.positions.order_by("order_on_line").values_list("tag", "order_on_line"))


def test_what_would_change_is_shown_and_nothing_is_changed(as_, town, line):
    page = text_of(put(as_, line, [town.sd2, town.sd3]))
    assert "SD3</span> goes to place 2" in page
    assert "SD2</span> goes to place 3" in page
    assert "and leaves P1 line 2" in page
    assert places(line) == {"SD1": 1}


def test_they_are_put_on_it_in_walking_order_by_the_second_button(as_, town, line):
    shown = put(as_, line, [town.sd2, town.sd3]).context["shown"]
    assert "2 devices put on" in text_of(put(as_, line, [town.sd2, town.sd3], keep="1", shown=shown))
    assert places(line) == {"SD1": 1, "SD3": 2, "SD2": 3}
    assert places(town.other) == {}


def test_ticks_changed_after_they_were_shown_are_shown_first(as_, town, line):
    shown = put(as_, line, [town.sd2]).context["shown"]
    assert "SD3</span> goes to place" in text_of(put(as_, line, [town.sd2, town.sd3], keep="1", shown=shown))
    assert places(line) == {"SD1": 1}


def test_what_cannot_be_on_a_line_is_not_offered_and_refused_with_all_others(as_, town, line):
    assert town.m1 not in [row[0] for row in put(as_, line, []).context["rows"]]
    response = put(as_, line, [town.sd3, town.m1], keep="1")
    assert response.status_code == 422
    assert "not offered any more" in text_of(response)
    assert places(line) == {"SD1": 1}


def test_without_a_tick_it_says_so(as_, line):
    assert "No device is ticked" in text_of(put(as_, line, []))
