"""The current rating of a cable by how it is laid: the figure of the table, each factor, and a load against it."""

from typing import NamedTuple

from zones.calculators.circuits import CABLE
from zones.calculators.forms.cable_rating import CableRatingForm
from zones.calculators.forms.cables import conductor_of, laying_of
from zones.calculators.views.base import Answer, CalculatorPage, Head
from zones.engineering import CableRun
from zones.engineering.cable_rating_check import RATING_FORMULA, laying_figures, rated_runs, rating_findings, table_of
from zones.engineering.cable_ratings import INSULATION_WORDS, Rated, least_rated, loaded_temperature_c
from zones.engineering.findings import Finding, Severity, listed, missing, note
from zones.engineering.quantities import rounded_down, rounded_up
from zones.engineering.sources import (
    IEC_60364_5_52_AMBIENT,
    IEC_60364_5_52_GROUPING,
    PRACTICE,
    RECORD,
    Source,
)

STRANDED = "2"  # no rating depends on the class


class Step(NamedTuple):
    """One line of the reckoning: what it is, its figure, whose it is."""

    words: str
    figure: str
    source: Source | None = None


class CableRatingPage(CalculatorPage):
    form_class = CableRatingForm
    template_name = "zones/calculators/cable_rating.html"
    heading = "Current rating of a cable"
    lead = "What may a cable carry for good as it is laid, and does it carry its load?"
    hint = "Enter the size of its cores, and how the cable is laid where that is worst."

    def calculate(self, figures, practice):
        conductor = conductor_of(figures["size"], figures["conductor_class"] or STRANDED)
        if conductor is None:
            gap = missing("cable.rating", CABLE, "size", [], RECORD, not_checked="current rating of the cable")
            return Answer((gap,))
        cores = figures["cores_per_pole"] or 1
        run = CableRun(CABLE, None, conductor, cores_per_pole=cores, laying=laying_of(figures))
        (asked,) = rated_runs([(run, figures["load_a"] or 0.0)])
        if figures["load_a"] is None:
            findings = [_rating(asked)]
        else:
            findings = rating_findings("This output", [(run, figures["load_a"])], practice)
        rated = least_rated(conductor, run.laying, cores)
        return Answer(tuple(findings), tuple(_heads(asked, figures["load_a"])), {"steps": _steps(asked, rated)})


def _rating(asked):
    """The rating alone, no verdict; as much as the tables say where not all of the laying is known."""
    run, inputs = asked.run, laying_figures(asked)
    least_a, most_a = rounded_down(asked.least_a, 2), rounded_down(asked.most_a, 2)
    if not asked.most_a:
        words = f"{CABLE} ({run.conductor}): the tables give it no current, however small, as it is laid."
        return note("cable.rating", CABLE, words, table_of(asked), inputs, RATING_FORMULA)
    if run.laying.unknown:
        words = (
            f"{CABLE} ({run.conductor}) carries at least {least_a:g} A for good and at most {most_a:g} A: "
            f"{listed(run.laying.unknown)} not known. Enter it to get its rating."
        )
        return Finding("cable.rating", Severity.MISSING, CABLE, words, table_of(asked), inputs, RATING_FORMULA)
    words = f"{CABLE} ({run.conductor}) carries {least_a:g} A for good as it is laid."
    return note("cable.rating", CABLE, words, table_of(asked), inputs, RATING_FORMULA)


def _heads(asked, load_a):
    run, least_a = asked.run, rounded_down(asked.least_a, 2)
    yield Head("at the least, however it is laid" if run.laying.unknown else "current rating", f"{least_a:g} A")
    if load_a is None or run.laying.unknown:
        return
    if load_a <= asked.least_a:
        core_c = loaded_temperature_c(run.conductor, run.laying, load_a, run.cores_per_pole)
        yield Head("its cores at that current", f"{rounded_up(core_c, 1):g} °C")


def _steps(asked, rated: Rated):
    """What the least rating is made of; what is not known stands there as the worst of the tables."""
    laying, size = asked.run.laying.worst, asked.run.conductor
    worst = {words: ", not known: the worst" for words in asked.run.laying.unknown}
    of_tables = "" if not {"insulation", "method of installation"} & set(worst) else ", what is not known at its worst"
    kind = INSULATION_WORDS[rated.insulation]
    own = f", and {rated.cores_per_pole - 1} of its own in parallel" if rated.cores_per_pole > 1 else ""
    return [
        Step(
            f"{size}, {kind}, method {rated.method}, two loaded cores at 30 °C{of_tables}",
            f"{rated.tabulated_a:g} A",
            table_of(asked),
        ),
        Step(
            f"Ambient temperature {laying.ambient_c:g} °C{worst.get('ambient temperature', '')}",
            f"× {rated.ambient:.2f}",
            IEC_60364_5_52_AMBIENT,
        ),
        Step(
            f"Circuits bunched: {laying.grouped:g}{own}{worst.get('circuits bunched', '')}",
            f"× {rounded_down(rated.grouping, 2):.2f}",
            IEC_60364_5_52_GROUPING,
        ),
        Step("Cores in parallel per pole", f"× {rated.cores_per_pole}", PRACTICE),
        Step("Current rating of a pole", f"{rounded_down(rated.rating_a, 2):g} A"),
    ]
