"""Judging loads that may be a resistance where nobody recorded how much their outputs ever give.

Such a load takes more the more it gets, so that what is met at the nominal voltage proves nothing of the charging one.
What fails at the nominal voltage fails at any above it.
"""

from collections.abc import Iterable

from zones.engineering.findings import Figure, Finding, Severity, missing
from zones.engineering.operation import Operation
from zones.engineering.sources import DATA_SHEET

FIGURE = "greatest voltage of the outputs"
# Checks that rest on the most that actuators take; opening times and voltages rest on the least that an output gives.
_RESTS_ON_IT = {
    *("supply.output", "supply.output_starting", "supply.panel", "supply.starting", "cable.rating"),
    *("battery.capacity", "battery.duration", "battery.current", "battery.starting", "battery.fuse_starting"),
    *("protection.load", "protection.starting", "protection.selectivity"),
}
_GREEN = (Severity.MEETS, Severity.QUESTION)


def with_highest_voltage(findings: Iterable[Finding], operation: Operation) -> list[Finding]:
    """The same findings; what is met only if the outputs give no more than their nominal voltage has no verdict."""
    lacking = {one.circuit.name for one in operation.with_actuators if one.lacks_highest_voltage}
    findings = list(findings)
    if not lacking:
        return findings
    lacking.add(operation.name)
    found = [_without_verdict(one) if _rests_on_it(one, lacking) else one for one in findings]
    return [*found, *_steps_not_known(found, operation)]


def _rests_on_it(finding, lacking):
    return finding.severity in _GREEN and finding.code in _RESTS_ON_IT and finding.subject in lacking


def _without_verdict(finding):
    words = (
        f"{FIGURE[0].upper()}{FIGURE[1:]} not known, and a resistance takes more there. Enter it to get a verdict. At "
        f"their nominal voltage: {finding.sentence}"
    )
    inputs = (Figure(FIGURE, None, "V"), *finding.inputs)
    return Finding(finding.code, Severity.MISSING, finding.subject, words, DATA_SHEET, inputs, finding.formula)


def _steps_not_known(findings, operation):
    """Steps that the supply carries are not told, so that what is not known of them would not be seen."""
    code = "supply.sequence"
    judged = any(one.code in (code, "supply.panel") and one.severity != Severity.MEETS for one in findings)
    if judged or not operation.supply.sequential:
        return []
    unchecked = f"current of the steps of {operation.name}"
    return [missing(code, operation.name, FIGURE, [operation.name], DATA_SHEET, not_checked=unchecked)]
