"""Product models: list, figures known or missing, the maker chosen or typed, unusual figures questioned."""

import re
from importlib import import_module

import pytest
from django.apps import apps
from django.db import IntegrityError, transaction
from django.urls import reverse

from tests import builders
from tests.evidence import evidence_lifted
from zones.models import DeviceKind, Maker, ProductModel

NEW = "/product-models/new/"


def typed(**fields):
    return {"kind": "actuator", "maker_name": "Weir Controls", "name": "Chain drive 500", "is_current": "on", **fields}


def test_a_new_maker_is_made_with_the_model(as_, town):
    response = as_("office").post(NEW, typed(stroke_mm="500", rated_current_a="1"))
    assert response.status_code == 302
    product_model = ProductModel.objects.get(name="Chain drive 500")
    assert (product_model.maker.name, product_model.stroke_mm) == ("Weir Controls", 500)


def test_a_known_maker_is_taken_whatever_its_capitals(as_, town):
    as_("office").post(NEW, typed(maker_name="tarn  WORKS"))
    assert ProductModel.objects.get(name="Chain drive 500").maker == Maker.objects.get(name="Tarn Works")


def test_a_refused_form_makes_no_maker_and_keeps_what_was_typed(as_, town):
    response = as_("office").post(NEW, typed(rated_current_a="-1"))
    assert response.status_code == 422
    text = response.content.decode()
    assert "-1 is not possible: it must be greater than 0 and at most 200 A. Leave it empty if not known." in text
    assert 'value="Weir Controls"' in text
    assert not Maker.objects.filter(name="Weir Controls").exists()


@pytest.mark.parametrize("value", ["0", "-0.5", "NaN", "1e999", "Infinity", "1,500", "x", "12345678901", "1\x00"])
def test_a_figure_that_cannot_be_is_refused(as_, town, value):
    response = as_("office").post(NEW, typed(rated_current_a=value))
    assert response.status_code == 422
    assert response.context["form"].errors["rated_current_a"]
    assert not ProductModel.objects.filter(name="Chain drive 500").exists()


def test_an_unusual_figure_is_questioned_and_taken_when_it_is_so(as_, town):
    """Usual ranges: common practice, see zones/editing/figures.py."""
    office = as_("office")
    response = office.post(NEW, typed(rated_current_a="55"))
    assert response.status_code == 422
    text = response.content.decode()
    assert "Rated current is usually 0.05 to 20 A. Is 55 A right?" in text
    key = re.search(r'name="is_so" id="id_is_so" value="(\w+)"', text).group(1)
    assert office.post(NEW, typed(rated_current_a="55", is_so=key)).status_code == 302
    assert ProductModel.objects.get(name="Chain drive 500").rated_current_a == 55


def test_a_tick_given_to_one_figure_does_not_hold_for_another(as_, town):
    office = as_("office")
    text = office.post(NEW, typed(rated_current_a="55")).content.decode()
    key = re.search(r'name="is_so" id="id_is_so" value="(\w+)"', text).group(1)
    assert office.post(NEW, typed(rated_current_a="99", is_so=key)).status_code == 422


def test_a_maker_that_looks_like_a_known_one_is_questioned(as_, town):
    response = as_("office").post(NEW, typed(maker_name="Tarn Work"))
    assert "There is a maker &#x27;Tarn Works&#x27;" in response.content.decode()
    assert not Maker.objects.filter(name="Tarn Work").exists()


def test_the_least_voltage_is_not_above_the_rated_one(as_, town):
    response = as_("office").post(NEW, typed(rated_voltage_v="24", minimum_voltage_v="30"))
    assert "30 V is above the rated voltage of 24 V" in response.content.decode()


def test_a_maker_has_each_model_once(as_, town):
    builders.make_product_model(name="D-24")
    response = as_("office").post(NEW, typed(maker_name="Tarn Works", name="d-24"))
    assert "Tarn Works has a model &#x27;D-24&#x27; already" in response.content.decode()


def change(client, product_model, **fields):
    url = reverse("product-model-update", args=[product_model.pk])
    initial = {
        "kind": product_model.kind,
        "maker_name": product_model.maker.name,
        "name": product_model.name,
        "is_current": "on",
        "seen_version": product_model.row_version,
    }
    return client.post(url, initial | fields)


def test_changing_the_maker_takes_the_units_along(as_, town):
    product_model = town.unit.product_model
    assert change(as_("office"), product_model, maker_name="Weir Controls").status_code == 302
    town.unit.refresh_from_db()
    assert town.unit.maker.name == "Weir Controls"
    assert town.unit.history.first().history_change_reason == "maker of the model changed"


def test_changing_the_maker_is_refused_where_a_serial_would_clash(as_, town):
    other = builders.make_product_model(maker=Maker.objects.create(name="Weir Controls"))
    builders.make_unit(other, serial="ak-0001")
    response = change(as_("office"), town.unit.product_model, maker_name="Weir Controls")
    assert response.status_code == 422
    assert "Weir Controls has serial &#x27;ak-0001&#x27; already" in response.content.decode()
    town.unit.refresh_from_db()
    assert town.unit.maker.name == "Tarn Works"
    assert ProductModel.objects.get(pk=town.unit.product_model_id).maker.name == "Tarn Works"


def test_the_kind_of_a_model_in_use_stays(as_, town):
    response = change(as_("office"), town.unit.product_model, kind="rain_sensor")
    assert "This model serves 1 unit and 0 positions as a smoke detector" in response.content.decode()


def test_a_stale_change_is_told_and_loses_nothing(as_, town):
    product_model = town.unit.product_model
    change(as_("office"), product_model, maker_name="Weir Controls", stroke_mm="")
    response = change(as_("office"), product_model, notes="Typed by the second")
    assert response.status_code == 422
    text = response.content.decode()
    assert "changed after you opened it" in text
    assert "Typed by the second" in text
    assert "Weir Controls" in text


def test_the_list_finds_models_with_figures_missing(as_, town):
    complete = builders.make_product_model(
        DeviceKind.SMOKE_DETECTOR,
        name="Complete",
        standby_current_a="0.00006",
        alarm_resistance_ohm="680",
        removal_opens_line=True,
    )
    lacking = builders.make_product_model(DeviceKind.ACTUATOR, name="Lacking", rated_voltage_v="24")
    url = reverse("product-model-list")
    missing = [row.record for row in as_("engineer").get(url + "?figures=missing").context["table"].rows]
    known = [row.record for row in as_("engineer").get(url + "?figures=known").context["table"].rows]
    assert lacking in missing
    assert complete not in missing
    assert complete in known
    assert lacking not in known


def test_a_missing_figure_is_shown_as_missing_with_its_reason(as_, town):
    product_model = builders.make_product_model(DeviceKind.ACTUATOR, rated_voltage_v="24")
    text = as_("engineer").get(product_model.get_absolute_url()).content.decode()
    assert "24 V" in text
    assert "Without it the time to open cannot be reckoned." in text


def test_a_new_actuator_has_no_kind_of_load_until_somebody_enters_it(as_, town):
    made = builders.make_product_model(DeviceKind.ACTUATOR, rated_current_a=1)
    assert made.load_kind == ""
    assert "not known: the worst kind counts" in as_("office").get(made.get_absolute_url()).content.decode()


def test_the_step_to_a_kind_of_load_not_known_forgets_only_what_nobody_can_have_meant(town):
    """Of a model without a rated current the kind was the default; and the way back."""
    step = import_module("zones.migrations.0032_load_kind_not_known")
    maker = Maker.objects.get_or_create(name="Weir Controls")[0]
    for name, rated_a, kind in (
        ("bare", None, "constant current"),
        ("whole", 1, "constant current"),
        ("told", None, "resistive"),
    ):
        builders.make_product_model(DeviceKind.ACTUATOR, maker, name=name, rated_current_a=rated_a, load_kind=kind)

    def kinds():
        return dict(ProductModel.objects.filter(maker=maker).values_list("name", "load_kind"))

    with evidence_lifted():  # as around every migration
        step.forget_what_nobody_entered(apps, None)
    assert kinds() == {"bare": "", "whole": "constant current", "told": "resistive"}
    with evidence_lifted():
        step.assume_a_constant_current(apps, None)
    assert kinds() == {"bare": "constant current", "whole": "constant current", "told": "resistive"}


def test_the_step_to_a_kind_of_load_of_actuators_alone_keeps_what_somebody_chose(town):
    step = import_module("zones.migrations.0036_load_kind_of_actuators_alone")
    for kind, load_kind in (
        ("control_panel", "constant current"),
        ("battery", "resistive"),
        ("actuator", "constant current"),
    ):
        builders.make_product_model(kind, name=f"{kind} before the step", load_kind=load_kind)
    with evidence_lifted():
        step.forget_what_nobody_entered(apps, None)
    kept = ProductModel.objects.filter(name__endswith="before the step").values_list("kind", "load_kind")
    assert dict(kept) == {"control_panel": "", "battery": "resistive", "actuator": "constant current"}


def test_what_was_chosen_for_another_kind_is_not_kept_and_what_was_on_record_stays(as_, town):
    chosen = {"drive": "polarity", "load_kind": "resistive", "supply_fuse_kind": "blade"}
    assert as_("office").post(NEW, typed(kind="control_panel", **chosen)).status_code == 302
    panel = ProductModel.objects.get(name="Chain drive 500")
    assert (panel.drive, panel.load_kind, panel.supply_fuse_kind) == ("", "", "blade")
    ProductModel.objects.filter(pk=panel.pk).update(load_kind="resistive")
    changed = typed(kind="control_panel", seen_version=panel.row_version, load_kind="resistive", notes="as delivered")
    assert as_("office").post(reverse("product-model-update", args=[panel.pk]), changed).status_code == 302
    panel.refresh_from_db()
    assert (panel.load_kind, panel.notes) == ("resistive", "as delivered")


def test_the_model_page_says_in_which_buildings_it_is_fitted(as_, town):
    response = as_("engineer").get(town.unit.product_model.get_absolute_url())
    assert [(row["name"], row["number"]) for row in response.context["buildings"]] == [("Ropewalk Hall", 1)]


def test_ranges_of_lines_that_do_not_rise_are_refused(as_, town):
    """The limits left empty are those of common practice: normal from 7500 ohm."""
    response = as_("office").post(NEW, typed(kind="control_panel", alarm_high_ohm="9000"))
    assert response.status_code == 422
    assert "not rising: short, alarm, normal, open" in " ".join(response.context["form"].errors["alarm_high_ohm"])
    ranges = {"alarm_low_ohm": "300", "alarm_high_ohm": "3000"}
    assert as_("office").post(NEW, typed(kind="control_panel", **ranges)).status_code == 302


def test_a_contact_takes_no_current_at_rest_and_a_motor_never_none(as_, town):
    assert as_("office").post(NEW, typed(kind="manual_call_point", standby_current_a="0")).status_code == 302
    assert ProductModel.objects.get(name="Chain drive 500").standby_current_a == 0
    response = as_("office").post(NEW, typed(name="Chain drive 501", rated_current_a="0"))
    assert "0 is not possible: it must be greater than 0 and at most 200 A." in response.content.decode()


def panel_typed(**fields):
    return typed(kind="control_panel", name="Panel 8", **fields)


def test_the_makers_orders_of_a_panel_are_kept_with_their_source_and_shown(as_, town):
    orders = {"power_up_order": "Guards on.\r\n\r\n  Close  F1. ", "power_order_source": "Manual 12, page 4"}
    as_("office").post(NEW, panel_typed(**orders))
    product_model = ProductModel.objects.get(name="Panel 8")
    assert product_model.power_up_order == "Guards on.\nClose F1."
    page = as_("engineer").get(product_model.get_absolute_url()).content.decode()
    assert "Close F1." in page and "Manual 12, page 4" in page


@pytest.mark.parametrize(
    ("fields", "field", "sentence"),
    [
        ({"isolation_order": "Turn K2."}, "power_order_source", "Name the maker's document"),
        (
            {"kind": "actuator", "power_up_order": "Turn K2.", "power_order_source": "x"},
            "power_up_order",
            "Only a control",
        ),
        (
            {"power_up_order": "a\n" + "b" * 401, "power_order_source": "x"},
            "power_up_order",
            "Step 2 has 401 characters",
        ),
        ({"power_up_order": "b" * 2001, "power_order_source": "x"}, "power_up_order", "at most 2000 characters"),
    ],
)
def test_an_order_that_cannot_be_shown_or_names_no_source_is_refused(as_, town, fields, field, sentence):
    response = as_("office").post(NEW, {**panel_typed(), **fields})
    assert response.status_code == 422
    assert sentence in response.context["form"].errors[field][0]
    assert not ProductModel.objects.filter(name="Panel 8").exists()


@pytest.mark.parametrize(
    ("kind", "fields", "rule"),
    [
        ("control_panel", {"power_up_order": "x"}, "product_model_power_order_has_a_source"),
        ("battery", {"power_up_order": "x", "power_order_source": "y"}, "product_model_power_order_of_a_panel"),
    ],
)
def test_the_database_holds_what_an_order_of_the_maker_needs(town, kind, fields, rule):
    product_model = builders.make_product_model(kind)
    with pytest.raises(IntegrityError, match=rule), transaction.atomic():
        ProductModel.objects.filter(pk=product_model.pk).update(**fields)
