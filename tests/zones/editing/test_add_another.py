"""'Add another' fills in what repeats from the record just made, and counts on what is numbered."""

import pytest
from django.urls import reverse

from tests import builders
from zones.editing.tags import tag_after
from zones.models import Cable, Position

pytestmark = pytest.mark.django_db


def next_form(client, url, typed):
    """The form that follows after saving `typed` with 'add another'."""
    response = client.post(url, {**typed, "add_another": "1"}, follow=True)
    assert response.status_code == 200, response.context["form"].errors
    return response


def shown(response):
    return {
        name: field.value() for name in response.context["form"].fields for field in [response.context["form"][name]]
    }


def test_the_next_position_keeps_kind_model_zone_and_line_and_counts_on(as_, town):
    line = builders.make_line(town.panel, smoke_zone=town.zone)
    model = builders.make_product_model("manual_call_point")
    url = reverse("position-create", args=[town.hall.slug])
    typed = {
        "kind": "manual_call_point",
        "tag": "CP9",
        "product_model": model.pk,
        "storey": "2",
        "place": "at the stair",
        "smoke_zone": town.zone.pk,
        "detection_line": line.pk,
        "order_on_line": 4,
    }
    response = next_form(as_("engineer"), url, typed)
    form = shown(response)
    assert (form["kind"], form["tag"], form["product_model"]) == ("manual_call_point", "CP10", model.pk)
    assert (form["smoke_zone"], form["detection_line"], form["order_on_line"]) == (town.zone.pk, line.pk, 5)
    assert form["storey"] == "2"
    assert not form["place"]
    assert "Filled in as at" in response.content.decode()


def test_the_tag_that_follows_is_a_free_one(as_, town):
    builders.make_position(town.hall, "rain_sensor", tag="rs2")
    url = reverse("position-create", args=[town.hall.slug])
    assert shown(next_form(as_("office"), url, {"kind": "rain_sensor", "tag": "RS1"}))["tag"] == "RS3"


@pytest.mark.parametrize(
    ("tag", "taken", "following"),
    [
        ("CP1", (), "CP2"),
        ("Z3-SD-09", (), "Z3-SD-10"),
        ("W1.9", ("W1.10",), "W1.11"),
        ("Lobby", (), ""),
        ("M99", (), "M100"),
    ],
)
def test_tags_count_on(tag, taken, following):
    assert tag_after(tag, taken) == following


def test_the_next_cable_keeps_type_cores_and_size_but_not_its_length_and_its_end(as_, town):
    url = reverse("cable-create", args=[town.hall.slug])
    typed = {
        "tag": "W7",
        "cable_type": "LSZH",
        "cores_count": 3,
        "area_mm2": "1.50",
        "length_m": "12",
        "to_place": "M1",
    }
    form = shown(next_form(as_("engineer"), url, typed))
    assert (form["tag"], form["cable_type"], form["cores_count"], str(form["area_mm2"])) == ("W8", "LSZH", 3, "1.5")
    assert not form["length_m"] and not form["to_place"]
    assert Cable.objects.filter(tag="W7").count() == 1


def test_the_next_circuit_keeps_drive_and_run_time(as_, town):
    url = reverse("circuit-create", args=[town.panel.pk])
    form = shown(next_form(as_("engineer"), url, {"number": 3, "drive": "polarity", "run_time_s": 60}))
    assert (form["number"], form["drive"], form["run_time_s"]) == (4, "polarity", 60)


def test_the_next_line_keeps_its_resistor(as_, town):
    url = reverse("line-create", args=[town.panel.pk])
    form = shown(next_form(as_("engineer"), url, {"number": 3, "end_of_line_ohm": "10000", "name": "Stair"}))
    assert (form["number"], form["end_of_line_ohm"], form["name"]) == (4, 10_000, "")


def test_the_next_zone_keeps_its_panel_and_required_area(as_, town):
    url = reverse("zone-create", args=[town.hall.slug])
    typed = {
        "number": 5,
        "name": "Stair E",
        "panel": town.panel.pk,
        "required_area_m2": "1",
        "required_area_kind": "geometric",
    }
    form = shown(next_form(as_("engineer"), url, typed))
    assert (form["number"], form["panel"], form["required_area_m2"]) == (6, town.panel.pk, 1)
    assert not form["name"]


def test_the_next_vent_keeps_its_sizes(as_, town):
    url = reverse("vent-create", args=[town.hall.slug, town.zone.number])
    form = shown(next_form(as_("engineer"), url, {"tag": "V1", "leaf": "top_hung", "width_mm": 900}))
    assert (form["tag"], form["leaf"], form["width_mm"]) == ("V2", "top_hung", 900)


def test_the_next_product_model_keeps_maker_and_kind_but_no_figure_of_its_own(as_, town):
    url = reverse("product-model-create")
    typed = {
        "maker_name": "Tarn Works",
        "kind": "actuator",
        "name": "A 300",
        "rated_current_a": "0.8",
        "stroke_mm": "300",
    }
    form = shown(next_form(as_("office"), url, typed))
    assert (form["maker_name"], form["kind"]) == ("Tarn Works", "actuator")
    assert not form["rated_current_a"] and not form["stroke_mm"] and not form["name"]


@pytest.mark.parametrize("like", ["0", "x", "9" * 30, "-1", "²"])
def test_an_address_that_names_no_record_shows_an_empty_form(as_, town, like):
    response = as_("office").get(reverse("position-create", args=[town.hall.slug]), {"like": like})
    assert response.status_code == 200
    assert not shown(response)["tag"]


def test_saving_without_add_another_leads_to_the_record(as_, town):
    url = reverse("position-create", args=[town.hall.slug])
    response = as_("office").post(url, {"kind": "rain_sensor", "tag": "RS1"})
    assert response["Location"] == Position.objects.get(tag="RS1").get_absolute_url()
