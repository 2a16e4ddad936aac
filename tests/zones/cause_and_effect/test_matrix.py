"""The cause-and-effect matrix: read, given its usual rules, set cell by cell."""

import pytest
from django.urls import reverse

from tests import builders
from zones.cause_and_effect.edits import add_usual_rules
from zones.cause_and_effect.matrix import matrix_of
from zones.cause_and_effect.records import panel_logic
from zones.engineering.cause_and_effect import validate
from zones.models import CauseAndEffectRule, Coincidence


@pytest.fixture
def wired(town):
    """A panel with a zone of one group, a call point, a switch of that group, a rain sensor and a line."""
    town.group = builders.make_vent_group(town.zone, number=1)
    of_zone = {"smoke_zone": town.zone, "panel": town.panel}
    town.line = builders.make_line(town.panel, number=1, smoke_zone=town.zone)
    builders.make_position(town.hall, "actuator", tag="M1", vent_group=town.group, **of_zone)
    town.switch = builders.make_position(town.hall, "ventilation_switch", tag="VS1", vent_group=town.group, **of_zone)
    town.rain = builders.make_position(town.hall, "rain_sensor", tag="RS1", panel=town.panel)
    return town


def page(as_, town, person="engineer"):
    return as_(person).get(reverse("rule-matrix", args=[town.panel.pk]))


def letters(town, cause, target):
    matrix = matrix_of(panel_logic(town.panel))
    return matrix.cell(matrix.cause(cause), matrix.target(target)).letters


def set_cell(as_, town, cause, target, person="engineer", **data):
    return as_(person).post(reverse("rule-cell", args=[town.panel.pk, cause, target]), data)


def test_the_usual_rules_follow_the_wiring(wired):
    """Which effects are usual: handbook calculations.md §9, priorities; common practice."""
    add_usual_rules(panel=wired.panel)
    zone, group = f"z{wired.zone.pk}", f"g{wired.group.pk}"
    assert letters(wired, f"d{wired.call_point.pk}-on", zone) == ["O", "S"]
    assert letters(wired, f"d{wired.rain.pk}-on", zone) == ["R"]
    assert letters(wired, f"d{wired.switch.pk}-stop", group) == ["T"]
    assert letters(wired, "mains", zone) == ["B"]
    assert letters(wired, f"l{wired.line.pk}", "output-fault") == ["S"]
    assert validate(panel_logic(wired.panel).ruleset) == ()


def test_causes_stand_zone_by_zone_and_what_has_no_zone_last(wired):
    builders.make_position(
        wired.hall,
        tag="SD99",
        panel=wired.panel,
        smoke_zone=builders.make_zone(wired.hall, panel=wired.panel, number=9),
    )
    matrix = matrix_of(panel_logic(wired.panel))
    parts = [(zone and zone.number, [cause.label for cause, _ in rows]) for zone, rows in matrix.parts]
    assert [number for number, _ in parts] == [wired.zone.number, 9, None]
    assert "SD99" in parts[1][1] and "RS1" in parts[2][1]
    assert sum(len(rows) for _, rows in parts) == len(matrix.rows)


def test_the_usual_rules_are_added_once(as_, wired):
    for _ in range(2):
        as_("engineer").post(reverse("usual-rules", args=[wired.panel.pk]))
    assert CauseAndEffectRule.objects.count() == len(panel_logic(wired.panel).ruleset.rules) == 12


def test_usual_rules_leave_what_was_changed_by_hand(wired):
    rule = builders.make_rule(wired.panel, position=wired.call_point, smoke_zone=wired.zone, effect="O", delay_s=30)
    add_usual_rules(panel=wired.panel)
    rule.refresh_from_db()
    assert rule.delay_s == 30
    assert letters(wired, f"d{wired.call_point.pk}-on", f"z{wired.zone.pk}") == ["O", "S"]


def test_a_cell_is_set_with_latch_and_delay(as_, wired):
    cause, zone = f"d{wired.call_point.pk}-on", f"z{wired.zone.pk}"
    set_cell(as_, wired, cause, zone, effect="O", is_latching="on", delay_s="20", signals="on")
    rules = CauseAndEffectRule.objects.order_by("effect")
    assert [(rule.effect, rule.is_latching, rule.delay_s) for rule in rules] == [("O", True, 20), ("S", True, 20)]
    assert "20 s" in page(as_, wired).content.decode()


def test_an_emptied_cell_keeps_its_history(as_, wired):
    cause, zone = f"d{wired.call_point.pk}-on", f"z{wired.zone.pk}"
    set_cell(as_, wired, cause, zone, effect="O")
    set_cell(as_, wired, cause, zone, effect="")
    assert not CauseAndEffectRule.objects.exists()
    assert CauseAndEffectRule.history.count() == 2


def test_setting_a_cell_twice_changes_the_one_rule(as_, wired):
    cause, zone = f"d{wired.call_point.pk}-on", f"z{wired.zone.pk}"
    for effect in ("O", "C"):
        set_cell(as_, wired, cause, zone, effect=effect)
    assert [rule.effect for rule in CauseAndEffectRule.objects.all()] == ["C"]


def test_a_cell_that_opens_and_signals_is_changed_to_close_without_a_signal(as_, wired):
    cause, zone = f"d{wired.call_point.pk}-on", f"z{wired.zone.pk}"
    set_cell(as_, wired, cause, zone, effect="O", signals="on")
    opening = CauseAndEffectRule.objects.get(effect="O")
    set_cell(as_, wired, cause, zone, effect="C")
    assert [(rule.pk, rule.effect) for rule in CauseAndEffectRule.objects.all()] == [(opening.pk, "C")]


def test_a_cell_is_set_without_touching_its_row_its_column_or_another_panel(as_, wired):
    on_zone = {"cause": "mains_lost", "smoke_zone": wired.zone}
    others = [
        builders.make_rule(wired.panel, cause="mains_lost", vent_group=wired.group, effect="B"),
        builders.make_rule(wired.panel, position=wired.call_point, smoke_zone=wired.zone, effect="O"),
        builders.make_rule(builders.make_panel(wired.hall), **on_zone, effect="B"),
    ]
    builders.make_rule(wired.panel, **on_zone, effect="C")
    set_cell(as_, wired, "mains", f"z{wired.zone.pk}", effect="")
    assert list(CauseAndEffectRule.objects.order_by("pk")) == others


def test_a_cell_of_two_rules_is_not_set_but_sent_to_the_list_of_rules(as_, wired):
    for effect in ("O", "C"):
        builders.make_rule(wired.panel, position=wired.call_point, smoke_zone=wired.zone, effect=effect)
    response = set_cell(as_, wired, f"d{wired.call_point.pk}-on", f"z{wired.zone.pk}", effect="B")
    assert response.status_code == 422
    assert "This cell holds 2 rules. Change them one by one in the list of rules." in response.content.decode()
    assert list(CauseAndEffectRule.objects.order_by("pk").values_list("effect", flat=True)) == ["O", "C"]


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        ({"effect": "X"}, "X is not one of the available choices"),
        ({"effect": "O", "delay_s": "601"}, "601 s is more than the longest delay of an output, 600 s"),
        ({"effect": "O", "delay_s": "-1"}, "greater than or equal to 0"),
        ({"effect": "O", "priority": "7"}, "less than or equal to 6"),
    ],
)
def test_a_bad_cell_is_told_and_changes_nothing(as_, wired, data, sentence):
    response = set_cell(as_, wired, "mains", f"z{wired.zone.pk}", **data)
    assert response.status_code == 422
    assert sentence in response.content.decode()
    assert not CauseAndEffectRule.objects.exists()


def test_a_cell_of_an_unknown_cause_is_not_found(as_, wired):
    assert set_cell(as_, wired, "d999-on", f"z{wired.zone.pk}", effect="O").status_code == 404


def test_the_screen_gets_the_cell_alone_when_it_asks(as_, wired):
    url = reverse("rule-cell", args=[wired.panel.pk, "mains", f"z{wired.zone.pk}"])
    response = as_("engineer").post(url, {"effect": "B"}, headers={"X-Part": "cell"})
    assert response.status_code == 200
    assert b"<html" not in response.content
    assert b"ventilation blocked" in response.content


def test_a_manager_reads_the_matrix_without_links_to_change_it(as_, wired):
    text = page(as_, wired, "manager").content.decode()
    assert "CP1" in text
    assert "/cell/" not in text


def test_contradicting_rules_are_told_with_both(as_, wired):
    for effect in ("O", "C"):
        builders.make_rule(wired.panel, position=wired.call_point, smoke_zone=wired.zone, effect=effect)
    assert "Rules 1 and 2 contradict each other" in page(as_, wired).content.decode()


def test_without_a_zone_the_page_says_what_to_set_up(as_, town):
    other = builders.make_panel(town.hall)
    response = as_("engineer").get(reverse("rule-matrix", args=[other.pk]))
    assert "No smoke zone names this panel" in response.content.decode()


def coincidence_data(*positions, **fields):
    return {"name": "Two of the hall", "positions": [position.pk for position in positions], "needed": "2", **fields}


def add_coincidence(as_, town, data):
    return as_("engineer").post(reverse("coincidence-create", args=[town.panel.pk]), data)


def test_a_coincidence_becomes_a_row_of_the_matrix(as_, wired):
    other = builders.make_position(wired.hall, tag="SD2", smoke_zone=wired.zone, panel=wired.panel)
    assert add_coincidence(as_, wired, coincidence_data(wired.detector, other)).status_code == 302
    key = f"c{Coincidence.objects.get().pk}"
    set_cell(as_, wired, key, f"z{wired.zone.pk}", effect="O")
    cause = panel_logic(wired.panel).ruleset.rules[0].cause
    assert (cause.needed, set(cause.inputs)) == (2, {f"d{wired.detector.pk}", f"d{other.pk}"})


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"needed": "3"}, "3 are needed of 2 devices"),
        ({"needed": "1"}, "a coincidence needs 2 to 20 devices"),
        ({"counts_lines": "on"}, "sits on no line"),
        ({"positions": []}, "Choose the devices of which some must operate."),
    ],
)
def test_a_coincidence_that_cannot_come_about_is_refused(as_, wired, fields, sentence):
    response = add_coincidence(as_, wired, coincidence_data(wired.detector, wired.call_point, **fields))
    assert response.status_code == 422
    assert sentence in response.content.decode()
    assert not Coincidence.objects.exists()


def test_a_rule_for_a_switch_says_what_the_switch_says(as_, wired):
    data = {
        "cause": "device",
        "position": wired.switch.pk,
        "action": "on",
        "effect": "O",
        "smoke_zone": wired.zone.pk,
        "delay_s": "0",
    }
    response = as_("engineer").post(reverse("rule-create", args=[wired.panel.pk]), data)
    assert "says open, stop or close. Choose that." in response.content.decode()
    assert not CauseAndEffectRule.objects.exists()
