"""The chain from the source to the far end of a cable: IEC 60364-4-41, 4-43 [S2], ISO 8820-3, IEC 60898-2 [M].

Currents into a short circuit are worked by hand: voltage over resistance of the source and both cores, warm.
"""

import re
from dataclasses import replace
from math import inf

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.zones.engineering.designs import codes, make_circuit, make_panel, only
from zones.engineering import Conductor, Severity, check_panel
from zones.engineering.cable_ratings import Insulation, Laying, Method
from zones.engineering.conductors import STANDARD_AREAS_MM2
from zones.engineering.fuses import DEVICE_KINDS, FUSE_KINDS, STANDARD_RATINGS_A, ProtectiveDevice
from zones.engineering.selectivity import first_doubt_a
from zones.engineering.short_circuits import farthest, feeding_of
from zones.engineering.trade_practice import TradePractice

CLIPPED = Laying(Insulation.THERMOPLASTIC, Method.C, 1, 30.0)
RANK = {severity: rank for rank, severity in enumerate(Severity)}


def blade(rated_a):
    return ProtectiveDevice(FUSE_KINDS["blade"], rated_a)


def electronic(rated_a=5.0, trips_a=6.5, trips_s=0.05):
    return ProtectiveDevice(DEVICE_KINDS["electronic"], rated_a, trips_a, trips_s)


def findings_of(
    device,
    *,
    section_m=10.0,
    area_mm2=2.5,
    laying=CLIPPED,
    fault_a=60.0,
    internal_ohm=0.04,
    count=2,
    lead_mm2=50.0,
    lead_m=0.1,
    **drive,
):
    """A panel of one circuit behind a device; 23.7 V on mains, 20.7 V at the end of discharge; next to no leads."""
    circuit = make_circuit(
        count=count, section_m=section_m, conductor=Conductor(area_mm2, 2), actuator=drive, output_limit_a=40.0
    )
    circuit = replace(circuit, device=device, runs=tuple(replace(run, laying=laying) for run in circuit.runs))
    panel = make_panel()
    supply = replace(panel.supply, rated_current_a=60.0, fault_current_a=fault_a)
    fuse = {"fuse_a": 63.0, "fuse_kind": FUSE_KINDS["blade"]}
    battery = replace(panel.battery, internal_ohm=internal_ohm, lead_mm2=lead_mm2, lead_m=lead_m, **fuse)
    return check_panel(replace(panel, circuits=(circuit,), supply=supply, battery=battery))


def chain_of(*arguments, **changes):
    return [one for one in findings_of(*arguments, **changes) if one.code.startswith("protection.")]


def test_a_circuit_with_a_fuse_that_suits_it_meets_every_limit():
    found = chain_of(blade(5.0), starting_s=0.3)
    assert [one.code for one in found] == [
        *("protection.load", "protection.overload", "protection.disconnection", "protection.short_circuit"),
        "protection.selectivity",
    ]
    assert {one.severity for one in found} == {Severity.MEETS}


# Short circuits -------------------------------------------------------------------------------------------------------


def test_the_least_current_at_the_far_end_is_that_of_warm_cores_and_the_weaker_source():
    """2 × 60 m of 2.5 mm² at 70 °C: 2 × 60 × 7.41e-3 × 1.1965 = 1.0639 Ω; with 0.08 Ω of the empty battery 18.09 A."""
    found = only(chain_of(blade(10.0), section_m=30.0), "protection.disconnection")
    assert found.severity == Severity.FAIL
    figures = {one.name: one.value for one in found.inputs}
    assert figures["loop to the end of C2, warm"] == pytest.approx(120 * 7.41e-3 * (1 + 0.00393 * 50), abs=1e-3)
    assert figures["least current at the end of battery discharge"] == pytest.approx(20.7 / (1.0639 + 0.08), abs=0.02)
    assert "takes only 18.09 A at the end of battery discharge" in found.sentence
    assert "opens within 5 s only from 20 A" in found.sentence  # ISO 8820-3: 200 % within 5 s


def test_beyond_the_rated_current_the_panels_own_drop_grows_with_the_current():
    """0.5 V at 5 A are 0.1 Ω: 20.5 V behind 0.1 + 0.5 Ω give less than 20 V behind 0.5 Ω; not known without the 5 A."""
    given = {"mains_v": 23.5, "supply_fault_a": 500.0, "discharged_v": 20.0, "battery_ohm": 0.1}
    given |= {"discharged_factor": 2.0, "cells": 12, "own_drop_v": 0.5}
    fed, least_a = feeding_of(**given, rated_a=5.0).least(0.3)
    assert (fed.words, least_a) == ("at the end of battery discharge", pytest.approx(20.5 / 0.6))
    assert feeding_of(**given, rated_a=5.0).least(10.0)[1] == pytest.approx(20.0 / 10.2)  # below the rated current
    assert feeding_of(**given).unknown == ("rated current",)


def test_nothing_is_called_impossible_while_a_figure_lacks_that_would_decide():
    """The supply gives 30 A: too little for 30 A, enough for 5 A; what the battery gives is not known."""
    found = only(chain_of(blade(30.0), fault_a=30.0, area_mm2=10.0, internal_ohm=None), "protection.disconnection")
    assert "gives at most 30 A into a short circuit; the 30 A blade fuse" in found.sentence
    assert "What would do cannot be said before the internal resistance of the battery is known." in found.sentence


def test_which_opens_first_is_not_judged_behind_an_electronic_limit_and_said():
    found = only(chain_of(electronic()), "protection.selectivity")
    assert found.severity == Severity.NOTE
    assert "taken as one equipment of one maker: whether circuit 1 alone switches off" in found.sentence


@pytest.mark.parametrize(("section_m", "severity"), [(26.0, Severity.MEETS), (27.0, Severity.FAIL)])
def test_a_blade_fuse_opens_in_time_where_twice_its_rating_flows(section_m, severity):
    """20.7 V / 20 A = 1.035 Ω, less 0.08 Ω: 0.955 Ω are 2 × 26.9 m twice."""
    assert only(chain_of(blade(10.0), section_m=section_m), "protection.disconnection").severity == severity


def test_a_supply_that_limits_its_current_below_what_the_fuse_needs_is_told_plainly():
    found = only(chain_of(blade(10.0), fault_a=10.0), "protection.disconnection")
    assert found.severity == Severity.FAIL
    assert "the supply gives at most 10 A into a short circuit" in found.sentence
    assert "opens within 5 s only from 20 A: it may never open" in found.sentence


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"fault_a": None}, "Current of the supply into a short circuit not known"),
        ({"internal_ohm": None}, "Internal resistance of the battery not known"),
    ],
)
def test_a_source_that_is_not_known_gives_no_verdict_unless_the_other_is_too_weak_already(changes, words):
    found = only(chain_of(blade(5.0), **changes), "protection.disconnection")
    assert found.severity == Severity.MISSING
    assert found.sentence.casefold().startswith(words.casefold())
    too_weak = {"fault_a": 9.0, "internal_ohm": 2.0} | changes
    assert only(chain_of(blade(5.0), **too_weak), "protection.disconnection").severity == Severity.FAIL


def test_an_electronic_limit_switches_off_from_the_current_at_which_it_trips():
    found = chain_of(electronic(trips_a=6.5))
    assert {one.severity for one in found if one.code != "protection.selectivity"} <= {
        Severity.MEETS,
        Severity.QUESTION,
    }
    assert "from 6.5 A" in only(found, "protection.disconnection").sentence
    slow = only(chain_of(electronic(trips_s=6.0)), "protection.disconnection")
    assert (slow.severity, "switches nothing off within 5 s" in slow.sentence) == (Severity.FAIL, True)


def test_the_farthest_end_is_the_one_with_most_resistance():
    circuit = make_circuit(count=3, section_m=10.0)
    run, ohm = farthest(circuit.runs)
    assert run.name == "C3"
    assert ohm == pytest.approx(2 * 30 * 7.41e-3 * (1 + 0.00393 * 70))  # insulation not known: 90 °C
    assert farthest(tuple(replace(one, length_m=None) for one in circuit.runs)) is None


def test_a_full_battery_and_the_supply_together_give_the_greatest_current():
    """12 cells of 2.15 V over 0.05 Ω: 516 A, and 20 A of the supply."""
    feeding = feeding_of(
        mains_v=24.0, supply_fault_a=20.0, discharged_v=21.0, battery_ohm=0.05, discharged_factor=2.0, cells=12
    )
    assert feeding.greatest_a == pytest.approx(20 + 12 * 2.15 / 0.05)
    assert feeding.least(1.0)[1] == pytest.approx(21.0 / 1.1)


# Overload, load and start ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("device", "needed_a"),
    [
        (blade(20.0), 20.0),  # I2 = 1.35 In (ISO 8820-3) is below 1.45 In
        (ProtectiveDevice(FUSE_KINDS["time_lag"], 10.0), 21.0 / 1.45),  # I2 = 2.1 In (IEC 60127-2)
        (ProtectiveDevice(DEVICE_KINDS["breaker_b"], 16.0), 16.0),  # I2 = 1.45 In (IEC 60898-2)
        (electronic(rated_a=8.0, trips_a=16.0), 16.0 / 1.45),
    ],
)
def test_what_a_device_asks_of_the_cable_follows_its_kind(device, needed_a):
    """IEC 60364-4-43, 433.1 [S2]: In <= Iz and I2 <= 1.45 Iz."""
    found = only(chain_of(device), "protection.overload")
    figures = {one.name: one.value for one in found.inputs}
    assert figures["current rating that it asks for"] == pytest.approx(needed_a, abs=0.01)


@pytest.mark.parametrize(("rated_a", "severity"), [(15.0, Severity.MEETS), (20.0, Severity.FAIL)])
def test_a_fuse_above_the_rating_of_the_cable_lets_it_burn(rated_a, severity):
    """1.5 mm² PVC clipped to a wall carries 19.5 A."""
    found = only(chain_of(blade(rated_a), area_mm2=1.5, section_m=3.0), "protection.overload")
    assert found.severity == severity


def test_where_the_laying_is_not_known_the_worst_of_the_tables_must_do():
    """2.5 mm² carries 3.5 A however it is laid: enough for a fuse of 3 A, not for one of 5 A."""
    assert only(chain_of(blade(3.0), laying=Laying()), "protection.overload").severity == Severity.MEETS
    found = only(chain_of(blade(5.0), laying=Laying()), "protection.overload")
    assert found.severity == Severity.MISSING
    assert "method of installation" in found.sentence


def test_a_load_above_the_fuse_and_a_start_that_it_does_not_hold_fail():
    """2 × 3 A on 5 A; 2 × 8 A for 1 s on 10 A, which certainly holds 160 % for 0.25 s (ISO 8820-3)."""
    assert only(chain_of(blade(5.0), rated_current_a=3.0), "protection.load").severity == Severity.FAIL
    start = {"rated_current_a": 3.0, "starting_current_a": 8.0}
    slow = only(chain_of(blade(10.0), starting_s=1.0, **start), "protection.starting")
    quick = only(chain_of(blade(10.0), starting_s=0.2, **start), "protection.starting")
    unknown = only(chain_of(blade(10.0), starting_s=None, **start), "protection.starting")
    assert (slow.severity, quick.severity, unknown.severity) == (Severity.FAIL, Severity.MEETS, Severity.MISSING)
    assert "for certain only 0.25 s" in slow.sentence


# Energy ---------------------------------------------------------------------------------------------------------------


def test_what_a_fuse_lets_through_is_the_worst_of_its_table():
    """ISO 8820-3, 10 A: 5 s up to 35 A are 6,125 A²s, more than 0.5 s up to 60 A (1,800) and 0.1 s at 60 A (360)."""
    assert blade(10.0).energy_a2s(20.0, inf, 5.0) == 35**2 * 5
    assert blade(10.0).energy_a2s(40.0, inf, 5.0) == 60**2 * 0.5
    assert blade(10.0).energy_a2s(100.0, inf, 5.0) == pytest.approx(60**2 * 0.1)
    assert electronic(trips_s=0.05).energy_a2s(10.0, 100.0, 5.0) == pytest.approx(500.0)


@pytest.mark.parametrize(("area_mm2", "severity"), [(0.5, Severity.FAIL), (0.75, Severity.MEETS)])
def test_the_core_bears_k_squared_s_squared(area_mm2, severity):
    """k = 115 (IEC 60364-4-43, table 43A): 0.5 mm² bears 3,306 A²s, 0.75 mm² 7,439; 10 A blade: up to 6,125."""
    found = only(chain_of(blade(10.0), area_mm2=area_mm2, section_m=8.0), "protection.short_circuit")
    assert found.severity == severity


# Selectivity ----------------------------------------------------------------------------------------------------------


def test_the_smaller_fuse_opens_first_where_the_bands_lie_apart():
    assert first_doubt_a(blade(5.0), blade(63.0), 0.0, 500.0) is None
    assert first_doubt_a(blade(10.0), blade(16.0), 0.0, 500.0) == pytest.approx(17.6)  # 110 % of 16 A: both may open
    assert first_doubt_a(blade(5.0), blade(63.0), 60.0, 500.0) is not None  # it carries 60 A already


def test_what_else_a_fuse_upstream_carries_must_be_known_before_the_other_is_said_to_open_first():
    """A figure that lacks counted as 0 A: the fuse upstream was taken as cold."""
    circuit = replace(make_circuit(conductor=Conductor(2.5, 2)), device=blade(5.0))
    other = make_circuit("circuit 2", actuator={"rated_current_a": None})
    panel = make_panel()
    battery = replace(panel.battery, fuse_a=63.0, fuse_kind=FUSE_KINDS["blade"])
    for circuits, severity in (((circuit,), Severity.MEETS), ((circuit, other), Severity.MISSING)):
        found = check_panel(replace(panel, circuits=circuits, battery=battery))
        assert only(found, "protection.selectivity").severity == severity


def test_a_fuse_as_large_as_the_one_upstream_fails_and_an_unknown_kind_is_asked_for():
    same = [one for one in chain_of(blade(63.0), area_mm2=16.0) if one.code == "protection.selectivity"]
    assert [one.severity for one in same] == [Severity.FAIL]
    circuit = replace(make_circuit(), device=blade(5.0))
    silent = check_panel(make_panel(circuits=(circuit,)))
    found = only(silent, "protection.selectivity")
    assert (found.severity, found.inputs[0].name) == (Severity.MISSING, "kind of the fuse")


# Leads of the battery ------------------------------------------------------------------------------------------------


# What is recorded -----------------------------------------------------------------------------------------------------


def test_without_a_recorded_device_the_panel_says_so_once_and_quietly():
    circuits = (make_circuit("circuit 1"), make_circuit("circuit 2"))
    found = only(check_panel(make_panel(circuits=circuits)), "protection.device")
    assert (found.severity, found.subject) == (Severity.NOTE, "panel P1")
    assert "circuit 1 and circuit 2 not checked" in found.sentence
    strict = check_panel(make_panel(circuits=circuits), TradePractice(output_protection_required=True))
    assert only(strict, "protection.device").severity == Severity.MISSING


@pytest.mark.parametrize(
    ("device", "words"),
    [
        (ProtectiveDevice(FUSE_KINDS["blade"]), "rating of the protective device"),
        (ProtectiveDevice(None, 10.0), "kind of the protective device"),
        (electronic(trips_a=None), "current at which the output trips"),
    ],
)
def test_a_device_recorded_in_part_asks_for_the_rest(device, words):
    found = only(chain_of(device), "protection.device")
    assert found.severity == Severity.MISSING
    assert words in found.sentence


# Properties -----------------------------------------------------------------------------------------------------------

DESIGNS = {
    "device": st.builds(
        ProtectiveDevice, st.sampled_from(list(FUSE_KINDS.values())), st.sampled_from(STANDARD_RATINGS_A)
    ),
    "section_m": st.floats(1, 80),
    "area_mm2": st.sampled_from(STANDARD_AREAS_MM2),
    "rated_current_a": st.floats(0.3, 6),
    "starting_s": st.floats(0.05, 2),
}


WAYS = re.compile(r"(?P<with>and )?(?:[Uu]se (?P<area>[0-9.]+) mm² throughout|[Ff]it (?P<rating>[0-9.]+) A)")


@given(st.fixed_dictionaries(DESIGNS))
@settings(max_examples=15, deadline=None)
def test_what_is_offered_for_a_failing_chain_passes(design):
    told = [one.sentence for one in chain_of(**design) if one.severity == Severity.FAIL]
    ways = [way for sentence in told for way in WAYS.finditer(sentence)]
    together = any(way["with"] for way in ways)
    for way in ways:
        changed = {} if together else dict(design)
        for each in ways if together else [way]:
            changed |= {"area_mm2": float(each["area"])} if each["area"] else {}
            changed |= {"device": replace(design["device"], rated_a=float(each["rating"]))} if each["rating"] else {}
        failing = codes(findings_of(**(design | changed)), Severity.FAIL)
        assert not [code for code in failing if code.startswith(("protection.", "cable."))], told


@given(st.fixed_dictionaries(DESIGNS))
@settings(max_examples=12, deadline=None)
def test_no_finding_is_greener_with_a_longer_thinner_or_warmer_cable_or_more_load(design):
    before = ranks(design)
    assert all(
        worse <= before.get(code, 9) for code, worse in ranks(design, section_m=design["section_m"] * 1.3).items()
    )
    warmer = replace(CLIPPED, ambient_c=50.0, grouped=4)
    assert all(worse <= before.get(code, 9) for code, worse in ranks(design, laying=warmer).items())
    if smaller := [area for area in STANDARD_AREAS_MM2 if area < design["area_mm2"]]:
        assert all(worse <= before.get(code, 9) for code, worse in ranks(design, area_mm2=smaller[-1]).items())
    more = ranks(design, rated_current_a=design["rated_current_a"] * 1.3)
    assert all(worse <= before.get(code, 9) for code, worse in more.items())


@given(st.fixed_dictionaries(DESIGNS))
@settings(max_examples=12, deadline=None)
def test_a_larger_fuse_never_protects_a_cable_better(design):
    device = design["device"]
    larger = [one for one in STANDARD_RATINGS_A if one > device.rated_a]
    if larger:
        before, after = ranks(design), ranks(design, device=replace(device, rated_a=larger[0]))
        for code in ("protection.overload", "protection.disconnection", "protection.short_circuit"):
            assert after.get(code, 9) <= before.get(code, 9), code


@given(st.fixed_dictionaries(DESIGNS), st.sampled_from(["laying", "fault_a", "internal_ohm", "starting_s"]))
@settings(max_examples=12, deadline=None)
def test_no_figure_that_lacks_leads_to_meets_where_a_known_one_does_not(design, lacking):
    lacks = {"laying": Laying()}.get(lacking)
    worst = {"laying": Laying(Insulation.THERMOPLASTIC, Method.A2, 20, 60.0), "fault_a": 0.5, "internal_ohm": 5.0}
    known = ranks(design | {lacking: worst.get(lacking, 3.0)})
    for code, rank in ranks(design | {lacking: lacks}).items():
        if rank == RANK[Severity.MEETS] and code in known:
            assert known[code] >= rank, code


def ranks(design, **changes):
    """Worst severity by code: only what every one of the compared designs says can be compared."""
    found = {}
    for one in chain_of(**(design | changes)):
        if one.code in ("protection.overload", "protection.disconnection", "protection.short_circuit"):
            found[one.code] = min(found.get(one.code, 9), RANK[one.severity])
    return found
