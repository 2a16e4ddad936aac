"""Check the design of the whole portfolio or of one building; say by the exit status whether anything is not met."""

import json

from django.core.management.base import BaseCommand, CommandError

from sites_registry.models import Building
from zones.design_check.checked import checked_portfolio, counts_of
from zones.design_check.findings import SHOWN, TO_ACT_ON
from zones.engineering.findings import Severity, worst_first
from zones.engineering.panel_check import CAUTION


class Command(BaseCommand):
    help = (
        "Check the design of all buildings or of one, from the records as they are. Findings go to the output, "
        "progress to the error output. Exit status: 0 nothing is not met, 1 something is not met, 2 wrong use. "
        + CAUTION
    )

    def add_arguments(self, parser):
        which = parser.add_mutually_exclusive_group(required=True)
        which.add_argument("--all", action="store_true", dest="whole", help="all buildings")
        which.add_argument("--building", metavar="SLUG", help="the building with this address in the register")
        parser.add_argument("--format", choices=["text", "json"], default="text", dest="form", help="default: text")

    def handle(self, *, whole, building, form, **options):
        buildings = Building.objects.all() if whole else Building.objects.filter(slug=building)
        number = buildings.count()
        if building and not number:
            raise CommandError(f"There is no building '{building}'. Give its address in the register.", returncode=2)
        write = JsonWriter(self.stdout) if form == "json" else TextWriter(self.stdout)
        failing = panels = unmet = 0
        every = max(1, number // 100)  # a portfolio of thousands says each hundredth
        for place, checked in enumerate(checked_portfolio(buildings), start=1):
            write.building(checked)
            here = counts_of(checked.all_findings)[Severity.FAIL]
            failing, unmet, panels = failing + bool(here), unmet + here, panels + len(checked.panels)
            if place % every == 0 or place == number:
                self.stderr.write(f"[{place}/{number}] {checked.building}", self.style.NOTICE)
        write.end()
        self.stderr.write(f"Panels checked: {panels}, in buildings: {number}.", self.style.NOTICE)
        if unmet:
            raise CommandError(f"Not met: {unmet} findings, in {failing} of {number} buildings.", returncode=1)


class TextWriter:
    """What there is to act on, a line each, under the building and its counts."""

    def __init__(self, out):
        self.out = out

    def building(self, checked):
        counts = counts_of(checked.all_findings)
        words = ", ".join(f"{number} {SHOWN[severity][1]}" for severity, number in counts.items() if number)
        self.out.write(f"{checked.building}: {words or 'nothing to check'}")
        self._findings(checked.findings, "")
        for each in checked.panels:
            # Circuits and lines are numbered panel by panel: without the panel "Circuit 1" says little.
            self._findings(each.findings, f"{each.panel.tag}, ")

    def _findings(self, findings, where):
        for finding in worst_first(findings):
            if finding.severity in TO_ACT_ON:
                self.out.write(f"  {where}{SHOWN[finding.severity][1]}: {finding.sentence} [{finding.source.in_full}]")

    def end(self):
        self.out.write(CAUTION)


class JsonWriter:
    """One JSON array, an object for each building, written one after another."""

    def __init__(self, out):
        self.out, self.before = out, "["

    def building(self, checked):
        row = {
            "building": str(checked.building),
            "slug": checked.building.slug,
            "counts": {str(severity): number for severity, number in counts_of(checked.all_findings).items()},
            "findings": [finding_as_json(one) for one in checked.findings],
            "panels": [
                {"panel": each.panel.tag, "findings": [finding_as_json(one) for one in each.findings]}
                for each in checked.panels
            ],
        }
        self.out.write(self.before + json.dumps(row, ensure_ascii=False))
        self.before = ","

    def end(self):
        self.out.write("[]" if self.before == "[" else "]")


def finding_as_json(finding):
    """A finding as plain data, with its figures and source."""
    source = finding.source
    return {
        "code": finding.code,
        "severity": str(finding.severity),
        "subject": finding.subject,
        "sentence": finding.sentence,
        "formula": finding.formula,
        "inputs": [{"name": one.name, "value": one.value, "unit": one.unit} for one in finding.inputs],
        "source": {
            "document": source.document,
            "edition": source.edition,
            "clause": source.clause,
            "tag": source.tag,
        },
    }
