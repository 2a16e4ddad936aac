"""Product models proposed on site by engineers, and confirmed by the office."""

import pytest
from django.urls import reverse

from tests import builders
from zones.engineering.pattern_texts import LINK_CALL_POINT, TWO_CORE_ACTUATOR
from zones.engineering.wiring.patterns import read_pattern
from zones.models import DeviceKind, ProductModel
from zones.units.pattern_starts import pattern_starts

pytestmark = pytest.mark.django_db
TYPED = {"kind": "manual_call_point", "maker_name": "Weir and Daughters", "name": "CP 30"}


def text_of(response):
    return " ".join(response.content.decode().split())


def propose(client, **fields):
    return client.post(reverse("product-model-propose"), {**TYPED, **fields}, follow=True)


def test_an_engineer_proposes_a_model_with_a_ready_made_pattern(as_, town):
    page = propose(as_("engineer"), pattern_start="manual_call_point-data-link", rated_voltage_v="24")
    model = ProductModel.objects.get(name="CP 30")
    assert (model.proposed_by, model.is_proposal) == (town.people["engineer"], True)
    assert "Proposed on site" in model.history.values_list("history_change_reason", flat=True)
    assert read_pattern(model.wiring_pattern) == read_pattern(LINK_CALL_POINT)
    assert "Proposed by Edwin Marsh on site." in text_of(page)
    assert "Confirm figures and pattern" not in text_of(page)  # only the office does


def test_what_was_typed_goes_before_the_ready_made_pattern(as_):
    propose(as_("engineer"), kind="actuator", pattern_start="actuator-polarity", wiring_pattern=TWO_CORE_ACTUATOR)
    assert read_pattern(ProductModel.objects.get(name="CP 30").wiring_pattern) == read_pattern(TWO_CORE_ACTUATOR)


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"wiring_pattern": "X1:1 magic"}, "Line 1: &#x27;magic&#x27; is not understood."),
        ({"wiring_pattern": "for each line\nXL{n}:1 line out +"}, "Only a panel repeats terminals"),
        ({"name": ""}, "This field is required."),
        ({"rated_voltage_v": "-3"}, "-3 is not possible: it must be greater than 0 and at most 1000 V."),
    ],
)
def test_a_proposal_that_cannot_be_is_told_and_nothing_is_stored(as_, fields, sentence):
    response = propose(as_("engineer"), **fields)
    assert response.status_code == 422
    assert sentence in text_of(response)
    assert not ProductModel.objects.filter(name="CP 30").exists()


def test_a_proposal_is_marked_where_it_is_used(as_, town):
    propose(as_("engineer"))
    model = ProductModel.objects.get(name="CP 30")
    town.call_point.product_model = model
    town.call_point.save()
    assert "Weir and Daughters CP 30 (proposed, not confirmed)" in text_of(
        as_("manager").get(town.call_point.get_absolute_url())
    )


def test_the_office_finds_the_proposals_and_confirms_them(as_, town):
    propose(as_("engineer"))
    builders.make_product_model(name="OD 9")
    model = ProductModel.objects.get(name="CP 30")
    home = text_of(as_("office").get("/"))
    assert "1 proposed model to confirm" in home
    listed = as_("office").get(reverse("product-model-list"), {"standing": "proposed"})
    assert [row.record for row in listed.context["table"].rows] == [model]
    page = text_of(as_("office").post(reverse("product-model-confirm", args=[model.pk]), follow=True))
    assert "Proposed by Edwin Marsh, confirmed by Orla Finch." in page
    assert model.history.first().history_change_reason == "Confirmed by Orla Finch"
    model.refresh_from_db()
    assert str(model) == "Weir and Daughters CP 30"
    assert "to confirm" not in text_of(as_("office").get("/"))


def test_confirmed_once_it_keeps_who_confirmed_it(as_, town):
    propose(as_("engineer"))
    model = ProductModel.objects.get(name="CP 30")
    as_("office").post(reverse("product-model-confirm", args=[model.pk]))
    versions = model.history.count()
    as_("office").post(reverse("product-model-confirm", args=[model.pk]))
    assert model.history.count() == versions


def test_the_fitting_form_leads_to_a_proposal_of_its_kind(as_, town):
    page = text_of(as_("engineer").get(reverse("fitting-create", args=[town.call_point.pk])))
    assert "?kind=manual_call_point&amp;next=" in page or "?kind=manual_call_point&next=" in page
    form = as_("engineer").get(reverse("product-model-propose"), {"kind": "manual_call_point"}).context["form"]
    assert form["kind"].value() == "manual_call_point"


def test_every_ready_made_pattern_can_be_read_and_common_kinds_have_one():
    starts = pattern_starts()
    for start in starts:
        assert read_pattern(start.text).terminals, start.key
    assert len({start.key for start in starts}) == len(starts)
    boxes = {DeviceKind.JUNCTION_BOX}  # has the terminals that its cables need
    assert {start.kind for start in starts} >= set(DeviceKind) - boxes
