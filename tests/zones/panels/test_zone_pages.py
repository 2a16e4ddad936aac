"""Pages of smoke zones: the page of one, its forms, and duplicating it."""

import pytest
from django.urls import reverse

from tests import builders
from zones.models import Position, SmokeZone, Vent, VentGroup

pytestmark = pytest.mark.django_db


def text_of(response):
    return " ".join(response.content.decode().split())


@pytest.fixture
def zone(town):
    """Zone 3 with a group, a vent, two actuators and a detector on a line."""
    zone = builders.make_zone(town.hall, panel=town.panel, number=3, name="Stair B", storey="2")
    group, vent = builders.make_vent_group(zone, number=1, name="top"), builders.make_vent(zone, tag="Z3-V1")
    circuit = builders.make_circuit(town.panel)
    for number in (1, 2):
        builders.make_position(
            town.hall,
            "actuator",
            tag=f"Z3-M{number}",
            smoke_zone=zone,
            vent_group=group,
            vent=vent,
            storey="2",
            actuator_circuit=circuit,
            panel=town.panel,
            order_on_line=number,
        )
    builders.fit(builders.make_position(town.hall, tag="Z3-SD1", smoke_zone=zone, storey="roof"))
    builders.make_position(town.hall, tag="Z3-SD9", smoke_zone=zone, retired_on="2026-01-01")
    return zone


def duplicate(client, zone, **fields):
    url = reverse("zone-duplicate", args=[zone.building.slug, zone.number])
    data = {"numbers": "4", "name": "Stair C", "storey": "3", "tag_from": "Z3-", "tag_to": "Z{number}-", **fields}
    return client.post(url, data)


def counts():
    return [model.objects.count() for model in (SmokeZone, VentGroup, Vent, Position)]


def test_the_page_lists_vents_groups_and_positions(as_, zone):
    page = text_of(as_("manager").get(zone.get_absolute_url()))
    for words in ("Z3-V1", "3.1", "Z3-M1", "Z3-M2", "Z3-SD1"):
        assert words in page
    assert "Z3-SD9" not in page
    assert "Change zone" not in page


def test_an_area_needs_its_kind(as_, town, zone):
    url = reverse("zone-create", args=[town.hall.slug])
    response = as_("office").post(url, {"number": 8, "name": "Hall", "required_area_m2": "2.5"})
    assert response.status_code == 422
    assert "aerodynamic or geometric" in str(response.context["form"].errors["required_area_kind"])
    response = as_("office").post(
        url, {"number": 8, "name": "Hall", "required_area_m2": "2.5", "required_area_kind": "geometric"}
    )
    assert response.status_code == 302


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"number": 3}, "This building has a zone 3 already"),
        ({"number": 0}, "zones are numbered from 1"),
        ({"number": 40_000}, "40000 is too much: at most 32767"),
        ({"required_area_m2": "inf"}, "Enter a number"),
        ({"name": ""}, "This field is required"),
    ],
)
def test_what_cannot_be_a_zone_is_told_and_nothing_is_added(as_, town, zone, fields, sentence):
    before = counts()
    response = as_("office").post(
        reverse("zone-create", args=[town.hall.slug]), {"number": 9, "name": "Hall", **fields}
    )
    assert response.status_code == 422
    assert sentence in text_of(response)
    assert counts() == before


def test_a_range_is_told_once_beside_the_digits_that_a_column_holds(as_, town, zone):
    fields = {"number": 9, "name": "Hall", "required_area_m2": "99999999"}
    response = as_("office").post(reverse("zone-create", args=[town.hall.slug]), fields)
    assert response.context["form"].errors["required_area_m2"] == [
        "99999999 is not possible: it must be greater than 0 and at most 1000 m². Leave it empty if not known."
    ]


def test_a_zone_takes_no_panel_of_another_building(as_, town, zone):
    foreign = builders.make_panel(town.mill)
    url = reverse("zone-create", args=[town.hall.slug])
    response = as_("office").post(url, {"number": 9, "name": "Hall", "panel": foreign.pk})
    assert "panel" in response.context["form"].errors


@pytest.mark.parametrize("panel", ["abc", "99999999999999999999", "-1", "²"])
def test_a_nonsense_panel_in_the_address_is_passed_over(as_, town, panel):
    assert as_("office").get(reverse("zone-create", args=[town.hall.slug]) + f"?panel={panel}").status_code == 200


def test_the_preview_shows_new_tags_and_changes_nothing(as_, zone):
    before = counts()
    response = duplicate(as_("office"), zone)
    assert response.status_code == 200
    assert "Z4-M1" in text_of(response)
    assert "nothing is saved yet" in text_of(response)
    assert counts() == before


def test_a_copy_has_groups_vents_and_positions_under_new_tags(as_, town, zone):
    assert duplicate(as_("office"), zone, confirm="1").url == f"/buildings/{town.hall.slug}/zones/4/"
    copy = SmokeZone.objects.get(building=town.hall, number=4)
    assert (copy.name, copy.storey, copy.panel) == ("Stair C", "3", town.panel)
    assert [group.name for group in copy.vent_groups.all()] == ["top"]
    assert [vent.tag for vent in copy.vents.all()] == ["Z4-V1"]
    positions = {position.tag: position for position in copy.positions.all()}
    assert sorted(positions) == ["Z4-M1", "Z4-M2", "Z4-SD1"]  # the one given up is not copied
    actuator = positions["Z4-M1"]
    assert (actuator.vent, actuator.vent_group) == (copy.vents.get(), copy.vent_groups.get())
    assert (actuator.storey, positions["Z4-SD1"].storey) == ("3", "roof")
    actuator.full_clean()


def test_a_copy_takes_neither_circuit_nor_serial(as_, zone):
    duplicate(as_("office"), zone, confirm="1")
    actuator, detector = Position.objects.get(tag="Z4-M1"), Position.objects.get(tag="Z4-SD1")
    assert (actuator.actuator_circuit, actuator.order_on_line) == (None, None)
    assert not detector.fittings.exists()


def test_devices_of_copies_are_walked_after_all_others_in_their_order(as_, town, zone):
    last = max(town.hall.positions.values_list("walking_order", flat=True))
    duplicate(as_("office"), zone, numbers="4, 6", confirm="1")
    made = town.hall.positions.filter(smoke_zone__number__in=[4, 6]).order_by("smoke_zone__number", "pk")
    assert [position.walking_order for position in made] == [last + step for step in range(1, 7)]


def test_several_copies_at_once(as_, town, zone):
    response = duplicate(as_("office"), zone, numbers="4, 6-7", name="Stair {number}", confirm="1")
    assert response.url == reverse("zone-list", args=[town.hall.slug])
    assert list(SmokeZone.objects.filter(number__gte=4).values_list("name", flat=True)) == [
        "Stair 4",
        "Stair 6",
        "Stair 7",
    ]


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"numbers": "1"}, "Zone number 1 is taken by"),
        ({"numbers": "4, x"}, "is not a number"),
        ({"numbers": "5-4"}, "numbers run upwards"),
        ({"numbers": "0"}, "numbers run upwards"),
        ({"numbers": "4 4"}, "4 is named twice"),
        ({"numbers": "4-400"}, "At most 50 copies"),
        ({"tag_from": "Q"}, "does not occur in"),
        ({"tag_to": "Z3-"}, "These tags are taken in Ropewalk Hall"),
        ({"tag_to": "y" * 40}, "longer than 40 characters"),
        ({"numbers": "4 5", "tag_to": "Z4-"}, "more than once"),
        ({"tag_to": "Z\0"}, "Null characters"),
        ({"tag_to": "TAKEN-"}, "&#x27;TAKEN-M1&#x27;"),
    ],
)
@pytest.mark.parametrize("confirm", [{}, {"confirm": "1"}])
def test_a_clash_is_named_and_nothing_is_copied(as_, town, zone, fields, sentence, confirm):
    builders.make_position(town.hall, "actuator", tag="TAKEN-M1")
    before = counts()
    response = duplicate(as_("office"), zone, **fields, **confirm)
    assert response.status_code == 422
    assert sentence in text_of(response)
    assert counts() == before


def test_a_vent_tag_in_use_is_told_at_its_field(as_, town, zone):
    url = reverse("vent-create", args=[town.hall.slug, 3])
    response = as_("office").post(url, {"tag": "Z3-V1"})
    assert "a vent &#x27;Z3-V1&#x27; already" in text_of(response)
    assert as_("office").post(url, {"tag": "Z3-V2", "width_mm": "0"}).status_code == 422
    assert as_("office").post(url, {"tag": "Z3-V2", "width_mm": "900"}).status_code == 302


def test_a_vent_with_actuators_stays(as_, zone):
    vent = zone.vents.get()
    response = as_("office").post(reverse("vent-remove", args=[vent.pk]), follow=True)
    assert "Z3-V1 stays: 2 positions use it (Z3-M1, Z3-M2)" in text_of(response)
    assert Vent.objects.filter(pk=vent.pk).exists()


def test_a_page_number_beyond_the_last_shows_the_last(as_, zone):
    for page in ("999", "abc", "-1", "\0"):
        assert as_("office").get(zone.get_absolute_url(), {"page": page}).status_code == 200


def test_required_areas_of_a_list_have_the_same_decimals(as_, town):
    for number, area in ((11, "1"), (12, "8.8"), (13, "1.25")):
        builders.make_zone(town.hall, number=number, required_area_m2=area, required_area_kind="aerodynamic")
    rows = text_of(as_("office").get(reverse("zone-list", args=[town.hall.slug])))
    assert [f">{area}<" in rows for area in ("1.00", "8.80", "1.25")] == [True] * 3


def test_a_method_stands_beside_the_strategys_figure_and_alone_it_is_what_is_required(as_, zone):
    url = reverse("zone-update", args=[zone.building.slug, zone.number])
    fields = {"number": 3, "name": "Stair B", "seen_version": zone.row_version, "area_method": "fr-workplace"}
    asked = {"required_area_m2": "2", "required_area_kind": "geometric", "inlet_ratio": "1,5"}
    response = as_("office").post(url, {**fields, **asked})
    assert "Say whether aerodynamic or geometric areas of inlets and outlets" in text_of(response)
    as_("office").post(url, {**fields, **asked, "inlet_ratio_kind": "geometric", "floor_area_m2": "312"})
    page = text_of(as_("manager").get(zone.get_absolute_url()))
    assert "2 m², geometric" in page and "3.12 m²" in page and "1.5 times the outlets, geometric" in page
    zone.refresh_from_db()
    fields["seen_version"] = zone.row_version
    as_("office").post(url, {**fields, "floor_area_m2": "312", "needs_no_inlets": "on"})
    page = text_of(as_("manager").get(zone.get_absolute_url()))
    assert "3.12 m², geometric" in page and "by the method" in page and "not asked for" in page


def test_a_grille_is_an_inlet_and_a_smoke_outlet_needs_an_actuator(as_, zone):
    url = reverse("vent-create", args=[zone.building.slug, zone.number])
    grille = {"tag": "Z3-I1", "opened_by": "fixed", "geometric_area_m2": "0.5"}
    response = as_("office").post(url, {**grille, "purpose": "outlet"})
    assert "A smoke outlet is opened by an actuator" in text_of(response)
    as_("office").post(url, {**grille, "purpose": "inlet"})
    page = text_of(as_("manager").get(zone.get_absolute_url()))
    assert "inlet, always open" in page and "1 inlet" in page and "as declared" in page
