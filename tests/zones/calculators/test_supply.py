"""Supply and sequence by hand. Values: handbook of calculations, 8 (common practice [P]); 60 s of EN 12101-2 [S2]."""

import pytest

from tests.zones.calculators.ask import page

pytestmark = pytest.mark.django_db
URL = "calculator-supply"

# Handbook 8: 4 × 1.0 + 4 × 1.4 A on 10 A, charger 1.2 A.
MIXED = {
    "rated_current_a": "10",
    "alarm_current_a": "0",
    "charger_current_a": "1.2",
    "charger_inhibited": "yes",
    "outputs_1": "4",
    "actuators_1": "1",
    "current_a_1": "1.0",
    "outputs_2": "4",
    "actuators_2": "1",
    "current_a_2": "1.4",
}
# 12 × 1.0 A on 8 A, 55 s stroke.
TWELVE = {
    "rated_current_a": "8",
    "alarm_current_a": "0",
    "charger_inhibited": "yes",
    "outputs_1": "12",
    "actuators_1": "1",
    "current_a_1": "1",
    "operation": "sequential",
    "gap_s": "0",
    "stroke_mm": "550",
    "speed_mm_per_s": "10",
}


def asked(client, figures, status=200, /, **changes):
    return page(client, URL, status, **{name: value for name, value in {**figures, **changes}.items() if value})


def test_an_empty_form_shows_a_hint(engineer):
    assert "Enter what the supply gives" in page(engineer, URL)


def test_all_together_passes_without_the_charger_and_fails_with_it(engineer):
    good = asked(engineer, MIXED)
    assert "all actuators together take 9.60 A, 0.4 A are left of 10 A: within the entered limit (data sheet)" in good
    bad = asked(engineer, MIXED, charger_inhibited="no")
    assert "together take 10.80 A with 1.2 A for the charger, 0.8 A more than the supply gives (10 A)" in bad


def test_one_group_after_another_takes_longer_than_the_limit(engineer):
    """Handbook 8: 2 groups, 110 s, beyond 60 s."""
    text = asked(engineer, TWELVE)
    assert "2 groups one after another are open after 110 s on mains, 50 s beyond 60 s" in text
    assert "Outputs alike is 12" not in text  # a dozen outputs are nothing to ask about
    assert "EN 12101-2:2017" in text and "110 s all open after" in text
    assert "open after 115 s" in asked(engineer, TWELVE, gap_s="5")


def test_a_staggered_start_delays_the_last(engineer):
    """Handbook 8: 6 × 1.0 A, 50 s, 0.5 s apart: 52.5 s, passes."""
    changes = {"outputs_1": "6", "operation": "together", "stroke_mm": "500", "stagger_s": "0.5"}
    text = asked(engineer, TWELVE, **changes)
    assert "On Output of kind 1 actuator 1 of kind 1 opens in 52.5 s, 7.5 s inside the 60 s entered" in text
    assert "52.5 s all open after" in text


def test_an_output_beyond_its_limit_is_told_once_for_all_alike(engineer):
    text = asked(engineer, TWELVE, operation="together", limit_a_1="0.8")
    assert text.count("Output of kind 1 takes 1.00 A, 0.2 A more than its output gives (0.8 A).") == 1


STARTING = {"outputs_1": "4", "limit_a_1": "2", "starting_a_1": "3", "starting_s_1": "0.4", "operation": "together"}


def test_starts_are_judged_at_output_and_supply(engineer):
    """4 × 3 A together are 12 A on 8 A; one of them starting while the others run takes 3 × 1 + 3 = 6 A."""
    asks = asked(engineer, TWELVE, **STARTING)
    assert "Peak current of the output of Output of kind 1 not known: its actuators start with 3 A" in asks
    assert "starting all at once, the actuators take 12 A for a moment" in asks and "12 A while starting" in asks
    peaks = {"peak_a_1": "3.5", "peak_current_a": "11"}
    text = asked(engineer, TWELVE, **STARTING, **peaks)
    assert "Output of kind 1 starts with 3 A of the 3.5 A peak current of its output: within" in text
    assert "the actuators take 12 A, 1 A more than the peak current of the supply (11 A). Stagger the starts" in text
    staggered = asked(engineer, TWELVE, **STARTING, **peaks, stagger_s="0.5")
    assert "6 A while starting" in staggered and "more than the peak current" not in staggered


def test_whether_staggered_starts_overlap_is_not_known_without_their_time(engineer):
    text = asked(engineer, TWELVE, **STARTING | {"starting_s_1": ""}, stagger_s="0.5", peak_current_a="11")
    assert "time of the starting current" in text.lower() and "whether starts 0.5 s apart overlap" in text


def test_a_group_that_no_supply_can_move_is_told(engineer):
    text = asked(engineer, TWELVE, outputs_1="1", actuators_1="12")
    assert "8.00 A are left for motors, but one output alone takes 12.00 A" in text


@pytest.mark.parametrize(
    ("name", "what"),
    [
        ("rated_current_a", "rated current of the supply of this panel not known"),
        ("alarm_current_a", "current in alarm of this panel not known"),
        ("charger_inhibited", "whether the charger stops while motors run not known"),
        ("outputs_2", "number of outputs of kind 2 not known"),
        ("actuators_2", "number of actuators of kind 2 not known"),
        ("current_a_2", "rated current of the actuators of kind 2 not known"),
    ],
)
def test_a_missing_figure_gives_no_verdict(engineer, name, what):
    text = asked(engineer, MIXED, **{name: ""})
    assert what in text.lower()
    assert "together take" not in text


def test_the_pause_between_groups_is_never_assumed(engineer):
    text = asked(engineer, TWELVE, gap_s="")
    assert "pause between groups not known" in text.lower() and "open after" not in text


@pytest.mark.parametrize(
    ("name", "typed", "sentence"),
    [
        ("current_a_1", "-1", "-1 is not possible: it must be greater than 0 and at most 200 A."),
        ("outputs_1", "1000", "1000 is too many to reckon with here: it must be at most 40."),
        ("stroke_mm", "0.5e9", "it must be greater than 0 and at most 3000 mm."),
        ("operation", "both", "'both' is not one of the choices."),
        ("charger_inhibited", "perhaps", "'perhaps' is not one of the choices."),
    ],
)
def test_bad_input_is_told_at_its_field(engineer, name, typed, sentence):
    assert sentence in asked(engineer, TWELVE, 422, **{name: typed})


def test_a_stroke_typed_in_metres_is_questioned(engineer):
    assert "Typed in m? 0.5 m is 500 mm. Check it; it is used as entered." in asked(engineer, TWELVE, stroke_mm="0.5")
