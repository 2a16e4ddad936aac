"""Fire-safety information for whoever runs a building: a checklist that names what of it is not there.

What has to be handed over is local law; the list is common practice and in general words. "Recorded" says that the
register holds something of that kind, not that it is enough; what is there in part only is named too.
"""

from typing import NamedTuple

from django.db.models import Q
from django.urls import reverse
from django.utils import timezone
from django.utils.formats import date_format

from inspections.models import Certificate, Defect, LogEntry
from inspections.models.defects import Severity
from sites_registry.documents.base import TitleBlock
from sites_registry.documents.blocks import bullets, heading, small, soft, strong, table
from sites_registry.documents.papers import Made
from sites_registry.documents.typeset import Column, typeset_pdf
from sites_registry.words import counted
from zones.files.documents_needed import missing_papers
from zones.models import CauseAndEffectRule, FloorPlan, PlanPlace, Position, Vent

COLUMNS = (
    Column("", 8),
    Column("Information"),
    Column("In the register", 52),
    Column("Handed over: day, initials", 34),
)
NOT_THERE = "▲ not there"


class Row(NamedTuple):
    """What it is, what of it is held ("" for nothing), and what that lacks."""

    words: str
    held: str
    lacks: str = ""

    @property
    def told(self):
        """For the list of what is not there; "" where nothing is missing."""
        if not self.held:
            return self.words
        return self.lacks and f"{self.words}: {self.lacks}"


def checklist_asked_for(building, asked):
    title_block = TitleBlock.as_of(
        asked.now,
        building,
        title="Fire-safety information",
        subtitle="checklist",
        number=f"{building.slug}/fire-safety",
        prepared_by=asked.by,
        address=reverse("schedule-list", args=[building.slug]),
    )
    parts = _parts(building)
    lacking = [row.told for _title, rows in parts for row in rows if row.told]
    papers = [row.words for row in missing_papers(building)]
    data = {
        "heading": "Fire-safety information",
        "lead": f"{building.name} · {counted(len(lacking) + len(papers), 'matters')} not there",
        "blocks": [
            heading("Not there"),
            bullets([*lacking, *papers] or ["Nothing that this list asks for."]),
            small(
                "What has to be handed over, to whom and when is local law, and the contract may ask more: it is "
                "common practice. In the register means that something of that kind is recorded, not that it suffices."
            ),
            table(COLUMNS, *([[title, ""], list(map(_row, rows))] for title, rows in parts)),
        ],
    }
    content = typeset_pdf("documents/blocks_paper.typ", data, title_block=title_block, created_at=asked.now)
    return Made(content)


def _row(row):
    if not row.held:
        return ["☐", row.words, strong(NOT_THERE), ""]
    held = [soft(row.held), strong(f"▲ {row.lacks}")] if row.lacks else soft(row.held)
    return ["☐", row.words, held, ""]


def _parts(building):
    """[(title, [Row, …]), …]"""
    return [
        ("The building", _of_the_building(building)),
        ("The system as built", _as_built(building)),
        ("Proof", _proof(building)),
        ("Running it", _running(building)),
    ]


def _of_the_building(building):
    return [
        Row("Fire strategy, or where it is kept", building.fire_strategy_reference),
        Row("Standards that the system was built to, with edition", building.standards_applied),
        Row("Responsible person and how to reach them", building.responsible_person),
        Row("Who receives the alarm, and how", building.alarm_receiving_centre),
        Row("Keys and access", "recorded" if building.access_notes else ""),
        Row("Access to roofs, and what protects from falling", "recorded" if building.roof_access_notes else ""),
    ]


def _as_built(building):
    positions = Position.objects.in_use().filter(building=building).count()
    rules = CauseAndEffectRule.objects.filter(smoke_zone__building=building).count()
    revision = building.as_installed_revisions.without_record().order_by("-number").first()
    return [
        Row("Schedule of devices with place, zone and unit", _number(positions, "positions")),
        _vents(building),
        _plans(building, positions),
        Row("What moves on which alarm (cause and effect)", _number(rules, "rules")),
        Row("As-installed record, frozen", f"revision {revision.number}" if revision else ""),
        Row("Figures that the design rests on", "recorded" if hasattr(building, "design_basis") else ""),
    ]


def _vents(building):
    """A vent has an area that is declared or measured, or a clear size from which the design check works one out."""
    vents = Vent.objects.filter(smoke_zone__building=building)
    without = vents.filter(Q(width_mm=None) | Q(height_mm=None), aerodynamic_area_m2=None, geometric_area_m2=None)
    lacks = f"{number} without an area" if (number := without.count()) else ""
    return Row("Vents with their free area, zone by zone", _number(vents.count(), "vents"), lacks)


def _plans(building, positions):
    plans = FloorPlan.objects.filter(building=building).in_force().count()
    places = PlanPlace.objects.filter(plan__building=building, plan__is_in_force=True).of_its_storey()
    unplaced = positions - places.values("position").distinct().count()
    lacks = f"{counted(unplaced, 'positions')} without a place" if unplaced else ""
    return Row("Plans with zones and devices at their place", _number(plans, "plans"), lacks)


def _proof(building):
    certificates = {one.kind: one for one in Certificate.objects.in_force().filter(building=building)}
    return [
        Row("Certificate of commissioning in force", _dated(certificates.get("commissioning"))),
        _last_inspection(certificates.get("inspection")),
        _open_defects(building),
    ]


def _dated(certificate):
    return f"{certificate.number} of {_day(certificate.issued_on)}" if certificate else ""


def _last_inspection(certificate):
    due_on = certificate and certificate.next_due_on
    lacks = f"next inspection was due on {_day(due_on)}" if due_on and due_on < timezone.localdate() else ""
    return Row("Certificate of the last inspection in force", _dated(certificate), lacks)


def _open_defects(building):
    """What impairs a zone needs something that stands in for it; of the others the list asks nothing."""
    severities = Defect.objects.filter(building=building).open().values_list("severity", "interim_measure")
    bare = [one for one in severities if one == (Severity.IMPAIRED, "")]
    return Row(
        "Defects that are open, with what is done meanwhile",
        f"{counted(len(severities), 'defects')} open",
        f"{counted(len(bare), 'impairments')} without a measure meanwhile" if bare else "",
    )


def _day(day):
    return date_format(day, "j M Y")


def _running(building):
    entries = LogEntry.objects.filter(building=building).count()
    return [
        Row("Log book, begun and with whoever keeps it", _number(entries, "entries")),
        Row(
            "Manager of the building with a log-in", _number(building.managers.filter(is_active=True).count(), "people")
        ),
        Row(
            "How often it is inspected, and what the user checks between",
            f"every {counted(building.inspection_interval_months, 'months')}",
        ),
    ]


def _number(number, noun):
    return counted(number, noun) if number else ""
