"""What a meter at the terminals of each monitored line of a panel must read, by its record."""

from dataclasses import dataclass

from zones import design_parts as parts
from zones.design_check import CheckedPanel
from zones.engineering.detection_lines import Span
from zones.engineering.line_check import has_element_at_end, meter_reads_ohm, missing_figures, ohm_in_words


@dataclass(frozen=True, slots=True)
class MeterReading:
    """A line with the reading to expect, line off the panel and devices at rest; empty where it is not known."""

    number: int
    heading: str
    reads: str = ""


def span_in_words(span: Span) -> str:
    """The ends of a span: "9.90 kilohm to 10.12 kilohm", "open"."""
    low, high = ohm_in_words(span.low_ohm), ohm_in_words(span.high_ohm)
    return low if low == high else f"{low} to {high}"


def meter_readings(checked: CheckedPanel) -> list[MeterReading]:
    """Every line of a panel, in its order; no query."""
    designed, found = {line.name: line for line in checked.design.lines}, []
    for record in checked.records.lines:
        name = parts.line_name(record)
        line, reads = designed.get(name), ""
        if line is not None and has_element_at_end(line) and not missing_figures(line):
            reads = span_in_words(meter_reads_ohm(line, checked.practice))
        found.append(MeterReading(record.number, f"Line {name}", reads))
    return found
