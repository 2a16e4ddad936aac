"""Opening time: from the signal to the open position."""

from dataclasses import replace

from zones.calculators.forms.opening_time import OpeningTimeForm
from zones.calculators.views.base import Answer, CalculatorPage, Head
from zones.engineering import Actuator, QuantityError
from zones.engineering.actuators import least_speed_mm_per_s, opening_time_s, partial_opening_time_s
from zones.engineering.findings import Figure, missing, note
from zones.engineering.opening_times import opening_findings, run_time_findings
from zones.engineering.quantities import rounded_up
from zones.engineering.solved_circuits import MAINS
from zones.engineering.sources import DATA_SHEET, EN_12101_2_TIME, PRACTICE
from zones.engineering.travels import travel

OUTPUT = "this output"


class OpeningTimePage(CalculatorPage):
    form_class = OpeningTimeForm
    heading = "Opening time"
    lead = "Is the vent open in time, and does the output stay on for long enough?"
    hint = "Enter the stroke and the speed of the actuator, and the delay before it starts."

    def calculate(self, figures, practice):
        if figures["limit_s"] is not None:
            practice = replace(practice, opening_limit_s=figures["limit_s"])
        stroke_mm, delay_s = figures["stroke_mm"], figures["delay_s"]
        findings = [*_least_speed(stroke_mm, delay_s, practice), *_part(figures)]
        gone = _travel(figures)
        if figures["reaches_v"] is not None and figures["rated_voltage_v"] is None:
            findings.append(_unknown("rated voltage"))
        elif delay_s is None:
            findings.append(_unknown("delay before it starts"))
        else:
            findings += opening_findings(OUTPUT, [gone], {MAINS: (delay_s, delay_s)}, practice)
            findings += run_time_findings(OUTPUT, [gone], figures["run_time_s"], practice)
        heads = []
        if None not in (gone.stroke_s, delay_s):
            open_s = opening_time_s(stroke_mm, gone.speed_mm_per_s, delay_s)
            heads.append(Head("open after", f"{rounded_up(open_s, 2):g} s"))
        if None not in (stroke_mm, delay_s) and delay_s < practice.opening_limit_s:
            least = least_speed_mm_per_s(stroke_mm, delay_s, practice.opening_limit_s)
            heads.append(Head(f"least speed for {practice.opening_limit_s:g} s", f"{rounded_up(least, 2):g} mm/s"))
        return Answer(tuple(findings), tuple(heads))


def _unknown(what):
    return missing("time.opening", OUTPUT, what, [], DATA_SHEET, not_checked="opening time")


def _travel(figures):
    """The way of the actuator: at the voltage that reaches it where that was entered, else at the speed as entered."""
    reaches_v = figures["reaches_v"]
    actuator = Actuator(
        "the actuator",
        stroke_mm=figures["stroke_mm"],
        speed_mm_per_s=figures["speed_mm_per_s"],
        rated_voltage_v=figures["rated_voltage_v"],
        lower_voltage_v=figures["lower_voltage_v"],
        lower_speed_mm_per_s=figures["lower_speed_mm_per_s"],
        holds_speed=reaches_v is None,
    )
    return travel(actuator, MAINS, "" if reaches_v is None else "at that voltage", reaches_v)


def _least_speed(stroke_mm, delay_s, practice):
    limit_s = practice.opening_limit_s
    if stroke_mm is None or delay_s is None or delay_s >= limit_s:
        return []
    least = rounded_up(least_speed_mm_per_s(stroke_mm, delay_s, limit_s), 2)
    inputs = (Figure("stroke", stroke_mm, "mm"), Figure("delay", delay_s, "s"), Figure("limit", limit_s, "s"))
    words = f"{stroke_mm:g} mm within {limit_s:g} s need at least {least:g} mm/s."
    return [note("time.least_speed", OUTPUT, words, EN_12101_2_TIME, inputs, "least speed = stroke / (limit - delay)")]


def _part(figures):
    """How long to run for a part opening."""
    wanted_mm, speed, stroke_mm = figures["wanted_mm"], figures["speed_mm_per_s"], figures["stroke_mm"]
    if wanted_mm is None or speed is None:
        return []
    if stroke_mm is not None and wanted_mm > stroke_mm:
        raise QuantityError("wanted_mm", wanted_mm, f"at most the stroke, {stroke_mm:g} mm")
    time_s = rounded_up(partial_opening_time_s(wanted_mm, speed), 1)
    words = f"{wanted_mm:g} mm are open after {time_s:g} s. The error adds up: close fully once a day."
    inputs = (Figure("opening wanted", wanted_mm, "mm"), Figure("speed", speed, "mm/s"))
    return [note("time.part", OUTPUT, words, PRACTICE, inputs, "time = opening / speed")]
