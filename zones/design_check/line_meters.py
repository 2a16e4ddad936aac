"""What a meter at the terminals of each monitored line of a panel must read, by its record.

A line's resistance is read in kΩ, everywhere: design check, phone, report and certificate print the same limits.
"""

from dataclasses import dataclass
from decimal import Decimal

from zones.design_check import parts
from zones.design_check.checked import CheckedPanel
from zones.engineering.line_check import has_element_at_end, meter_reads_ohm, missing_figures
from zones.engineering.line_words import kohm_figure


@dataclass(frozen=True, slots=True)
class MeterReading:
    """A line with the limits of its reading, line off the panel and devices at rest; None where not known."""

    line_pk: int
    number: int
    heading: str
    limits_kohm: tuple[Decimal, Decimal] | None = None
    nominal_ohm: float | None = None

    @property
    def reads(self):
        """The limits in words: "9.90 to 10.12 kΩ"; empty where they are not known."""
        return "{} to {} kΩ".format(*map(kohm_figure, self.limits_kohm)) if self.limits_kohm else ""


def meter_readings(checked: CheckedPanel) -> list[MeterReading]:
    """Every line of a panel, in its order; no query."""
    designed, found = {line.name: line for line in checked.design.lines}, []
    for record in checked.records.lines:
        name = parts.line_name(record)
        line, limits, nominal_ohm = designed.get(name), None, None
        if line is not None and has_element_at_end(line) and not missing_figures(line):
            span = meter_reads_ohm(line, checked.practice)
            limits = tuple(Decimal(kohm_figure(ohm / 1000)) for ohm in (span.low_ohm, span.high_ohm))
            nominal_ohm = span.nominal_ohm
        found.append(MeterReading(record.pk, record.number, f"Line {name}", limits, nominal_ohm))
    return found
