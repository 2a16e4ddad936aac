"""Who opens which paper: whoever may see what it is of, in the roles of its entry. Read from the registry of papers."""

from inspections.models import HandOver
from sites_registry.documents.papers import papers
from tests import builders
from tests.conftest import PEOPLE
from tests.zones.floor_plans.plans import plan_of
from tests.zones.wiring.wired import wire_town
from zones.as_installed.revisions import take_revision
from zones.models import AsInstalledRevision, Cable

ROLE_OF = {"stranger": "manager", "manager": "manager", "engineer": "engineer", "office": "office"}
WITHOUT_A_CHOICE = ("label-pdf",)  # its address says nothing of what to print: back to the form


def _building(town):
    if not AsInstalledRevision.objects.filter(building=town.hall).exists():
        take_revision(building=town.hall, taken_by=town.people["office"], reason="Checked on site.")
    plan_of(town)
    return [town.hall.slug]


def _panel(town):
    if not Cable.objects.filter(building=town.hall, tag="W1").exists():
        wire_town(town)
    return [town.panel.pk]


def _hand_over(town):
    return [(HandOver.objects.first() or builders.make_hand_over(town.job, town.people["manager"])).pk]


def _visit(town):
    """With an impaired point, which a notice is of."""
    if not town.visit.defects_found.filter(severity="impaired").exists():
        builders.make_defect(town.hall, town.visit, severity="impaired")
    return [town.visit.pk]


# A thing that papers are of → the arguments of an address of one at Ropewalk Hall.
ARGUMENTS_OF = {
    "building": _building,
    "panel": _panel,
    "job": lambda town: [town.job.number],
    "visit": _visit,
    "defect": lambda town: [builders.make_defect(town.hall, town.visit).pk],
    "certificate": lambda town: [town.certificate.number],
    "hand-over": _hand_over,
}


def rows():
    """{name of an address: the expected outcome for each of PEOPLE} of every file of every paper."""
    return {
        paper.url_name(file): tuple(_outcome(paper, file, person) for person in PEOPLE)
        for paper in papers().values()
        for file in paper.files
    }


def arguments():
    """{name of an address: how its arguments are got}."""
    return {paper.url_name(file): ARGUMENTS_OF[paper.of.word] for paper in papers().values() for file in paper.files}


def _outcome(paper, file, person):
    if person == "anonymous":
        return "log in"
    if ROLE_OF[person] not in paper.roles:
        return "refused"
    if person == "stranger":
        return "hidden"
    return "elsewhere" if paper.url_name(file) in WITHOUT_A_CHOICE else "open"


EXPECTED, ARGUMENTS = rows(), arguments()
