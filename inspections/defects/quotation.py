"""The quotation sheet for remedial work: what is open in a building, what would put it right, lines for the prices."""

from datetime import timedelta
from itertools import groupby

from django.urls import reverse
from django.utils import timezone
from django.utils.formats import date_format

from inspections.models import Defect
from inspections.models.defects import SEVERITY_MEANING, Severity
from sites_registry.documents.base import TitleBlock
from sites_registry.documents.blocks import facts, small, soft, table, words
from sites_registry.documents.papers import Made
from sites_registry.documents.typeset import Column, typeset_pdf
from sites_registry.words import counted, full_stop, storey_words

VALID_DAYS = 30  # common practice; another day is written in by hand
COLUMNS = (
    Column("Defect", 16),
    Column("Place", 44),
    Column("What is wrong"),
    Column("Proposed remedy"),
    Column("Number", 17, "number"),
    Column("Price of one", 26),
    Column("Price", 26),
)
TO_WRITE = "________"


def quotation_asked_for(building, asked):
    defects = list(
        Defect.objects.filter(building=building)
        .open()
        .worst_first()
        .select_related("position", "found_by_result__test_point")
    )
    day = timezone.localdate(asked.now)
    title_block = TitleBlock.as_of(
        asked.now,
        building,
        title="Quotation for remedial work",
        number=f"{building.slug}/quotation/{day}",
        prepared_by=asked.by,
        address=reverse("building-defects", args=[building.slug]),
        landscape=True,
    )
    data = {
        "heading": "Quotation for remedial work",
        "lead": f"{building.name} · {counted(len(defects), 'open defects')}",
        "blocks": [_facts(building, day, defects), *_lines(defects)],
    }
    content = typeset_pdf("documents/blocks_paper.typ", data, title_block=title_block, created_at=asked.now)
    return Made(content, is_blank=not defects)


def _facts(building, day, defects):
    last = day + timedelta(days=VALID_DAYS)
    offered = (
        (
            "Prices hold until",
            f"{date_format(last, 'j M Y')} ({VALID_DAYS} days), or as written here: {TO_WRITE}",
        ),
        ("Reference of the order", TO_WRITE),
    )
    return facts(
        ("For", ", ".join([building.client.name, *building.client.address.splitlines()])),
        ("Building", ", ".join([building.name, *building.address.splitlines()])),
        ("Date", date_format(day, "j M Y")),
        *(offered if defects else ()),
    )


def _lines(defects):
    if not defects:
        return [words("No defect is open in this building.")]
    groups = [
        ([Severity(severity).label.capitalize(), f"  {SEVERITY_MEANING[Severity(severity)]}"], list(map(_row, group)))
        for severity, group in groupby(defects, key=lambda defect: defect.severity)
    ]
    sums = [[label, TO_WRITE * 2] for label in ("Sum without tax", "Tax", "Sum")]
    return [
        table(COLUMNS, *groups),
        table((Column("", None, "number"), Column("", 52)), (None, sums)),
        _end(),
    ]


def _row(defect):
    place = defect.position
    about = ", ".join(filter(None, [storey_words(place.storey), place.room, place.place])) if place else ""
    where = [place.tag, soft(about)] if place else "–"
    return [str(defect.pk), where, full_stop(defect.description), _remedy(defect), "1", TO_WRITE, TO_WRITE]


def _remedy(defect):
    """What the test asks that found it; nothing is guessed where no test says."""
    result = defect.found_by_result
    if result is None:
        return ["To be proposed:", TO_WRITE * 3]
    return f"Put right and test again: {full_stop(result.test_point.expected)}"


def _end():
    return small(
        "A remedy is what the failed test asks for; a competent person settles on site what is needed; further work "
        "that comes to light is agreed before it is done. Until a defect is put right, what was agreed for meanwhile "
        "stands. Accepted by (name, signature, date): " + TO_WRITE * 4
    )
