"""Findings about the cables of a circuit."""

import math
from dataclasses import replace

import pytest

from tests.zones.engineering.designs import codes, make_actuator, make_circuit, only
from zones.engineering import (
    CableRun,
    Conductor,
    LoadModel,
    QuantityError,
    Severity,
    TradePractice,
    check_circuit,
    circuit_voltages,
)
from zones.engineering.circuits import circuit_model, conditions
from zones.engineering.what_if import with_area, with_lengths

AT_20_C = TradePractice(conductor_temperature_c=20.0)


def check(circuit, practice=AT_20_C, mains_v=24.0, discharged_v=21.6):
    return check_circuit(circuit, mains_v=mains_v, discharged_v=discharged_v, practice=practice)


def four_amperes(**actuator):
    """Handbook 1.2: 4 A at the end of 40 m of 1.5 mm²."""
    figures = {"rated_current_a": 4.0, "starting_current_a": None, "minimum_voltage_v": 17.7} | actuator
    return make_circuit(count=1, section_m=40.0, conductor=Conductor(1.5, 2), actuator=figures)


def test_the_worst_voltage_is_that_of_the_handbook_at_the_end_of_discharge():
    finding = only(check(four_amperes()), "cable.voltage")
    assert finding.severity == Severity.MEETS
    assert finding.sentence == (
        "circuit 1: A1.1 gets 17.72 V at the end of battery discharge, 0.02 V above its minimum of 17.7 V: "
        "within the entered limit (data sheet)."
    )  # 17.728 V, handbook 1.2, rounded down


def test_too_little_voltage_says_by_how_much_and_two_remedies():
    finding = only(check(four_amperes(minimum_voltage_v=19.2)), "cable.voltage")
    assert finding.severity == Severity.FAIL
    # 21.6 - 19.2 = 2.4 V: 24.79 m, handbook 1.3, rounded down
    assert "1.48 V below its minimum of 19.2 V" in finding.sentence
    assert finding.sentence.endswith("Use 2.5 mm² throughout or keep the route to A1.1 within 24.7 m.")
    assert finding.source.document == "IEC 60228"
    assert finding.source.edition == "2004"
    assert finding.formula


def test_the_remedies_really_help():
    circuit = four_amperes(minimum_voltage_v=19.2)
    assert codes(check(with_area(circuit, 2.5)), Severity.FAIL) == []
    assert codes(check(with_lengths(circuit, 24.7 / 40)), Severity.FAIL) == []
    assert codes(check(with_area(circuit, 1.0)), Severity.FAIL) == ["cable.voltage"]
    assert codes(check(with_lengths(circuit, 24.9 / 40)), Severity.FAIL) == ["cable.voltage"]


@pytest.mark.parametrize("model", LoadModel)
def test_the_longest_route_is_the_limit_and_not_beyond_it(model):
    circuit = make_circuit(count=5, actuator={"load_model": model, "minimum_voltage_v": 19.0})
    ready = circuit_model(circuit, AT_20_C)
    (condition,) = [one for one in conditions(ready, mains_v=None, discharged_v=21.6) if not one.starting]
    factor = ready.longest_factor(condition)
    tree = ready.trees[False]
    assert 0 <= ready.margin_v(condition, tree.loop_ohm(factor)) < 1e-4
    assert ready.margin_v(condition, tree.loop_ohm(factor * 1.00001)) < 0


def test_when_no_section_suffices_the_remedy_says_so():
    circuit = make_circuit(count=4, section_m=600.0, actuator={"rated_current_a": 8.0, "minimum_voltage_v": 21.59})
    finding = only(check(circuit), "cable.voltage")
    assert "no standard section is enough" in finding.sentence.lower()


def test_a_source_below_the_minimum_is_not_blamed_on_the_cable():
    finding = only(check(make_circuit(count=1, actuator={"minimum_voltage_v": 21.7})), "cable.voltage")
    assert finding.severity == Severity.FAIL
    assert finding.sentence.endswith("choose actuators with a lower minimum, or another supply.")


def test_power_that_cannot_be_delivered_is_said_in_words():
    figures = {"rated_current_a": 8.0, "load_model": LoadModel.CONSTANT_POWER, "starting_current_a": None}
    finding = only(check(make_circuit(count=1, section_m=60.0, actuator=figures)), "cable.voltage")
    assert finding.severity == Severity.FAIL
    assert "the cable cannot deliver this power on mains; there is no operating point" in finding.sentence


def test_a_constant_power_load_below_half_the_source_counts_as_not_delivered():
    """Handbook 1.3: U below half Us means that it cannot run, even where mathematics still find a point."""
    big = make_actuator("big", "C1", rated_current_a=5.0, starting_current_a=None)
    small = make_actuator(
        *("small", "C1"),
        **{"rated_current_a": 0.2, "starting_current_a": None, "minimum_voltage_v": 5.0},
        load_model=LoadModel.CONSTANT_POWER,
    )
    circuit = make_circuit(count=1, section_m=110.0, conductor=Conductor(1.5, 2))
    circuit = replace(circuit, actuators=(replace(big, minimum_voltage_v=5.0), small))
    assert circuit_voltages(circuit, mains_v=24.0, discharged_v=None, practice=AT_20_C)[0].actuator_v["small"] < 12
    assert "cannot deliver" in only(check(circuit, discharged_v=23.0), "cable.voltage").sentence


def figures_of(finding):
    return {one.name: (one.value, one.unit) for one in finding.inputs}


def test_a_voltage_shows_the_figures_that_were_put_in():
    figures = figures_of(only(check(four_amperes()), "cable.voltage"))
    assert figures["source on mains"] == (24.0, "V")
    assert figures["source at the end of battery discharge"] == (21.6, "V")
    assert figures["taken by all actuators"] == ("4 A", "")
    assert figures["route to A1.1"] == (40.0, "m")
    assert figures["cable on the route"] == ("1.5 mm² class 2", "")
    assert "minutes in the fire" not in figures


def test_what_is_taken_is_told_in_the_unit_of_the_load():
    powered = four_amperes(load_model=LoadModel.CONSTANT_POWER, minimum_voltage_v=15.0)
    assert figures_of(only(check(powered), "cable.voltage"))["taken by all actuators"] == ("96 W", "")


def test_a_voltage_in_the_fire_shows_the_fire_that_was_put_in():
    """841.8 °C after 30 min and a factor of 4.71: handbook 1.4, standard curve and power law."""
    circuit = make_circuit(count=1, section_m=40.0, conductor=Conductor(1.5, 2), fire_minutes=30.0)
    hot = replace(circuit, runs=(replace(circuit.runs[0], hot_length_m=5.0),))
    finding = only(check(hot), "cable.voltage_fire")
    figures = figures_of(finding)
    assert figures["minutes in the fire"] == (30.0, "min")
    assert figures["length exposed to fire on the route"] == (5.0, "m")
    assert figures["temperature in the fire"] == (841.8, "°C")
    assert figures["resistance in the fire"] == (4.71, "× that at 20 °C")
    assert "EN 1363-1:2020" in finding.formula
    assert "(T/293 K)^1.16" in finding.formula
    assert "1363" not in only(check(hot), "cable.voltage").formula


def test_starting_current_has_a_finding_of_its_own():
    circuit = make_circuit(count=1, section_m=40.0, actuator={"starting_current_a": 9.0})
    findings = check(circuit)
    assert only(findings, "cable.voltage").severity == Severity.MEETS
    starting = only(findings, "cable.voltage_starting")
    assert starting.severity == Severity.FAIL
    assert "while starting" in starting.sentence


def test_an_unknown_starting_current_is_a_note_or_by_the_firms_choice_missing():
    circuit = make_circuit(actuator={"starting_current_a": None})
    note = only(check(circuit), "cable.voltage_starting")
    assert note.severity == Severity.NOTE
    assert note.sentence.startswith("starting current of A1.1 and A1.2 not known: start on circuit 1 not checked")
    strict = replace(AT_20_C, starting_current_required=True)
    assert only(check(circuit, strict), "cable.voltage_starting").severity == Severity.MISSING


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"rated_current_a": None}, "rated current of A1.1 not known: voltage on circuit 1 not checked"),
        ({"minimum_voltage_v": None}, "minimum voltage of A1.1 not known"),
        ({"at": None}, "place on the cable of A1.1 not known"),
        ({"rated_voltage_v": None, "load_model": LoadModel.CONSTANT_POWER}, "rated voltage of A1.1 not known"),
    ],
)
def test_a_missing_figure_of_an_actuator_gives_no_verdict(change, sentence):
    circuit = make_circuit(count=1)
    findings = check(replace(circuit, actuators=(replace(circuit.actuators[0], **change),)))
    assert [one.severity for one in findings] == [Severity.MISSING]
    assert findings[0].sentence.startswith(sentence)


@pytest.mark.parametrize(
    ("run", "sentence"),
    [
        (CableRun("C1", None, Conductor(1.5, 2)), "length of C1 not known"),
        (CableRun("C1", 10, None), "section or class of C1 not known"),
    ],
)
def test_a_missing_figure_of_a_cable_gives_no_verdict(run, sentence):
    findings = check(replace(make_circuit(count=1), runs=(run,)))
    assert [one.severity for one in findings] == [Severity.MISSING]
    assert findings[0].sentence.startswith(sentence)


def test_unknown_source_voltages_give_no_verdict():
    findings = check(make_circuit(), mains_v=None, discharged_v=None)
    assert codes(findings, Severity.MISSING) == ["cable.voltage", "cable.voltage"]
    assert codes(findings, Severity.MEETS) == []


def test_a_circuit_without_cable_gives_no_verdict_and_one_without_actuators_a_note():
    assert codes(check(replace(make_circuit(), runs=())), Severity.MISSING) == ["cable.voltage"]
    assert codes(check(replace(make_circuit(), actuators=())), Severity.NOTE) == ["cable.voltage"]


def test_runs_that_form_no_tree_are_a_finding_and_not_an_error():
    circuit = make_circuit(count=1)
    wrong = replace(circuit, runs=(replace(circuit.runs[0], fed_from="C9"),))
    assert codes(check(wrong), Severity.FAIL) == ["cable.tree"]


def burning(hot_m, minutes=30.0, **actuator):
    """Handbook 1.4: 2 A through 40 m of 1.5 mm², part of it at 842 °C."""
    figures = {"rated_current_a": 2.0, "starting_current_a": None, "minimum_voltage_v": 19.2} | actuator
    circuit = make_circuit(count=1, section_m=40.0, conductor=Conductor(1.5, 2), actuator=figures)
    runs = (replace(circuit.runs[0], hot_length_m=hot_m),)
    return replace(circuit, runs=runs, fire_minutes=minutes)


@pytest.mark.parametrize(("hot_m", "severity"), [(2.5, Severity.MEETS), (2.7, Severity.FAIL)])
def test_a_few_hot_metres_decide(hot_m, severity):
    """For 2.4 V only 2.58 m may be hot: handbook 1.4."""
    findings = check(burning(hot_m))
    assert only(findings, "cable.voltage").severity == Severity.MEETS
    assert only(findings, "cable.voltage_fire").severity == severity


def test_the_section_for_the_fire_counts_the_hot_metres():
    """Of 40 m, 10 m hot: 1.5 mm² would bear 2.58 m, 2.5 mm² bears 11.04 m: handbook 1.4."""
    finding = only(check(burning(10.0)), "cable.voltage_fire")
    assert finding.severity == Severity.FAIL
    assert "Use 2.5 mm² throughout" in finding.sentence


@pytest.mark.parametrize("hot_m", [12.0, 14.0])
def test_no_route_shorter_than_its_hot_metres_is_a_remedy_and_the_source_is_not_blamed_for_them(hot_m):
    """2.4 V are left; 2.5 mm² bears 11.04 hot metres of 40: handbook 1.4. Heat alone takes 2.4 V in 13.5 m [calc]."""
    finding = only(check(burning(hot_m)), "cable.voltage_fire")
    assert finding.sentence.endswith("V below its minimum of 19.2 V. Use 4 mm² throughout.")


@pytest.mark.parametrize(
    ("changes", "remedy"),
    [
        ({"minimum_voltage_v": 21.6}, "The source itself gives no more: choose actuators with a lower minimum, or"),
        ({"minimum_voltage_v": 21.59}, "No standard section is enough: split the circuit or move the panel nearer."),
    ],
)
def test_what_no_section_mends_is_said_of_the_source_or_of_the_circuit(changes, remedy):
    assert remedy in only(check(burning(35.0, **changes)), "cable.voltage_fire").sentence


def test_fire_without_metres_or_without_minutes_gives_no_verdict():
    assert only(check(burning(None)), "cable.voltage_fire").severity == Severity.MISSING
    assert only(check(burning(5.0, None)), "cable.voltage_fire").severity == Severity.MISSING


def test_no_fire_was_asked_for_and_none_is_reported():
    assert [one for one in check(make_circuit()) if "fire" in one.code] == []


def test_zero_hot_metres_is_an_answer_and_not_a_gap():
    assert [one for one in check(burning(0.0)) if "fire" in one.code] == []


def test_a_large_drop_is_questioned_even_if_the_minimum_is_met():
    finding = only(check(four_amperes()), "cable.large_drop")
    assert finding.severity == Severity.QUESTION
    assert "16.1% of the voltage" in finding.sentence  # 3.872 of 24 V: handbook 1.2


def test_a_large_drop_is_not_asked_about_where_the_voltage_fails_anyway():
    assert "cable.large_drop" not in [one.code for one in check(four_amperes(minimum_voltage_v=19.2))]


def test_strange_figures_are_questioned_and_used():
    findings = check(make_circuit(count=1, actuator={"stroke_mm": 0.5}))
    assert "0.5 m is 500 mm" in only(findings, "figure.unusual").sentence


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"fire_minutes": 200.0}, "minutes in the fire is 200 min; usual is 15 to 120 min"),
        ({"delay_s": 45.0}, "delay is 45 s; usual is 0 to 30 s"),
        ({"output_limit_a": 63.0}, "output limit is 63 A; usual is 0.1 to 32 A"),
    ],
)
def test_a_strange_figure_of_the_circuit_is_questioned_and_used(changes, words):
    findings = check(make_circuit(count=1, **changes))
    assert words in only(findings, "figure.unusual").sentence
    assert only(findings, "cable.voltage").severity == Severity.MEETS


def test_a_long_way_through_the_fire_is_questioned_and_used():
    circuit = make_circuit(count=1, fire_minutes=30.0)
    circuit = replace(circuit, runs=(replace(circuit.runs[0], length_m=100.0, hot_length_m=80.0),))
    findings = check(circuit)
    assert "length exposed to fire of C1 is 80 m; usual is 0 to 60 m" in only(findings, "figure.unusual").sentence
    assert only(findings, "cable.voltage_fire")
    assert only(findings, "cable.voltage").severity == Severity.MEETS


def test_voltages_along_the_circuit_are_there_for_a_plot():
    circuit = make_circuit(count=4, conductor=Conductor(1.5, 2), actuator={"starting_current_a": None})
    (answer,) = circuit_voltages(circuit, mains_v=24.0, discharged_v=None, practice=AT_20_C)
    points = answer.along(circuit_model(circuit, AT_20_C).trees[False])
    assert [metres for _, metres, _ in points] == [10, 20, 30, 40]
    assert [24 - volts for *_, volts in points] == pytest.approx([0.968, 1.694, 2.178, 2.420])  # handbook 1.3


def test_two_actuators_of_one_name_are_refused_because_one_voltage_would_be_lost():
    circuit = make_circuit()
    with pytest.raises(QuantityError, match="actuators of different names"):
        replace(circuit, actuators=(circuit.actuators[0], circuit.actuators[0]))


def test_warmer_copper_never_helps():
    circuit = make_circuit(count=3)
    cold, warm = (
        circuit_voltages(circuit, mains_v=24.0, discharged_v=21.0, practice=TradePractice(conductor_temperature_c=c))
        for c in (20.0, 40.0)
    )
    for before, after in zip(cold, warm, strict=True):
        assert all(after.actuator_v[name] < volts for name, volts in before.actuator_v.items())


def test_no_finding_holds_a_number_that_is_none_of_this_world():
    for finding in check(make_circuit()) + check(four_amperes(minimum_voltage_v=23.9)):
        assert all(math.isfinite(f.value) for f in finding.inputs if isinstance(f.value, float))
        assert "compliant" not in finding.sentence.lower()
