"""The pages that wire a run in one step, make terminals from patterns and keep the pattern of a product model."""

import pytest
from django.urls import reverse

from tests import builders
from zones.models import Cable, Core, Terminal
from zones.units.patterns import use_panel_pattern

pytestmark = pytest.mark.django_db


def text_of(response):
    return " ".join(response.content.decode().split())


@pytest.fixture
def line(town):
    line = builders.make_line(town.panel, number=1, end_of_line_ohm=10_000)
    for n in (1, 2):
        builders.make_position(
            town.hall, tag=f"SD1{n}", panel=town.panel, detection_line=line, order_on_line=n, storey="1"
        )
    use_panel_pattern(panel=town.panel, lines=1, inputs=1)
    return line


def typed(**fields):
    return {"devices": "SD11, SD12", "cores_count": 2, "colours": "BN BU", "element_kind": "resistor", **fields}


def test_devices_are_proposed_in_their_order(as_, line):
    response = as_("engineer").get(reverse("line-loop", args=[line.pk]))
    assert "SD11, SD12" in text_of(response)


def test_a_preview_shows_every_core_and_keeps_nothing(as_, line):
    terminals = Terminal.objects.count()
    response = as_("engineer").post(reverse("line-loop", args=[line.pk]), typed())
    assert response.status_code == 200
    for name in ("W1.L1-1", "P1 -XL1:1", "SD12 -X1:2", "SD12 -X1:3 and SD12 -X1:4", "Wire it like this"):
        assert name in text_of(response), name
    assert (Cable.objects.count(), Core.objects.count(), Terminal.objects.count()) == (0, 0, terminals)


def test_kept_it_is_there(as_, line):
    response = as_("engineer").post(reverse("line-loop", args=[line.pk]), typed(keep=1), follow=True)
    assert "P1 line 1 is wired" in text_of(response)
    assert list(Core.objects.values_list("cable__tag", "number", "colour"))[:2] == [
        ("W1.L1-1", 1, "BN"),
        ("W1.L1-1", 2, "BU"),
    ]


def test_the_next_run_is_proposed_with_the_cable_of_the_last(as_, town, line):
    cable = {"cable_type": "fire resisting", "area_mm2": "1.5", "fire_rating": "30 min"}
    as_("engineer").post(reverse("line-loop", args=[line.pk]), typed(keep=1, **cable))
    other = builders.make_line(town.panel, number=2)
    circuit = builders.make_circuit(town.panel, number=1)
    form = as_("engineer").get(reverse("line-loop", args=[other.pk])).context["form"]
    shown = {name: form[name].value() for name in ("cores_count", "colours", *cable)}
    assert shown == {"cores_count": 2, "colours": "BN BU", **cable}
    of_circuit = as_("engineer").get(reverse("circuit-loop", args=[circuit.pk])).context["form"]
    assert not of_circuit["cable_type"].value()


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"devices": "SD11, SD99"}, "&#x27;SD99&#x27; is no device of this run"),
        ({"devices": "SD11 SD11"}, "stands there twice"),
        ({"colours": "BN BN"}, "A colour stands there twice"),
        ({"colours": "BN BU BK"}, "3 colours for 2 cores"),
        ({"colours": "BROWN"}, "no colour code of IEC 60757"),
        ({"cores_count": 1, "colours": ""}, "has 1 core, 2 are needed"),
        ({"cores_count": 0}, "greater than or equal to 1"),
        ({"element_ohm": "-3"}, "enter more than 0"),
        ({"element_ohm": "abc"}, "Enter a number"),
    ],
)
def test_what_cannot_be_wired_is_told_and_nothing_is_made(as_, line, fields, sentence):
    response = as_("engineer").post(reverse("line-loop", args=[line.pk]), typed(keep=1, **fields))
    assert response.status_code == 422
    assert sentence in text_of(response)
    assert not Cable.objects.exists()


def test_a_switch_is_wired_from_a_block_of_inputs(as_, town, line):
    builders.make_position(town.hall, "ventilation_switch", tag="VS1", panel=town.panel)
    url = reverse("input-loop", args=[town.panel.pk])
    assert "VS1" in text_of(as_("office").get(url))
    assert as_("office").post(url, {"block": "XS1", "devices": "vs1", "keep": 1}).status_code == 302
    assert Cable.objects.get().cores.count() == 3
    refused = as_("office").post(url, {"block": "X1", "devices": "vs1", "keep": 1})
    assert "X1 is not one of the available choices" in text_of(refused)


def test_the_terminals_of_a_panel_are_made_in_one_step(as_, town):
    url = reverse("panel-terminal-pattern", args=[town.panel.pk])
    response = as_("engineer").post(url, {"outputs": 1, "lines": 2, "inputs": 0, "links": 0}, follow=True)
    assert "12 terminals made, 0 completed" in text_of(response)
    assert "P1 circuit 1, P1 line 1, P1 line 2" in text_of(response)
    refused = as_("engineer").post(url, {"outputs": 1, "lines": 2_000, "inputs": 0})
    assert refused.status_code == 422
    assert Terminal.objects.count() == 12


def test_the_terminals_of_a_device_are_made_with_one_button(as_, town):
    url = reverse("device-terminal-pattern", args=[town.detector.pk])
    assert "4 terminals made" in text_of(as_("engineer").post(url, follow=True))
    box = builders.make_position(town.hall, "junction_box", tag="JB1")
    response = as_("engineer").post(reverse("device-terminal-pattern", args=[box.pk]), follow=True)
    assert "There is no wiring pattern for JB1" in text_of(response)


def test_the_office_changes_the_pattern_of_a_model_and_a_fault_is_told_at_its_line(as_, town):
    model = town.unit.product_model
    url = reverse("product-model-wiring-pattern", args=[model.pk])
    assert "X1:1 line in + 24 V" in text_of(as_("office").get(url))  # the usual one is proposed
    refused = as_("office").post(url, {"wiring_pattern": "K:1 line in +\nK:2 lime"})
    assert "Line 2: &#x27;lime&#x27; is not understood" in text_of(refused)
    model.refresh_from_db()
    assert model.wiring_pattern == ""
    assert as_("office").post(url, {"wiring_pattern": "K:1 line in +\r\nK:2 line in -\r\n"}).status_code == 302
    assert "K:2 line in -" in text_of(as_("office").get(model.get_absolute_url()))
