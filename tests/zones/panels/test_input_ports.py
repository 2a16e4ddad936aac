"""Inputs, lines that start at devices, and what else is recorded of a run: forms, and 'wire it' from them."""

import pytest
from django.urls import reverse

from tests import builders
from zones.models import Cable, InputDevice, InputPort, Terminal
from zones.units.patterns import use_device_pattern, use_panel_pattern

pytestmark = pytest.mark.django_db


def text_of(response):
    return " ".join(response.content.decode().split())


@pytest.fixture
def switch(town):
    return builders.make_position(town.hall, "ventilation_switch", tag="VS1", panel=town.panel, smoke_zone=town.zone)


@pytest.fixture
def link_point(town):
    """A call point on a data link, with its terminals, line 201 and inputs from its pattern."""
    link = builders.make_data_link(town.panel, number=1)
    position = builders.make_position(town.hall, "manual_call_point", tag="CP7", data_link=link, smoke_zone=town.zone)
    use_device_pattern(position=position)
    return position


def test_an_input_is_added_with_presses_zone_and_devices(as_, town, switch):
    fields = {
        "number": 1,
        "function": "open_close",
        "long_press": "held",
        "short_press": "stop",
        "smoke_zone": town.zone.pk,
        "wired": "vs1",
    }
    as_("engineer").post(reverse("input-port-create", args=[town.panel.pk]), fields)
    one = InputPort.objects.get()
    assert (one.get_long_press_display(), one.get_short_press_display()) == ("moves while held", "stops")
    assert list(one.devices.all()) == [switch]
    page = text_of(as_("manager").get(town.panel.get_absolute_url()))
    assert "open and close in turn" in page and "moves while held" in page


def test_devices_of_an_input_are_put_in_another_order_and_history_keeps_the_first(as_, town, switch):
    other = builders.make_position(town.hall, "ventilation_switch", tag="VS2", panel=town.panel)
    one = builders.make_input_port(town.panel, [switch, other], number=1)
    url = reverse("input-port-update", args=[one.pk])
    as_("engineer").post(url, {"number": 1, "wired": "VS2, VS1", "seen_version": one.row_version})
    assert [wired.position.tag for wired in one.wired_devices.order_by("order")] == ["VS2", "VS1"]
    as_("engineer").post(url, {"number": 1, "wired": "VS2", "seen_version": one.row_version + 1})
    assert [wired.position.tag for wired in one.wired_devices.all()] == ["VS2"]
    assert InputDevice.history.filter(position=switch, history_type="-").exists()


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"wired": "XX9"}, "&#x27;XX9&#x27; is no device of this panel."),
        ({"wired": "VS1 VS1"}, "stands there twice"),
        ({"end_of_line_ohm": "10000"}, "A resistor is entered: tick this"),
        ({"is_monitored": "on", "end_of_line_ohm": "0"}, "greater than 0 and at most 10000000 ohm"),
        ({"number": "5"}, "Input 5 of this panel exists already."),
    ],
)
def test_an_input_that_cannot_be_is_told(as_, town, switch, fields, sentence):
    builders.make_input_port(town.panel, number=5)
    response = as_("engineer").post(reverse("input-port-create", args=[town.panel.pk]), {"number": 1, **fields})
    assert response.status_code == 422
    assert sentence in text_of(response)
    assert InputPort.objects.count() == 1


def test_a_line_starts_at_a_device_of_the_panel_only(as_, town, link_point):
    url = reverse("line-create", args=[town.panel.pk])
    offered = as_("engineer").get(url).context["form"].fields["starts_at"].queryset
    assert link_point in offered and town.panel.position not in offered
    as_("engineer").post(url, {"number": 205, "starts_at": link_point.pk, "end_place": "panel_terminal"})
    assert town.panel.detection_lines.get(number=205).starts_at == link_point
    assert 'at <span class="tag">CP7</span>' in text_of(as_("manager").get(town.panel.get_absolute_url()))
    assert as_("engineer").get(url).context["form"].initial["number"] == 1  # lines of devices are counted apart


def test_what_a_small_job_needs_is_typed_where_one_looks_for_it(as_, town, link_point):
    circuit = builders.make_circuit(town.panel, number=1, drive="polarity")
    engineer = as_("engineer")
    engineer.post(
        reverse("circuit-update", args=[circuit.pk]),
        {"number": 1, "drive": "polarity", "monitored_by": "three", "end_place": "in_box", "seen_version": 0},
    )
    circuit.refresh_from_db()
    assert (circuit.monitored_by, circuit.end_place) == ("three", "in_box")
    zone_form = engineer.get(reverse("zone-update", args=[town.hall.slug, 1])).context["form"]
    panel_form = engineer.get(reverse("panel-update", args=[town.panel.pk])).context["form"]
    position_form = engineer.get(reverse("position-update", args=[link_point.pk])).context["form"]
    terminal = link_point.terminals.filter(detection_line=None, input_port=None).first()
    terminal_form = engineer.get(reverse("terminal-update", args=[terminal.pk])).context["form"]
    assert "fault_lamp" in zone_form.fields and "mains_guard" in panel_form.fields
    assert position_form["data_link"].value() == link_point.data_link_id
    assert {"cores_allowed", "detection_line", "input_port"} <= set(terminal_form.fields)
    assert "data_link" not in terminal_form.fields  # only a panel offers one


def test_the_panel_pattern_makes_so_many_data_links(as_, town):
    url = reverse("panel-terminal-pattern", args=[town.panel.pk])
    as_("engineer").post(url, {"outputs": 0, "lines": 0, "inputs": 0, "links": 2})
    assert [link.number for link in town.panel.data_links.all()] == [1, 2]
    assert town.panel.data_links.first().terminals.count() == 3
    assert as_("engineer").get(url).context["form"].initial["links"] == 2


def test_a_data_link_is_wired_in_one_step(as_, town, link_point):
    use_panel_pattern(panel=town.panel, links=1)
    url = reverse("data-link-loop", args=[link_point.data_link_id])
    preview = as_("engineer").post(url, {"devices": "CP7", "cores_count": 3, "colours": "BN BU BK"})
    assert "P1 -XD1:1" in text_of(preview) and "CP7 -X1:1" in text_of(preview)
    assert not Cable.objects.exists()
    as_("engineer").post(url, {"devices": "CP7", "keep": 1})
    assert Cable.objects.get().cores.count() == 3
    page = text_of(as_("manager").get(reverse("panel-wiring", args=[town.panel.pk]), {"of": "link-1"}))
    assert "-XD1" in page and "CP7" in page and "-XL" not in page
    assert "starts line 201" in page


def test_inputs_of_a_call_point_are_wired_to_a_switch_and_the_preview_says_what_changes(as_, town, link_point, switch):
    ports = list(link_point.inputs_offered.order_by("number"))
    url = reverse("input-port-loop", args=[town.panel.pk])
    typed = {"inputs": [one.pk for one in ports], "device": switch.pk}
    preview = text_of(as_("engineer").post(url, typed))
    assert "VS1 is on P1 input 201." in preview
    assert not InputDevice.objects.exists()
    as_("engineer").post(url, {**typed, "keep": 1})
    assert InputDevice.objects.filter(position=switch).count() == 2
    proposed = as_("engineer").get(f"{url}?inputs={ports[1].pk}").context["form"].initial
    assert (set(proposed["inputs"]), proposed["device"]) == ({one.pk for one in ports}, switch.pk)
    shown = text_of(as_("manager").get(reverse("panel-wiring", args=[town.panel.pk]), {"of": "input-201"}))
    assert "CP7" in shown and "VS1" in shown


def test_a_terminal_that_takes_two_cores_shows_both(as_, town):
    terminal = builders.make_terminal(town.panel, block="X9", number="1", cores_allowed=2, electrical_kind="contact")
    for tag in ("W1", "W2"):
        core = builders.make_core(builders.make_cable(town.hall, tag=tag), number=1)
        as_("engineer").post(
            reverse("terminal-wiring", args=[terminal.pk]),
            {"field": "core", "typed": str(core), "panel": town.panel.pk},
        )
    assert Terminal.objects.get(pk=terminal.pk).core_ends.count() == 2
    page = text_of(as_("engineer").get(reverse("panel-wiring", args=[town.panel.pk])))
    assert "and W2.1" in page
