"""Positions of a building: device list, detail with its history, making, changing, giving up."""

from datetime import date

import pytest
from django.urls import reverse

from tests import builders
from zones.models import DeviceKind, Position
from zones.units.fittings import take_off


def tags_on(response):
    return [row.record.tag for row in response.context["table"].rows]


def positions_of(building, query=""):
    return reverse("position-list", args=[building.slug]) + query


def test_the_device_list_is_in_walking_order(as_, town):
    builders.make_position(town.hall, tag="SD10", walking_order=5_000_000)
    builders.make_position(town.hall, tag="SD9", walking_order=0)
    tags = tags_on(as_("manager").get(positions_of(town.hall)))
    assert tags[0] == "SD9"
    assert tags[-1] == "SD10"


def test_sorting_by_tag_counts_as_people_do(as_, town):
    for tag in ("M10", "M2", "M1"):
        builders.make_position(town.hall, DeviceKind.ACTUATOR, tag=tag)
    tags = tags_on(as_("engineer").get(positions_of(town.hall, "?kind=actuator&sort=tag")))
    assert tags == ["M1", "M2", "M10"]


@pytest.mark.parametrize(
    ("query", "found", "passed_over"),
    [
        ("?unit=without", "CP1", "SD1"),
        ("?unit=with", "SD1", "CP1"),
        ("?kind=smoke_detector", "SD1", "CP1"),
        ("?storey=1", "SD1", "CP1"),
        ("?text=ak-0001", "SD1", "CP1"),
        ("?text=cp", "CP1", "SD1"),
        ("?use=no-longer-used", "OLD", "SD1"),
        ("", "SD1", "OLD"),
        ("?use=all", "OLD", "no such tag"),
    ],
)
def test_filters_of_the_device_list(as_, town, query, found, passed_over):
    builders.make_position(town.hall, tag="OLD", retired_on=date(2025, 1, 1))
    tags = tags_on(as_("engineer").get(positions_of(town.hall, query)))
    assert found in tags
    assert passed_over not in tags


@pytest.mark.parametrize(
    "query", ["?zone=999999", "?zone=x", "?kind=x", "?page=99", "?sort=x", "?text=%00", "?text=" + "x" * 9000]
)
def test_nonsense_in_the_address_of_the_list_is_no_failure(as_, town, query):
    assert as_("engineer").get(positions_of(town.hall, query)).status_code in (200, 404)


def test_the_position_page_keeps_every_unit_that_was_there(as_, town):
    take_off(position=town.detector, removed_on=date(2025, 6, 1), by=town.people["engineer"], reason="dirty")
    builders.fit(town.detector, builders.make_unit(serial="AK-0002"), fitted_on=date(2025, 6, 1))
    text = as_("manager").get(town.detector.get_absolute_url()).content.decode()
    assert "AK-0001" in text
    assert "AK-0002" in text
    assert "dirty" in text


def typed(position, **fields):
    return {
        "kind": position.kind,
        "tag": position.tag,
        "storey": position.storey,
        "seen_version": position.row_version,
        "smoke_zone": position.smoke_zone_id or "",
        "panel": position.panel_id or "",
        **fields,
    }


def change(client, position, **fields):
    return client.post(reverse("position-update", args=[position.pk]), typed(position, **fields))


def test_a_change_is_kept_with_who_and_what(as_, town):
    change(as_("engineer"), town.call_point, room="Lobby", smoke_zone="")
    text = as_("office").get(town.call_point.get_absolute_url()).content.decode()
    assert "Edwin Marsh" in text
    assert "Room: – → Lobby" in text
    assert "Smoke zone: Zone 1 Main stair → –" in text


def test_the_history_is_for_the_firm(as_, town):
    change(as_("engineer"), town.call_point, room="Lobby")
    assert "Changes of this record" not in as_("manager").get(town.call_point.get_absolute_url()).content.decode()


def test_a_tag_is_unique_in_its_building_whatever_its_capitals(as_, town):
    response = change(as_("engineer"), town.call_point, tag="sd1")
    assert response.status_code == 422
    assert (
        "Ropewalk Hall has &#x27;SD1&#x27; already, a smoke detector. Choose another tag." in response.content.decode()
    )
    assert change(as_("engineer"), builders.make_position(town.mill, tag="X"), tag="SD1").status_code == 302


def test_relations_are_limited_to_the_building(as_, town):
    zone_of_mill = builders.make_zone(town.mill, number=7)
    response = change(as_("engineer"), town.call_point, smoke_zone=zone_of_mill.pk)
    assert response.status_code == 422
    town.call_point.refresh_from_db()
    assert town.call_point.smoke_zone == town.zone


def test_the_panel_follows_from_the_line(as_, town):
    line = builders.make_line(town.panel, number=3)
    change(as_("engineer"), town.call_point, detection_line=line.pk, panel="")
    town.call_point.refresh_from_db()
    assert town.call_point.panel == town.panel


def test_the_kind_stays_while_a_unit_is_fitted(as_, town):
    response = change(as_("engineer"), town.detector, kind="rain_sensor")
    assert "Take it off before changing the kind." in response.content.decode()


def test_the_position_of_a_panel_stays_one(as_, town):
    response = change(as_("engineer"), town.panel.position, kind="rain_sensor")
    assert response.status_code == 422
    assert Position.objects.get(pk=town.panel.position_id).kind == "control_panel"


def test_a_new_position_comes_last_in_walking_order(as_, town):
    url = reverse("position-create", args=[town.hall.slug])
    assert as_("engineer").post(url, {"kind": "actuator", "tag": " M1 "}).status_code == 302
    made = town.hall.positions.get(tag="M1")
    assert made == town.hall.positions.in_walking_order().last()


@pytest.mark.parametrize(
    "fields",
    [
        {"tag": ""},
        {"tag": "x" * 41},
        {"tag": "A\x00"},
        {"kind": "x"},
        {"kind": "control_panel"},
        {"smoke_zone": "9" * 30},
        {"order_on_line": "1e9"},
        {"order_on_line": "-1"},
        {"order_on_line": "99999"},
        {"product_model": "abc"},
    ],
)
def test_what_cannot_be_a_position_is_refused(as_, town, fields):
    url = reverse("position-create", args=[town.hall.slug])
    before = town.hall.positions.count()
    response = as_("engineer").post(url, {"kind": "actuator", "tag": "M1", **fields})
    assert response.status_code == 422
    assert response.context["form"].errors
    assert town.hall.positions.count() == before


def test_a_form_sent_twice_makes_one_position(as_, town):
    url = reverse("position-create", args=[town.hall.slug])
    key = "5f0e6a52-8f4f-4a0e-9a5c-9f2f6c6f6b11"
    for _ in range(2):
        assert as_("engineer").post(url, {"kind": "actuator", "tag": "M1", "submission_key": key}).status_code == 302
    assert town.hall.positions.filter(tag="M1").count() == 1


def test_whoever_sends_a_form_again_is_told_that_nothing_more_was_made(as_, town):
    url, key = reverse("position-create", args=[town.hall.slug]), "5f0e6a52-8f4f-4a0e-9a5c-9f2f6c6f6b11"
    first = as_("engineer").post(url, {"kind": "actuator", "tag": "M1", "submission_key": key}, follow=True)
    again = as_("engineer").post(url, {"kind": "actuator", "tag": "M2", "submission_key": key}, follow=True)
    assert "sent before" not in first.content.decode() and "sent before" in again.content.decode()
    assert not town.hall.positions.filter(tag="M2").exists()


def retire(client, position, day="2026-01-05", reason="door walled up"):
    return client.post(reverse("position-retire", args=[position.pk]), {"day": day, "reason": reason})


def test_a_position_is_no_longer_used_and_taken_back(as_, town):
    assert retire(as_("engineer"), town.call_point).status_code == 302
    town.call_point.refresh_from_db()
    assert town.call_point.retired_on == date(2026, 1, 5)
    assert town.call_point.history.first().history_change_reason == "door walled up"
    as_("engineer").post(reverse("position-take-back", args=[town.call_point.pk]))
    town.call_point.refresh_from_db()
    assert town.call_point.retired_on is None


def test_a_position_with_a_unit_is_not_no_longer_used(as_, town):
    response = retire(as_("engineer"), town.detector)
    assert response.status_code == 422
    assert "Unit &#x27;AK-0001&#x27; is fitted at SD1 since 3 Mar 2025. Take it off first." in response.content.decode()
    town.detector.refresh_from_db()
    assert town.detector.retired_on is None


def test_a_panel_that_feeds_positions_is_not_no_longer_used(as_, town):
    response = retire(as_("engineer"), town.panel.position)
    assert "Wired to panel P1: 2 positions in use" in response.content.decode()


def test_a_position_is_not_no_longer_used_before_its_last_unit_left(as_, town):
    take_off(position=town.detector, removed_on=date(2025, 6, 1))
    response = retire(as_("engineer"), town.detector, day="2025-05-01")
    assert "SD1 had a unit until 1 Jun 2025" in response.context["form"].errors["day"][0]


def test_a_position_is_not_no_longer_used_from_a_day_to_come(as_, town):
    response = retire(as_("engineer"), town.call_point, day="2999-01-01")
    assert "1 Jan 2999 lies ahead" in response.context["form"].errors["day"][0]
    town.call_point.refresh_from_db()
    assert town.call_point.retired_on is None
