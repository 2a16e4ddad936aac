"""Terminals, cables, cores and cause-and-effect rules: plainly editable, one use per terminal."""

import pytest
from django.urls import reverse

from tests import builders
from zones.models import Cable, CauseAndEffectRule, Core, CoreEnd, Terminal

pytestmark = pytest.mark.django_db


def text_of(response):
    return " ".join(response.content.decode().split())


@pytest.fixture
def cable(town):
    return builders.make_cable(town.hall, tag="W12", cores_count=3)


@pytest.fixture
def terminals(town):
    """-X3:1 and -X3:2 of panel P1, -X1:1 of device SD1."""
    return [
        builders.make_terminal(town.panel, block="X3", number="1"),
        builders.make_terminal(town.panel, block="X3", number="2"),
        builders.make_terminal(position=town.detector, block="X1", number="1"),
    ]


def test_a_run_of_terminals_is_added_in_one_step_and_listed_in_order(as_, town):
    url = reverse("panel-terminal-create", args=[town.panel.pk])
    response = as_("engineer").post(url, {"designations": "-X3:1…12", "electrical_kind": "output"}, follow=True)
    assert [str(terminal) for terminal in response.context["terminals"]] == [f"-X3:{n}" for n in range(1, 13)]
    assert set(Terminal.objects.values_list("electrical_kind", "building")) == {("output", town.hall.pk)}


def test_terminals_of_a_device_are_added_too(as_, town):
    url = reverse("device-terminal-create", args=[town.detector.pk])
    assert as_("engineer").post(url, {"designations": "-X1:1, 2, PE"}).status_code == 302
    assert town.detector.terminals.count() == 3


def test_the_panels_own_position_leads_to_the_terminals_of_the_panel(as_, town):
    response = as_("engineer").get(reverse("device-terminal-list", args=[town.panel.position_id]))
    assert response.url == reverse("panel-terminal-list", args=[town.panel.pk])


def test_the_form_for_terminals_of_the_panels_own_position_is_that_of_the_panel(as_, town):
    response = as_("engineer").get(reverse("device-terminal-create", args=[town.panel.position_id]))
    assert response.url == reverse("panel-terminal-create", args=[town.panel.pk])


def test_nobody_is_led_to_the_panel_of_a_building_that_he_may_not_change(as_, town):
    url = reverse("device-terminal-create", args=[town.panel.position_id])
    assert as_("manager").get(url).status_code == 403


@pytest.mark.parametrize("way", ["device-terminal-create", "device-terminal-pattern"])
def test_the_panels_own_position_takes_no_terminals_beside_those_of_the_panel(as_, town, way):
    url = reverse(way, args=[town.panel.position_id])
    response = as_("engineer").post(url, {"designations": "-X9:1"}, follow=True)
    assert "P1 is a control panel. Add its terminals on the page Terminals of the panel." in text_of(response)
    assert not Terminal.objects.exists()


def test_terminals_stored_at_the_panels_own_position_are_listed_as_those_of_the_panel(as_, town):
    builders.make_terminal(town.panel, block="X3", number="1")
    builders.make_terminal(position=town.panel.position, block="X9", number="1")
    response = as_("engineer").get(reverse("panel-terminal-list", args=[town.panel.pk]))
    assert [str(terminal) for terminal in response.context["terminals"]] == ["-X3:1", "-X9:1"]


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("-X3:1…4", "P1 has -X3:1, -X3:2 already"),
        ("X3", "is not understood"),
        ("-X3:4…1", "runs backwards"),
        ("-X3:1…99999", "more than 500"),
        ("-" + "X" * 30 + ":1", "is not understood"),
        ("", "This field is required"),
    ],
)
def test_a_run_that_cannot_be_is_told_and_none_of_it_is_added(as_, town, terminals, typed, sentence):
    response = as_("engineer").post(reverse("panel-terminal-create", args=[town.panel.pk]), {"designations": typed})
    assert response.status_code == 422
    assert sentence in text_of(response)
    assert Terminal.objects.count() == 3


def test_a_terminal_that_a_core_is_on_stays(as_, cable, terminals):
    builders.connect(builders.make_core(cable, number=1), terminals[0])
    response = as_("office").post(reverse("terminal-remove", args=[terminals[0].pk]), follow=True)
    assert "-X3:1 stays" in text_of(response)
    assert Terminal.objects.count() == 3


def test_a_terminal_cannot_take_the_designation_of_another(as_, terminals):
    url = reverse("terminal-update", args=[terminals[0].pk])
    response = as_("office").post(url, {"block": "X3", "number": "2", "seen_version": 0})
    assert "Terminal 2 of this block exists already" in text_of(response)


def test_a_cable_tag_is_unique_whatever_its_capitals(as_, town, cable):
    response = as_("office").post(reverse("cable-create", args=[town.hall.slug]), {"tag": "w12"})
    assert "a cable &#x27;w12&#x27; already" in text_of(response)
    assert Cable.objects.count() == 1


def test_cables_are_listed_in_the_order_that_people_count(as_, town):
    for tag in ("W10", "W2", "W1"):
        builders.make_cable(town.hall, tag=tag)
    table = as_("office").get(reverse("cable-list", args=[town.hall.slug])).context["table"]
    assert [row.record.tag for row in table.rows] == ["W1", "W2", "W10"]


def test_cores_are_added_at_once_with_their_colours(as_, cable):
    response = as_("engineer").post(reverse("core-create", args=[cable.pk]), {"count": 3, "colours": "bn, BU GNYE"})
    assert response.url == cable.get_absolute_url()
    assert list(cable.cores.values_list("number", "colour")) == [(1, "BN"), (2, "BU"), (3, "GNYE")]


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"count": 2, "colours": "BN BU BK"}, "3 colours for 2 cores"),
        ({"count": 2, "colours": "BN BLUE"}, "&#x27;BL&#x27; is no colour code of IEC 60757"),
        ({"count": 4}, "has 3 cores by its type"),
        ({"count": 0}, "greater than or equal to 1"),
        ({"count": 10**9}, "less than or equal to 200"),
    ],
)
def test_cores_that_cannot_be_are_told_and_none_is_added(as_, cable, fields, sentence):
    response = as_("engineer").post(reverse("core-create", args=[cable.pk]), fields)
    assert response.status_code == 422
    assert sentence in text_of(response)
    assert not Core.objects.exists()


def core_form(core, **fields):
    return {"colour": core.colour, "near": "", "far": "", "seen_version": core.row_version, **fields}


@pytest.mark.parametrize("typed", ["P1 -X3:1", "p1-x3:1", "P1 - X3 : 1"])
def test_an_end_is_put_on_a_terminal_by_its_name(as_, cable, terminals, typed):
    core = builders.make_core(cable, number=1)
    response = as_("engineer").post(
        reverse("core-update", args=[core.pk]), core_form(core, near=typed, far="SD1 -X1:1")
    )
    assert response.status_code == 302
    assert dict(core.ends.values_list("end", "terminal")) == {"near": terminals[0].pk, "far": terminals[2].pk}


def test_a_terminal_in_use_names_the_core_on_it(as_, cable, terminals):
    builders.connect(builders.make_core(cable, number=1, colour="BN"), terminals[0])
    other = builders.make_core(cable, number=2)
    response = as_("engineer").post(reverse("core-update", args=[other.pk]), core_form(other, near="P1 -X3:1"))
    assert response.status_code == 422
    assert "P1 -X3:1 is used by core W12.1 BN (near end)" in text_of(response)
    assert not other.ends.exists()


def test_the_ends_of_a_core_can_change_places_and_the_history_tells(as_, cable, terminals):
    core = builders.connect(builders.make_core(cable, number=1), terminals[0], terminals[1])
    response = as_("engineer").post(
        reverse("core-update", args=[core.pk]), core_form(core, near="P1 -X3:2", far="P1 -X3:1")
    )
    assert response.status_code == 302
    assert core.ends.get(end="near").terminal == terminals[1]
    assert CoreEnd.history.filter(history_type="-").count() == 2


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"near": "P1 -X3:1", "far": "P1 -X3:1"}, "is the other end already"),
        ({"near": "P1 -X3:1", "is_spare": "on"}, "A spare core is on no terminal"),
        ({"near": "P1 -X3:77"}, "is no terminal of this building"),
        ({"near": "nonsense"}, "is no terminal of this building"),
        ({"near": "M1 -X9:1"}, "is no terminal of this building"),  # it is one of Mill House
        ({"colour": "XX"}, "is no colour code"),
        ({"near": "P\0"}, "Null characters"),
    ],
)
def test_an_end_that_cannot_be_is_told_and_the_core_stays_as_it_is(as_, town, cable, terminals, fields, sentence):
    builders.make_terminal(builders.make_panel(town.mill, tag="M1"), block="X9", number="1")
    core = builders.connect(builders.make_core(cable, number=1), terminals[1])
    response = as_("engineer").post(reverse("core-update", args=[core.pk]), core_form(core, **fields))
    assert response.status_code == 422
    assert sentence in text_of(response)
    assert core.ends.get().terminal == terminals[1]


def test_a_rule_is_added_changed_and_removed_with_history(as_, town):
    client = as_("engineer")
    add = reverse("rule-create", args=[town.panel.pk])
    data = {"cause": "rain", "effect": "C", "smoke_zone": town.zone.pk, "delay_s": 0}
    assert client.post(add, data).url == reverse("rule-list", args=[town.panel.pk])
    rule = CauseAndEffectRule.objects.get()
    change = {**data, "delay_s": 30, "seen_version": 0}
    assert client.post(reverse("rule-update", args=[rule.pk]), change).status_code == 302
    assert client.post(reverse("rule-remove", args=[rule.pk])).status_code == 302
    assert [entry.delay_s for entry in CauseAndEffectRule.history.filter(id=rule.pk)] == [30, 30, 0]
    assert not CauseAndEffectRule.objects.exists()


@pytest.mark.parametrize(
    ("fields", "field"),
    [
        ({"cause": "device"}, "position"),
        ({"smoke_zone": ""}, "smoke_zone"),
        ({"delay_s": "-5"}, "delay_s"),
        ({"delay_s": "99999"}, "delay_s"),
        ({"effect": "Q"}, "effect"),
    ],
)
def test_a_rule_that_cannot_be_is_told_at_its_field(as_, town, fields, field):
    data = {"cause": "rain", "effect": "C", "smoke_zone": town.zone.pk, "delay_s": 0, **fields}
    response = as_("engineer").post(reverse("rule-create", args=[town.panel.pk]), data)
    assert response.status_code == 422
    assert field in response.context["form"].errors
    assert not CauseAndEffectRule.objects.exists()
