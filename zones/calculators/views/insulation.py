"""Insulation and continuity: a reading against its limit, and what a sound cable should read."""

from zones.calculators.forms.cables import conductor_of
from zones.calculators.forms.insulation import InsulationForm
from zones.calculators.views.base import CAUTION, Answer, CalculatorPage, Head
from zones.engineering.findings import Figure, note
from zones.engineering.insulation import (
    CircuitVoltage,
    check_insulation,
    conductor_ohm,
    for_length_megohm,
    in_parallel_megohm,
)
from zones.engineering.quantities import rounded_down, rounded_up
from zones.engineering.sources import GEOMETRY, IEC_60228, OHMS_LAW

CABLE = "the cable"


class InsulationPage(CalculatorPage):
    form_class = InsulationForm
    heading = "Insulation and continuity"
    lead = "Is the insulation good enough, and what should a core of this length read?"
    hint = (
        "Only dead and disconnected: the instrument destroys panel, actuators, detectors and end-of-line parts. "
        "Enter what it read."
    )

    def get_context(self):
        return {"caution": f"An insulation tester destroys electronics: only dead and disconnected. {CAUTION}"}

    def calculate(self, figures, practice):
        kind = CircuitVoltage(figures["kind"]) if figures["kind"] else None
        readings = [figures[name] for name in ("reading_megohm", "second_megohm", "third_megohm")]
        known = [one for one in readings if one is not None]
        findings, heads = [], []
        if kind or known or not figures["core_m"]:
            findings.append(check_insulation(CABLE, kind, readings[0], figures["tested_v"]))
        if len(known) > 1:
            findings += _together(kind, known, figures["tested_v"], heads)
        if None not in (readings[0], figures["measured_m"], figures["length_m"]):
            findings.append(_in_length(readings[0], figures, heads))
        conductor = conductor_of(figures["size"], figures["conductor_class"])
        if figures["core_m"] is not None and conductor is not None:
            findings.append(_core(conductor, figures, heads))
        return Answer(tuple(findings), tuple(heads))


def _together(kind, readings, tested_v, heads):
    """Cables tested together read less than each alone, and the limit is for what is tested."""
    if 0 in readings:
        return [note("insulation.together", CABLE, "One cable reads 0 MΩ: together they read 0 MΩ.", OHMS_LAW)]
    megohm = in_parallel_megohm(readings)
    heads.append(Head("connected together", f"{rounded_down(megohm, 2):g} MΩ"))
    return [check_insulation(f"{len(readings)} cables together", kind, megohm, tested_v)]


def _in_length(reading, figures, heads):
    inputs = (
        Figure("reading", reading, "MΩ"),
        Figure("length measured", figures["measured_m"], "m"),
        Figure("length asked about", figures["length_m"], "m"),
    )
    megohm = 0.0
    if reading:
        megohm = for_length_megohm(reading, figures["measured_m"], figures["length_m"])
    heads.append(Head(f"in {figures['length_m']:g} m", f"{rounded_down(megohm, 2):g} MΩ"))
    words = f"{figures['length_m']:g} m of this cable would read about {rounded_down(megohm, 2):g} MΩ."
    return note("insulation.length", CABLE, words, GEOMETRY, inputs, "insulation falls as the length grows")


def _core(conductor, figures, heads):
    celsius = 20.0 if figures["temperature_c"] is None else figures["temperature_c"]
    ohm = rounded_up(conductor_ohm(conductor, figures["core_m"], temperature_c=celsius), 3)
    heads.append(Head("core at most", f"{ohm:g} Ω"))
    core = f"{figures['core_m']:g} m of {conductor.in_words}"
    words = f"{core} read at most {ohm:g} Ω at {celsius:g} °C; no standard limits it."
    inputs = (Figure("length", figures["core_m"], "m"), Figure("temperature", celsius, "°C"))
    formula = "resistance = greatest resistance of the standard × length, warm"
    return note("insulation.core", CABLE, words, IEC_60228, inputs, formula)
