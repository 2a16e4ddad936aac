"""Fire-safety information for whoever runs a building: a checklist that names what of it is not there.

What has to be handed over is local law; the list is common practice and in general words. "Recorded" says that the
register holds something of that kind, not that it is enough.
"""

from django.urls import reverse

from inspections.models import Certificate, Defect, LogEntry
from sites_registry.documents.base import TitleBlock
from sites_registry.documents.blocks import bullets, heading, small, soft, strong, table
from sites_registry.documents.papers import Made
from sites_registry.documents.typeset import Column, typeset_pdf
from sites_registry.words import counted
from zones.files.documents_needed import missing_papers
from zones.models import CauseAndEffectRule, FloorPlan, Position, Vent

COLUMNS = (
    Column("", 8),
    Column("Information"),
    Column("In the register", 52),
    Column("Handed over: day, initials", 34),
)
NOT_THERE = "▲ not there"
NOT_KEPT = "not kept in the register"


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
    lacking = [*(words for _title, rows in parts for words, held in rows if not held)]
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
    words, held = row
    return ["☐", words, soft(held) if held else strong(NOT_THERE), ""]


def _parts(building):
    """[(title, [(what it is, what of it is held or ""), …]), …]"""
    return [
        ("The building", _of_the_building(building)),
        ("The system as built", _as_built(building)),
        ("Proof", _proof(building)),
        ("Running it", _running(building)),
    ]


def _of_the_building(building):
    return [
        ("Fire strategy, or where it is kept", building.fire_strategy_reference),
        ("Standards that the system was built to, with edition", building.standards_applied),
        ("Responsible person and how to reach them", building.responsible_person),
        ("Who receives the alarm, and how", building.alarm_receiving_centre),
        ("Keys and access", "recorded" if building.access_notes else ""),
        ("Access to roofs, and what protects from falling", "recorded" if building.roof_access_notes else ""),
    ]


def _as_built(building):
    positions = Position.objects.in_use().filter(building=building).count()
    plans = FloorPlan.objects.filter(building=building).count()
    rules = CauseAndEffectRule.objects.filter(smoke_zone__building=building).count()
    vents = Vent.objects.filter(smoke_zone__building=building).count()
    revision = building.as_installed_revisions.without_record().order_by("-number").first()
    return [
        ("Schedule of devices with place, zone and unit", _number(positions, "positions")),
        ("Vents with their free area, zone by zone", _number(vents, "vents")),
        ("Plans with zones and devices at their place", _number(plans, "plans")),
        ("What moves on which alarm (cause and effect)", _number(rules, "rules")),
        ("As-installed record, frozen", f"revision {revision.number}" if revision else ""),
        ("Figures that the design rests on", "recorded" if hasattr(building, "design_basis") else ""),
    ]


def _proof(building):
    kinds = dict(Certificate.objects.in_force().filter(building=building).values_list("kind", "number"))
    open_defects = Defect.objects.filter(building=building).open().count()
    return [
        ("Certificate of commissioning in force", kinds.get("commissioning", "")),
        ("Certificate of the last inspection in force", kinds.get("inspection", "")),
        ("Defects that are open, with what is done meanwhile", f"{counted(open_defects, 'defects')} open"),
    ]


def _running(building):
    entries = LogEntry.objects.filter(building=building).count()
    return [
        ("Log book, begun and with whoever keeps it", _number(entries, "entries")),
        ("Manager of the building with a log-in", _number(building.managers.filter(is_active=True).count(), "people")),
        (
            "How often it is inspected, and what the user checks between",
            f"every {counted(building.inspection_interval_months, 'months')}",
        ),
    ]


def _number(number, noun):
    return counted(number, noun) if number else ""
