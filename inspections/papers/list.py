"""Everything of a building that can be looked at or printed, in the order in which its papers are filed."""

from dataclasses import dataclass, field

from django.urls import reverse

from sites_registry.access import STAFF_ROLES
from sites_registry.models import Job

WHOLE = "whole"


@dataclass(frozen=True)
class Line:
    """Where one paper is found: `of` says of what (a panel, a job), "" for the building; ways are (words, address)."""

    of: str
    ways: tuple


@dataclass(frozen=True)
class Paper:
    """One kind of paper; `holds` says in a line what stands on it."""

    name: str
    holds: str
    lines: list = field(default_factory=list)
    anchor: str = ""
    none: str = "No panel is recorded in this building."


def papers_of(building, panels, parts, *, is_long, user):
    """The papers of a building.

    Args:     panels: its panels in order; parts: of the device schedule; is_long: too long for one document.
    Returns:  [Paper, …]; one query for the open jobs of those who may see them.
    """
    of_building, of_panels = _ways_of_building(building), _ways_of_panels(panels)
    return [
        Paper("Zone overview", "Which inputs move which vents: inputs left, vents right. A3.",
              of_panels("zone-overview", pdf="zone-overview-pdf", svg="zone-overview-svg")),
        Paper("Zone schedule", "Every smoke zone with its panel, required and declared areas, vents and groups.",
              of_building(pdf="zone-schedule-pdf", xlsx="zone-schedule-xlsx")),
        Paper("Cause-and-effect matrix", "Inputs down, outputs across, one sign for each kind of effect.",
              of_panels("rule-matrix", pdf="panel-cause-and-effect-pdf")),
        Paper("Device schedule", "Every position with its place, wiring and unit, panel by panel in walking order.",
              _device_schedule(building, parts, is_long), anchor="parts"),
        Paper("Terminal schedule", "Block, terminal, function, core, cable, far end, a box to tick.",
              of_panels("terminal-schedule", pdf="terminal-schedule-pdf")),
        Paper("Wiring diagram", "Every core from terminal to terminal, and every end-of-line resistor or module. A3.",
              of_panels("wiring-diagram", pdf="wiring-diagram-pdf", svg="wiring-diagram-svg")),
        Paper("Cable schedule", "Type, cores, length, route and spare cores of every cable.",
              of_building("cable-schedule", pdf="cable-schedule-pdf")),
        Paper("End-of-line schedule", "The end-of-line resistor or module of every line and output.",
              of_building("end-of-line-schedule", pdf="end-of-line-schedule-pdf")),
        Paper("Settings sheet", "Every setting of a panel and its devices as left, with boxes to work from.",
              of_panels("panel-settings-sheet", pdf="panel-settings-sheet-pdf")),
        Paper("Design check", "Findings, inputs, sources.",
              [*of_building("building-design-check", of=WHOLE, pdf="building-design-check-report"),
               *of_panels("panel-design-check", pdf="panel-design-check-report")]),
        Paper("Commissioning plan", "Every input, effect and monitored line as a test, in walking order.",
              of_panels("panel-commissioning-plan", pdf="panel-commissioning-plan-pdf")),
        *_material_lists(building, user),
        Paper("Labels", "For devices, cables and cores, with a code that opens their page; on stock in exact size.",
              of_building("label-list", words="Choose labels")),
        Paper("Changes as installed", "Added, moved, swapped, rewired since a revision.",
              of_building("as-installed-list", words="Revisions")),
        Paper("Log book", "What was reported, tested and done, entry by entry.", of_building("log-book")),
    ]  # fmt: skip


def _ways(record_key, page, words, files):
    found = [(words, reverse(page, args=[record_key]))] if page else []
    return (*found, *((kind, reverse(name, args=[record_key])) for kind, name in files.items()))


FILE_WORDS = {"pdf": "PDF", "svg": "SVG", "xlsx": "Spreadsheet"}


def _ways_of_building(building):
    def lines(page=None, *, words="On screen", of="", **files):
        named = {FILE_WORDS[kind]: name for kind, name in files.items()}
        return [Line(of, _ways(building.slug, page, words, named))]

    return lines


def _ways_of_panels(panels):
    def lines(page, **files):
        named = {FILE_WORDS[kind]: name for kind, name in files.items()}
        return [Line(panel.tag, _ways(panel.pk, page, "On screen", named)) for panel in panels]

    return lines


def _device_schedule(building, parts, is_long):
    """The whole, then its parts; only the parts where the whole is too long for one document."""
    pdf = reverse("device-schedule-pdf", args=[building.slug])
    spreadsheet = (FILE_WORDS["xlsx"], reverse("device-schedule-xlsx", args=[building.slug]))
    has_parts = is_long or len(parts) > 1
    ways = (spreadsheet,) if is_long else ((FILE_WORDS["pdf"], pdf), spreadsheet)
    lines = [Line(WHOLE if has_parts else "", ways)]
    if has_parts:
        lines += [Line(part.name, ((FILE_WORDS["pdf"], f"{pdf}?part={part.key}"),)) for part in parts]
    return lines


def _material_lists(building, user):
    """One line per open job, for those who may see what a job asks for."""
    if user.role not in STAFF_ROLES:
        return []
    jobs = Job.objects.visible_to(user).open().filter(building=building).order_by("number")
    lines = [
        Line(job.number, _ways(job.number, "job-materials", "On screen",
                               {"PDF": "job-materials-pdf", "Spreadsheet": "job-materials-xlsx"}))
        for job in jobs
    ]  # fmt: skip
    return [Paper("Material list", "What an open job asks for, against what arrived.", lines, none="No job is open.")]
