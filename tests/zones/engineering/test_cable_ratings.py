"""Current ratings against IEC 60364-5-52:2009, annex B [S2], with ABNT NBR 5410:2004 below 1.5 mm² [S2]."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.zones.engineering.designs import make_circuit, only
from zones.engineering import Conductor, LoadModel, Severity
from zones.engineering.cable_rating_check import check_fire_rating, check_rating
from zones.engineering.cable_ratings import (
    NOT_KNOWN,
    Insulation,
    Laying,
    Method,
    ambient_factor,
    greatest_rating_a,
    grouping_factor,
    least_rating_a,
    loaded_temperature_c,
)
from zones.engineering.circuit_check import check_solved
from zones.engineering.conductors import STANDARD_AREAS_MM2
from zones.engineering.quantities import QuantityError
from zones.engineering.solved_circuits import solve_circuit
from zones.engineering.trade_practice import TRADE_PRACTICE

PLASTIC, SETTING = Insulation.THERMOPLASTIC, Insulation.THERMOSETTING
RANK = {severity: rank for rank, severity in enumerate(Severity)}


def laid(insulation=PLASTIC, method=Method.C, grouped=1, ambient_c=30.0):
    return Laying(insulation, method, grouped, ambient_c)


@pytest.mark.parametrize(
    ("insulation", "method", "area_mm2", "rated_a"),
    [
        (PLASTIC, Method.A1, 1.5, 14.5),  # table B.52.2
        (PLASTIC, Method.A2, 2.5, 18.5),
        (PLASTIC, Method.B1, 4.0, 32.0),
        (PLASTIC, Method.B2, 6.0, 38.0),
        (PLASTIC, Method.C, 10.0, 63.0),
        (PLASTIC, Method.E, 2.5, 30.0),  # table B.52.10
        (SETTING, Method.A2, 1.5, 18.5),  # table B.52.3
        (SETTING, Method.B2, 4.0, 40.0),
        (SETTING, Method.C, 16.0, 107.0),
        (SETTING, Method.E, 1.5, 26.0),  # table B.52.12
        (PLASTIC, Method.C, 1.0, 15.0),  # ABNT NBR 5410, table 36
        (PLASTIC, Method.A2, 0.75, 9.0),
        (SETTING, Method.B1, 0.5, 12.0),  # ABNT NBR 5410, table 37
    ],
)
def test_a_core_carries_what_the_table_says(insulation, method, area_mm2, rated_a):
    assert least_rating_a(Conductor(area_mm2, 2), laid(insulation, method)) == rated_a


@pytest.mark.parametrize(("field", "value"), [("ambient_c", 81.0), ("ambient_c", -41.0), ("grouped", 0)])
def test_a_laying_that_no_table_knows_is_refused_by_its_name(field, value):
    with pytest.raises(QuantityError) as refused:
        laid(**{field: value})
    assert refused.value.field == field


@pytest.mark.parametrize(
    ("insulation", "ambient_c", "factor"),  # table B.52.14
    [
        *((PLASTIC, 20, 1.12), (PLASTIC, 40, 0.87), (PLASTIC, 50, 0.71), (PLASTIC, 55, 0.61), (PLASTIC, 60, 0.50)),
        *((SETTING, 40, 0.91), (SETTING, 50, 0.82), (SETTING, 60, 0.71), (SETTING, 70, 0.58), (SETTING, 80, 0.41)),
    ],
)
def test_warmer_air_leaves_less(insulation, ambient_c, factor):
    assert ambient_factor(insulation, ambient_c) == factor


@pytest.mark.parametrize(("circuits", "factor"), [(1, 1.0), (2, 0.80), (3, 0.70), (6, 0.57), (9, 0.50), (20, 0.38)])
def test_bunched_circuits_leave_less(circuits, factor):
    assert grouping_factor(circuits) == factor  # table B.52.17, item 1


def test_between_two_lines_of_a_table_the_worse_counts_and_beyond_it_nothing_is_gained():
    assert ambient_factor(PLASTIC, 41) == ambient_factor(PLASTIC, 45)
    assert ambient_factor(PLASTIC, 61) == 0.0
    assert grouping_factor(10) == grouping_factor(12)
    assert grouping_factor(40) < grouping_factor(20)


def test_a_worked_rating_multiplies_table_and_factors():
    """2.5 mm² PVC, method B2, 3 circuits bunched at 40 °C: 23 × 0.87 × 0.70 = 14.0 A."""
    rated_a = least_rating_a(Conductor(2.5, 5), laid(method=Method.B2, grouped=3, ambient_c=40.0))
    assert rated_a == pytest.approx(23 * 0.87 * 0.70)


def test_parallel_cores_multiply_the_rating_and_an_awg_size_takes_the_section_below():
    assert least_rating_a(Conductor(1.5, 2), laid(), 2) == pytest.approx(2 * 19.5 * 0.80)  # four loaded cores
    assert least_rating_a(Conductor(1.5, 2), laid(grouped=2), 2) == pytest.approx(2 * 19.5 * 0.70)
    assert greatest_rating_a(Conductor(1.5, 2), laid(grouped=None), 2) == 2 * 19.5  # two cables apart
    assert least_rating_a(Conductor(awg="14"), laid()) == 19.5  # 2.08 mm² counts as 1.5 mm²
    assert least_rating_a(Conductor(awg="22"), laid()) == 0.0  # 0.33 mm² is smaller than all


def test_what_is_not_known_counts_as_the_worst_and_as_the_best_of_the_tables():
    core = Conductor(1.5, 2)
    assert least_rating_a(core, Laying()) == pytest.approx(14 * 0.50 * 0.38)
    assert greatest_rating_a(core, Laying()) == pytest.approx(26 * 1.15)


@given(
    area_mm2=st.sampled_from(STANDARD_AREAS_MM2),
    given_laying=st.builds(
        Laying,
        insulation=st.sampled_from([None, *Insulation]),
        method=st.sampled_from([None, *Method]),
        grouped=st.none() | st.integers(1, 20),
        ambient_c=st.none() | st.floats(10, 60),
    ),
    grouped=st.integers(1, 20),
    ambient_c=st.floats(10, 60),
)
@settings(max_examples=60)
def test_more_bunching_more_warmth_and_less_copper_never_carry_more(area_mm2, given_laying, grouped, ambient_c):
    from dataclasses import replace

    core, rated_a = Conductor(area_mm2, 2), least_rating_a(Conductor(area_mm2, 2), given_laying)
    known = replace(given_laying, grouped=grouped, ambient_c=ambient_c)
    assert rated_a <= greatest_rating_a(core, given_laying)
    if given_laying.grouped is None and given_laying.ambient_c is None:
        assert rated_a <= least_rating_a(core, known) + 1e-9
        assert greatest_rating_a(core, known) <= greatest_rating_a(core, given_laying) + 1e-9
    assert least_rating_a(core, replace(known, grouped=grouped + 1)) <= least_rating_a(core, known)
    assert least_rating_a(core, replace(known, ambient_c=ambient_c + 1)) <= least_rating_a(core, known)
    for smaller_mm2 in (one for one in STANDARD_AREAS_MM2 if one < area_mm2):
        assert least_rating_a(Conductor(smaller_mm2, 2), known) <= least_rating_a(core, known)


def test_the_load_warms_a_core_with_the_square_of_its_current():
    """At the rating it has the limit of its insulation, at half of it a quarter of the rise [calc]."""
    core = Conductor(2.5, 2)
    assert loaded_temperature_c(core, laid(), 27.0) == 70.0
    assert loaded_temperature_c(core, laid(), 13.5) == pytest.approx(40.0)
    assert loaded_temperature_c(core, laid(SETTING), 33.0) == 90.0
    assert loaded_temperature_c(core, laid(), 100.0) == 70.0
    assert loaded_temperature_c(core, Laying(PLASTIC, Method.C, 1, None), 1.0) == loaded_temperature_c(
        core, laid(ambient_c=60.0), 1.0
    )
    assert loaded_temperature_c(core, Laying(ambient_c=45.0), 1.0) == 45.0
    assert loaded_temperature_c(core, Laying(method=Method.C, grouped=1), 1.0) is None


# The finding ----------------------------------------------------------------------------------------------------------


def circuit_of(current_a, laying=NOT_KNOWN, area_mm2=1.5, **changes):
    conductor = Conductor(area_mm2, 2)
    drive = {"rated_current_a": current_a, "starting_current_a": current_a}
    return _laid(make_circuit(count=1, section_m=1.0, conductor=conductor, actuator=drive, **changes), laying=laying)


def _laid(circuit, **changes):
    from dataclasses import replace

    return replace(circuit, runs=tuple(replace(run, **changes) for run in circuit.runs))


def rating_of(circuit):
    solved = solve_circuit(circuit, mains_v=23.7, discharged_v=20.7)
    return only(check_rating(solved, TRADE_PRACTICE), "cable.rating")


@pytest.mark.parametrize(
    ("current_a", "severity"),
    # However it is laid 1.5 mm² carries 2.66 A; at best 29.9 A; in the worst method, 3 bunched at 30 °C, 9.8 A.
    [
        (2.6, Severity.MEETS),
        (9.7, Severity.NOTE),
        (9.9, Severity.MISSING),
        (29.8, Severity.MISSING),
        (30, Severity.FAIL),
    ],
)
def test_a_laying_that_nobody_entered_is_asked_for_only_where_the_current_needs_it(current_a, severity):
    assert rating_of(circuit_of(current_a)).severity == severity


@pytest.mark.parametrize(("current_a", "severity"), [(19.5, Severity.MEETS), (19.6, Severity.FAIL)])
def test_a_known_laying_gives_a_verdict(current_a, severity):
    found = rating_of(circuit_of(current_a, laid()))
    assert found.severity == severity
    assert "rating" in found.sentence and "19.5 A as it is laid" in found.sentence


def test_short_duty_earns_no_discount_and_the_start_counts():
    circuit = make_circuit(
        count=1, section_m=1.0, conductor=Conductor(1.5, 2), actuator={"rated_current_a": 5, "starting_current_a": 21}
    )
    assert rating_of(_laid(circuit, laying=laid())).severity == Severity.FAIL


def test_a_start_beyond_the_running_current_is_said_to_count_as_if_it_lasted():
    found = rating_of(_laid(make_circuit(count=1), laying=laid()))
    assert "carries up to 1.2 A while starting (1 A while running; the start counts as if it lasted" in found.sentence
    steady = make_circuit(count=1, actuator={"starting_current_a": 1.0})
    assert "carries up to 1 A, its current rating" in rating_of(_laid(steady, laying=laid())).sentence


def test_of_constant_power_the_current_at_the_least_voltage_counts():
    """10 A at 24 V are 240 W: 11.7 A at 20.5 V, beyond 11 A (1.0 mm² in a thermally insulated wall)."""
    power = {"rated_current_a": 10.0, "starting_current_a": None, "load_model": LoadModel.CONSTANT_POWER}
    circuit = make_circuit(count=1, section_m=0.5, conductor=Conductor(1.0, 2), actuator=power)
    assert rating_of(_laid(circuit, laying=laid(method=Method.A2))).severity == Severity.FAIL


@given(current_a=st.floats(0.5, 40), area_mm2=st.sampled_from(STANDARD_AREAS_MM2), grouped=st.integers(1, 12))
@settings(max_examples=30, deadline=None)
def test_no_rating_is_greener_with_more_load_bunching_or_warmth(current_a, area_mm2, grouped):
    laying = laid(grouped=grouped)
    found = rank_of(circuit_of(current_a, laying, area_mm2))
    assert rank_of(circuit_of(current_a * 1.1, laying, area_mm2)) <= found
    assert rank_of(circuit_of(current_a, laid(grouped=grouped + 1), area_mm2)) <= found
    assert rank_of(circuit_of(current_a, laid(grouped=grouped, ambient_c=45.0), area_mm2)) <= found


def test_a_rating_without_a_starting_current_says_that_it_speaks_of_running():
    circuit = make_circuit(count=1, actuator={"starting_current_a": None})
    solved = solve_circuit(_laid(circuit, laying=laid()), mains_v=23.7, discharged_v=20.7)
    assert "carries up to 1 A while running, its current rating is" in check_rating(solved, TRADE_PRACTICE)[0].sentence


def source_of(conductor):
    circuit = make_circuit(count=1, section_m=1.0, conductor=conductor, actuator={"rated_current_a": 0.5})
    solved = solve_circuit(_laid(circuit, laying=laid()), mains_v=23.7, discharged_v=20.7)
    return [one.source.document for one in (*check_rating(solved, TRADE_PRACTICE), *check_solved(solved))]


def test_a_rating_and_a_voltage_name_the_table_that_they_are_read_from():
    assert source_of(Conductor(1.5, 2))[:2] == ["IEC 60364-5-52", "IEC 60228"]
    assert source_of(Conductor(0.75, 5))[:2] == ["ABNT NBR 5410", "IEC 60228"]
    assert source_of(Conductor(awg="16"))[:2] == ["ABNT NBR 5410", "NFPA 70"]  # 1.31 mm², read as 1 mm²
    assert source_of(Conductor(awg="14", conductor_class=1))[:2] == ["IEC 60364-5-52", "ASTM B258"]


def rank_of(circuit):
    solved = solve_circuit(circuit, mains_v=23.7, discharged_v=20.7)
    return min((RANK[one.severity] for one in check_rating(solved, TRADE_PRACTICE)), default=-1)


# Warm cores and parallel cores in the voltage ------------------------------------------------------------------------


def drop_v(**changes):
    drive = {"rated_current_a": 13.5, "starting_current_a": None, "minimum_voltage_v": 10.0}
    circuit = make_circuit(count=1, section_m=10.0, conductor=Conductor(2.5, 2), actuator=drive)
    solved = solve_circuit(_laid(circuit, **changes), mains_v=24.0, discharged_v=None)
    return 24.0 - solved.answers[0].actuator_v["A1.1"]


def test_a_cable_whose_laying_is_known_is_as_warm_as_its_load_makes_it():
    """IEC 60228 [S2]: 2 × 10 m × 7.41 ohm/km × 13.5 A × (1 + 0.00393 × (T - 20)); T = 40 °C at half the rating."""
    cold_v = 2 * 10 * 7.41e-3 * 13.5
    assert drop_v(laying=laid()) == pytest.approx(cold_v * (1 + 0.00393 * 20), rel=1e-9)
    assert drop_v() == pytest.approx(cold_v * (1 + 0.00393 * 50), rel=1e-9)


@pytest.mark.parametrize(
    "unsaid", [{}, {"method": None}, {"grouped": None}, {"ambient_c": None}, {"method": None, "grouped": None}]
)
def test_a_laying_that_is_known_in_part_never_gives_more_voltage_than_the_worst_that_it_may_be(unsaid):
    """Cores in XLPE may reach 90 °C: to know less of them must not make them cooler."""
    worst = {"insulation": SETTING, "method": Method.A2, "grouped": 20, "ambient_c": 60.0}
    assert drop_v(laying=Laying(**(worst | unsaid))) >= drop_v(laying=Laying(**worst)) - 1e-9
    assert drop_v(laying=Laying(**(worst | unsaid))) >= drop_v()


def test_cores_are_never_cooler_than_the_air_around_them():
    assert drop_v(laying=Laying(ambient_c=80.0)) > drop_v()


def test_two_cores_on_each_pole_halve_the_drop():
    assert drop_v(cores_per_pole=2) == pytest.approx(drop_v() / 2)
    with pytest.raises(QuantityError, match="a whole number from 1 to 8"):
        drop_v(cores_per_pole=0)


# In the fire ----------------------------------------------------------------------------------------------------------


def fire_of(minutes, **run):
    circuit = make_circuit(count=1, fire_minutes=minutes)
    return check_fire_rating(_laid(circuit, **({"hot_length_m": 5.0} | run)))


PROVED = {"fire_class": "p", "integrity_minutes": 60.0, "fixing_minutes": 60.0}


@pytest.mark.parametrize(
    ("changes", "severity", "words"),
    [
        ({}, Severity.MEETS, "proved for 60 min, 60 min are asked"),
        ({"integrity_minutes": 30.0}, Severity.FAIL, "circuit integrity of C1 is proved for 30 min, 30 min less"),
        ({"fixing_minutes": 59.0}, Severity.FAIL, "fixings of C1 are proved for 59 min, 1 min less"),
        ({"fixing_minutes": None}, Severity.MISSING, "minutes of the fixings of C1 not known"),
        ({"integrity_minutes": None}, Severity.MISSING, "minutes of circuit integrity of C1 not known"),
        ({"fire_class": ""}, Severity.MISSING, "class of circuit integrity of C1 not known"),
        ({"fire_class": "", "integrity_minutes": 30.0}, Severity.FAIL, "30 min less"),
        ({"hot_length_m": None, "fixing_minutes": None}, Severity.MISSING, "minutes of the fixings"),
        ({"fire_class": "ph"}, Severity.MEETS, "PH is tested at 830 °C"),
    ],
)
def test_cable_and_fixings_last_as_long_as_the_strategy_asks(changes, severity, words):
    found = only(fire_of(60, **(PROVED | changes)), "cable.fire_rating")
    assert found.severity == severity
    assert words in found.sentence


@pytest.mark.parametrize(("fire_class", "minutes"), [("p", 60), ("ph", 15)])
def test_the_word_on_the_test_of_ph_is_said_of_ph_alone_and_of_long_times(fire_class, minutes):
    found = only(fire_of(minutes, **(PROVED | {"fire_class": fire_class})), "cable.fire_rating")
    assert found.severity == Severity.MEETS
    assert "PH is tested" not in found.sentence


def test_where_the_strategy_asks_for_nothing_or_nothing_burns_nothing_is_said():
    assert fire_of(None) == []
    assert fire_of(60, hot_length_m=0.0) == []


@pytest.mark.parametrize(
    ("printed", "asked"), [("PH 120", True), ("30 min", True), ("EN 50577 P60", False), ("halogen-free", False)]
)
def test_minutes_that_differ_from_what_is_printed_on_the_cable_are_asked_about(printed, asked):
    """Also where the strategy asks for nothing: 60 minutes are entered."""
    found = fire_of(None, **PROVED, fire_text=printed)
    assert [one.severity for one in found] == ([Severity.QUESTION] if asked else [])
    assert all(f"entered with 60 min, but its fire rating reads '{printed}'" in one.sentence for one in found)
    assert fire_of(None, **(PROVED | {"integrity_minutes": None}), fire_text=printed) == []
