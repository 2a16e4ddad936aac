"""Battery capacity against the published examples of the handbook's section 2."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import interp1d

from zones.engineering.batteries import (
    STANDBY_BASES,
    TEMPERATURE_FACTORS,
    StandbyBasis,
    charge_over_standby,
    next_standard_size_ah,
    peukert_nameplate_h,
    required_capacity,
    standby_hours_left,
    temperature_factor,
)
from zones.engineering.quantities import QuantityError
from zones.engineering.sources import PRACTICE

EN_72 = STANDBY_BASES["en-12101-10-2005-72h"]
BS = STANDBY_BASES["bs-5839-1-2025"]


def test_bs_5839_1_worked_example():
    needed = required_capacity(BS, quiescent_a=0.25, operating_a=0.75)
    assert (needed.standby_ah, needed.operation_ah) == pytest.approx((6.0, 0.656), abs=5e-4)  # published parts [S2]
    assert needed.discharge_factor == 1.75
    assert needed.capacity_ah == pytest.approx(8.32, abs=5e-3)


def test_smoke_vents_after_72_hours():
    needed = required_capacity(EN_72, quiescent_a=0.15, operating_a=8)  # handbook 2.2
    assert needed.operation_s == 180  # EN 12101-10 6.2.2 [S2]
    assert needed.standby_ah == pytest.approx(10.8)
    assert needed.capacity_ah == pytest.approx(14.38, abs=6e-3)
    assert next_standard_size_ah(needed.capacity_ah) == 17


def test_four_hours_give_an_absurdly_small_battery():
    needed = required_capacity(STANDBY_BASES["en-12101-10-2005-4h"], quiescent_a=0.15, operating_a=8)
    assert needed.capacity_ah == pytest.approx(1.63, abs=6e-3)  # handbook 2.2: always check the current too


def test_the_discharge_factor_stays_one_when_the_twenty_hour_rate_carries_the_load():
    needed = required_capacity(BS, quiescent_a=0.5, operating_a=1.0, standby_h=72)
    assert needed.discharge_factor == 1.0
    assert needed.capacity_ah == pytest.approx(45.63, abs=6e-3)  # handbook 2.2


def test_annex_method_against_the_simplified_sum_in_circulation():
    # 0.05 A, 24 h, then 0.3 Ah: the simplified sum gives 1.875, the annex method 1.828; handbook 2.2
    simplified = 1.25 * (0.05 * 24 + 0.3)
    needed = required_capacity(BS, quiescent_a=0.05, operating_a=0.3)
    assert simplified == pytest.approx(1.875)
    assert needed.capacity_ah == pytest.approx(1.828, abs=5e-4)


def test_vde_0833_worked_example():
    needed = required_capacity(STANDBY_BASES["vde-0833-30h"], quiescent_a=1.5, operating_a=7.5)
    assert needed.capacity_ah == pytest.approx(48.75)  # [S2]


def test_vde_0833_adds_a_quarter_only_below_24_hours():
    basis = STANDBY_BASES["vde-0833-4h"]
    assert required_capacity(basis, quiescent_a=1, operating_a=2).ageing_factor == 1.25
    assert required_capacity(basis, quiescent_a=1, operating_a=2, standby_h=24).ageing_factor == 1.0


@pytest.mark.parametrize(
    ("edition", "figures", "capacity_ah"),  # NFPA 72 [S2 / calc]
    [
        ("nfpa-72-2019", (0.42, 3.8), 12.48),
        ("nfpa-72-2019", (0.25, 1.5), 7.35),
        ("nfpa-72-2022", (0.25, 1.5), 7.66),
        ("nfpa-72-2019-voice", (0.25, 0.75), 7.43),
    ],
)
def test_nfpa_72_worked_examples_by_edition(edition, figures, capacity_ah):
    quiescent_a, operating_a = figures
    needed = required_capacity(STANDBY_BASES[edition], quiescent_a=quiescent_a, operating_a=operating_a)
    assert needed.capacity_ah == pytest.approx(capacity_ah, abs=6e-3)


def test_twelve_ampere_hours_are_too_few_for_the_published_example():
    needed = required_capacity(STANDBY_BASES["nfpa-72-2019"], quiescent_a=0.42, operating_a=3.8)
    assert next_standard_size_ah(needed.capacity_ah) == 17


def test_several_operations_count_when_they_last_longer_than_the_proof_time():
    one = required_capacity(EN_72, quiescent_a=0.15, operating_a=8, operations=1, seconds_each=60)
    five = required_capacity(EN_72, quiescent_a=0.15, operating_a=8, operations=5, seconds_each=60)
    assert one.operation_s == 180
    assert five.operation_s == 300
    assert five.capacity_ah > one.capacity_ah


def test_cold_takes_the_battery_out_of_its_block():
    needed = required_capacity(EN_72, quiescent_a=0.15, operating_a=8, temperature_c=10)
    assert needed.capacity_ah == pytest.approx(17.1, abs=0.01)  # handbook 2.4: 17 Ah no longer fits
    assert next_standard_size_ah(needed.capacity_ah) == 24


@pytest.mark.parametrize(
    ("celsius", "factor"),
    [(25, 1.00), (21, 1.04), (15.6, 1.11), (10, 1.19), (4.4, 1.30), (40, 1.0)],  # IEEE 485 [M]
)
def test_cold_factor_is_that_of_the_table(celsius, factor):
    assert temperature_factor(celsius) == pytest.approx(factor)


@given(st.floats(4.4, 25))
def test_between_the_lines_cold_is_interpolated_as_scipy_does(celsius):
    table = interp1d(*zip(*TEMPERATURE_FACTORS, strict=True))
    assert temperature_factor(celsius) == pytest.approx(float(table(celsius)), rel=1e-12)


def test_colder_than_the_table_is_refused_and_not_extrapolated():
    with pytest.raises(QuantityError, match="the table ends there, ask the battery's maker"):
        temperature_factor(4.0)


def test_ageing_is_counted_once():
    plain = required_capacity(EN_72, quiescent_a=0.15, operating_a=8)
    other = required_capacity(EN_72, quiescent_a=0.15, operating_a=8, ageing_factor=1.5)
    assert other.capacity_ah == pytest.approx(plain.capacity_ah / 1.25 * 1.5)


@pytest.mark.parametrize(("capacity_ah", "hours"), [(7, 32.7), (12, 59.3), (17, 86.0)])  # handbook 2.6
def test_standby_hours_left(capacity_ah, hours):
    left = standby_hours_left(capacity_ah, quiescent_a=0.15, operating_a=8, operation_s=180)
    assert left == pytest.approx(hours, abs=0.05)


def test_no_standby_is_left_when_the_operation_alone_is_too_much():
    assert standby_hours_left(1.2, quiescent_a=0.15, operating_a=20, operation_s=180) is None


@given(st.floats(0.02, 2), st.floats(1, 30), st.floats(60, 1800))
def test_standby_hours_left_of_the_required_capacity_are_the_hours_required(quiescent_a, operating_a, operation_s):
    needed = required_capacity(EN_72, quiescent_a=quiescent_a, operating_a=operating_a, operation_s=operation_s)
    left = standby_hours_left(
        *(needed.capacity_ah,),
        **{"quiescent_a": quiescent_a, "operating_a": operating_a, "operation_s": needed.operation_s},
        discharge_factor=needed.discharge_factor,
    )
    assert left == pytest.approx(72, rel=1e-9)


def test_peukert_from_the_nameplate():
    assert peukert_nameplate_h(100, 20, 10, 1.2) == pytest.approx(8.71, abs=5e-3)  # handbook 2.5
    assert peukert_nameplate_h(17, 20, 8, 1.15) == pytest.approx(1.518, abs=5e-4)
    assert peukert_nameplate_h(17, 20, 8, 1.15) * 8 == pytest.approx(12.1, abs=0.05)
    assert peukert_nameplate_h(2.2, 20, 8, 1.15) == pytest.approx(0.145, abs=5e-4)


def test_at_the_rated_current_both_notations_give_the_rated_time():
    assert peukert_nameplate_h(17, 20, 17 / 20, 1.15) == pytest.approx(20)


def test_next_size_is_never_below_what_is_required():
    assert next_standard_size_ah(17.0) == 17
    assert next_standard_size_ah(17.01) == 24
    assert next_standard_size_ah(500) is None
    assert next_standard_size_ah(8, sizes_ah=(10, 20)) == 10  # a firm's own list


def test_charge_over_standby_is_there_for_a_plot():
    needed = required_capacity(EN_72, quiescent_a=0.15, operating_a=8)
    points = charge_over_standby(17, needed, 72)
    assert points[0] == (0, pytest.approx(13.6))
    assert points[-1] == (pytest.approx(72.05), pytest.approx(13.6 - 10.8 - 0.7))
    assert [hours for hours, _ in points] == sorted(hours for hours, _ in points)


def test_a_firm_can_add_a_basis_of_its_own():
    own = StandbyBasis("own", "Insurer's rule, 2024", 48, 600, 1.3, PRACTICE)
    assert required_capacity(own, quiescent_a=0.1, operating_a=6).capacity_ah == pytest.approx(1.3 * (4.8 + 1.0))


@pytest.mark.parametrize("key", STANDBY_BASES)
def test_every_basis_names_its_edition(key):
    basis = STANDBY_BASES[key]
    assert basis.source.edition
    assert basis.source.tag in {"S2", "M"}


@pytest.mark.parametrize(
    "changes", [{"factor": 0.8}, {"standby_h": 0}, {"operation_s": -5}, {"factor": float("nan")}, {"standby_h": 5_000}]
)
def test_an_impossible_basis_is_refused(changes):
    with pytest.raises(QuantityError):
        replace(EN_72, **changes)


@pytest.mark.parametrize(
    "changes",
    [{"quiescent_a": -0.1}, {"operating_a": 0}, {"operations": 0}, {"standby_h": 1e9}, {"ageing_factor": 0.9}],
)
def test_impossible_figures_are_refused(changes):
    with pytest.raises(QuantityError):
        required_capacity(EN_72, **({"quiescent_a": 0.15, "operating_a": 8} | changes))


def test_a_basis_says_where_it_borrows_its_factor_and_d():
    # EN 12101-10 prints no sizing formula (zones/engineering/batteries.py); BS 5839-1 has both factor and D of its own.
    for key, basis in STANDBY_BASES.items():
        assert ("BS 5839-1" in basis.borrowed) == key.startswith("en-12101-10"), key
