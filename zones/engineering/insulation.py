"""Insulation and protective-conductor tests: limits, and what a reading should be.

Insulation testers destroy electronics: disconnect panel, actuators, detectors, bases with electronics and
end-of-line parts first, prove the circuit dead, and never test one that is live or connected to a battery.
"""

from collections.abc import Iterable
from enum import StrEnum
from typing import NamedTuple

from zones.engineering.conductors import Conductor, warm_factor
from zones.engineering.findings import Figure, Finding, at_least, missing, question, verdict
from zones.engineering.quantities import check_quantity, require_not_negative, require_positive, rounded_down
from zones.engineering.sources import IEC_60364_6, PRACTICE, RECORD


class CircuitVoltage(StrEnum):
    """Which line of the table applies."""

    EXTRA_LOW = "SELV or PELV"  # the 24 V side
    UP_TO_500_V = "up to and including 500 V"
    ABOVE_500_V = "above 500 V"


class InsulationLimit(NamedTuple):
    """Test voltage, V DC, and least insulation resistance, megohm."""

    test_v: float
    least_megohm: float


# IEC 60364-6 / BS 7671 table 64 [S2].
INSULATION_LIMITS = {
    CircuitVoltage.EXTRA_LOW: InsulationLimit(250, 0.5),
    CircuitVoltage.UP_TO_500_V: InsulationLimit(500, 1.0),
    CircuitVoltage.ABOVE_500_V: InsulationLimit(1000, 1.0),
}
INVESTIGATE_BELOW_MEGOHM = 2.0  # [P]: passes, but deserves a look


def in_parallel_megohm(readings_megohm: Iterable[float]) -> float:
    """Insulation of circuits tested together, megohm: 1/R = sum 1/Ri [calc]. Raises QuantityError."""
    readings = list(readings_megohm)
    for reading in readings:
        require_positive("reading_megohm", reading)
    require_positive("number of readings", len(readings))
    return 1 / sum(1 / reading for reading in readings)


def for_length_megohm(reading_megohm: float, measured_m: float, length_m: float) -> float:
    """Insulation of the same cable in another length, megohm: R falls as the length grows [calc]."""
    require_positive("reading_megohm", reading_megohm)
    check_quantity("length", measured_m, field="measured_m")
    check_quantity("length", length_m, field="length_m")
    return reading_megohm * measured_m / length_m


def conductor_ohm(conductor: Conductor, length_m: float, *, temperature_c: float = 20.0) -> float:
    """What one conductor of a cable should read end to end, ohm: R = r L; no standard limits it.

    Source:   r from IEC 60228 [S2]; instrument at least 200 mA, 4 to 24 V open circuit: IEC 61557-4 [S2].
    """
    check_quantity("length", length_m, field="length_m")
    return 1e-3 * conductor.ohm_per_km * length_m * warm_factor(temperature_c)


def check_insulation(
    circuit: str, kind: CircuitVoltage | None, reading_megohm: float | None, tested_v: float | None
) -> Finding:
    """A reading against the limit of its kind of circuit; low but passing is a question.

    Args:     tested_v: the test voltage, V DC. Below that of the table a low reading fails and a high one proves
              nothing: a multimeter reads megohms where the test breaks through.
    Raises:   QuantityError: a negative reading or one that is no number; a test voltage that cannot be.
    Source:   IEC 60364-6 / BS 7671 table 64, regulation 643.3 [S2]; 2 megohm: common practice [P].
    """
    code = "insulation.resistance"
    asked = (("kind of circuit", kind), ("insulation reading", reading_megohm), ("test voltage", tested_v))
    for what, value in asked:
        if value is None:
            return missing(code, circuit, what, [circuit], RECORD, not_checked=f"insulation of {circuit}")
    require_not_negative("reading_megohm", reading_megohm, subject=circuit)
    check_quantity("test_voltage", tested_v, field="tested_v", subject=circuit)
    limit = INSULATION_LIMITS[kind]
    if tested_v < limit.test_v and reading_megohm >= limit.least_megohm:
        what = f"insulation reading at {limit.test_v:g} V DC"
        return missing(code, circuit, what, [circuit], RECORD, not_checked=f"insulation (read at {tested_v:g} V only)")
    inputs = (
        Figure("reading", reading_megohm, "MΩ"),
        Figure("limit", limit.least_megohm, "MΩ"),
        Figure("test voltage", tested_v, "V DC"),
        Figure("test voltage asked", limit.test_v, "V DC"),
    )
    reads = f"{circuit}: {rounded_down(reading_megohm, 2):g} MΩ at {tested_v:g} V"
    if limit.least_megohm <= reading_megohm < INVESTIGATE_BELOW_MEGOHM:
        words = f"{reads}, above the {limit.least_megohm:g} MΩ required but low. Look for damp or a damaged cable."
        return question(code, circuit, words, PRACTICE, inputs)
    return verdict(
        *(code, circuit, reading_megohm >= limit.least_megohm),
        f"{reads}; {limit.least_megohm:g} MΩ are required",
        f"{reads}, below the {limit.least_megohm:g} MΩ required. Do not energise: find the fault first.",
        *(IEC_60364_6, inputs, "least insulation resistance by kind of circuit"),
        compared=at_least(
            rounded_down(reading_megohm, 2), limit.least_megohm, "MΩ", reading_megohm - limit.least_megohm
        ),
    )
