"""The material list of a job, on paper: what to bring, with a box to tick."""

from dataclasses import dataclass

from django.urls import reverse

from sites_registry.documents.base import TitleBlock, render_pdf
from sites_registry.documents.papers import Made, NothingToShow
from sites_registry.models import Job
from sites_registry.spreadsheets import Sheet, workbook_of
from zones.materials.lists import EVERYTHING, NOT_FITTED, material_list
from zones.models import AsInstalledRevision

SCOPES = ((EVERYTHING, "everything in the building"), (NOT_FITTED, "devices without a unit, all cable"))
HEADINGS = ("Group", "What", "Detail", "Unit", "Needed", "Arrived", "Short")


@dataclass(frozen=True)
class AskedPart:
    """Of which part of the building a list is asked for."""

    job: Job
    scope: str
    since: AsInstalledRevision | None

    @property
    def words(self):
        words = dict(SCOPES)[self.scope]
        return f"{words}, added since revision {self.since.number}" if self.since else words

    @property
    def query(self):
        since = f"&since={self.since.number}" if self.since else ""
        return f"?scope={self.scope}{since}"


def part_of(job, query):
    """The part that an address asks for. Raises NothingToShow."""
    scope, text = query.get("scope", EVERYTHING), query.get("since", "")
    if scope not in dict(SCOPES):
        raise NothingToShow
    since = None
    if text:
        if not (text.isascii() and text.isdigit() and len(text) < 10):
            raise NothingToShow
        since = AsInstalledRevision.objects.filter(building=job.building, number=text).first()
        if since is None:
            raise NothingToShow
    return AskedPart(job, scope, since)


def list_of(part):
    return material_list(part.job, scope=part.scope, since=part.since)


def material_list_pdf(asked, material, *, prepared_by, now):
    """A MaterialList as an A4 portrait PDF; `asked` has the job and says of what part of the building it is."""
    job = asked.job
    title_block = TitleBlock.as_of(
        now,
        job.building,
        title="Material list",
        subtitle=job.number,
        number=f"{job.number}/material-list",
        prepared_by=prepared_by,
        address=reverse("job-materials", args=[job.number]) + asked.query,
    )
    context = {"job": job, "asked": asked, "material": material}
    return render_pdf("zones/materials/material_list_paper.html", context, title_block=title_block, created_at=now)


def list_asked_for(job, asked):
    part = part_of(job, asked.query)
    return Made(material_list_pdf(part, list_of(part), prepared_by=asked.by, now=asked.now))


def spreadsheet_asked_for(job, asked):
    part = part_of(job, asked.query)
    material = list_of(part)
    rows = [
        [line.group, line.what, line.detail, line.unit, str(line.needed), str(line.arrived), str(line.short)]
        for line in material.lines
    ]
    facts = [("Material list", f"{job.number}, {job.building.name}"), ("Of", part.words)]
    facts += [("Not counted", sentence) for sentence in material.not_counted]
    sheet = Sheet(title="Material list", headings=HEADINGS, rows=rows, numbers=(4, 5, 6), facts=tuple(facts))
    return Made(workbook_of(sheet))
