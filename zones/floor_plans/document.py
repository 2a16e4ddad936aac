"""Floor plans on paper: the zone plan and the device plan of a building, an A3 sheet for each storey with a plan."""

import io
from itertools import groupby

from django.core.files.storage import default_storage
from django.urls import reverse
from PIL import Image

from sites_registry.documents.base import TitleBlock, render_pdf
from sites_registry.documents.papers import Made, SeePage
from sites_registry.words import counted
from zones.as_installed.on_paper import revisions_of
from zones.engineering.drawings.floor_plan_sheets import PlanMark, PlanSheet, device_plan_svg, zone_plan_svg
from zones.engineering.drawings.sheet_frame import DRAWING_MM, frame_svg
from zones.floor_plans.records import plan_record, storeys_of
from zones.models import DeviceKind

FINEST_DPI = 300  # the lettering of an A1 drawing is still read on A3
HULL = "A hatched area is the hull of the positions of a zone, not the limit of the fire compartment."
WITHOUT_ZONE = "none"


def device_plan_asked_for(building, asked):
    """Every device at its place, with its tag."""
    return _made(building, asked, "Device plan", "device-plan", _device_svg)


def zone_plan_asked_for(building, asked):
    """Every zone hatched round its positions."""
    return _made(building, asked, "Zone plan", "zone-plan", _zone_svg)


def _made(building, asked, title, slug, draw):
    rows = storeys_of(building)
    records = [plan_record(row.plan) for row in rows if row.plan]
    list_url = reverse("floor-plan-list", args=[building.slug])
    if not records:
        raise SeePage(list_url, "No floor plan of this building is kept yet. Add one, then it can be printed.")
    pictures, sheets = {"frame": frame_svg().encode()}, []
    for number, record in enumerate(records, start=1):
        try:
            pictures[f"plan-{number}"] = _printable(record.plan)
        except FileNotFoundError as error:  # the data folder was restored without its files
            raise SeePage(list_url, f"The picture of {record.plan} is lost. Add its drawing again.") from error
        pictures[f"sheet-{number}"] = draw(_sheet(record, f"picture:plan-{number}"), record).encode()
        sheets.append({"source": f"picture:sheet-{number}", "record": record, "words": _words(record)})
    title_block = TitleBlock.as_of(
        asked.now,
        building,
        title=title,
        number=f"{building.slug}/{slug}",
        prepared_by=asked.by,
        address=list_url,
        landscape=True,
        revisions=revisions_of(building, asked.now),
    )
    context = {
        "title": title,
        "sheets": sheets,
        "hull": HULL if slug == "zone-plan" else "",
        "without_place": [record for record in records if record.unplaced],
        "without_plan": [row for row in rows if not row.plan],
    }
    content = render_pdf(
        "zones/floor_plans/floor_plan_paper.html",
        context,
        title_block=title_block,
        created_at=asked.now,
        pictures=pictures,
        pictures_dpi=FINEST_DPI,
    )
    return Made(content)


def _printable(plan):
    """The picture of a plan as a PDF holds it small: what was stored with a loss, as a scan is, becomes a JPEG."""
    content = default_storage.read_whole(plan.picture.name)
    if plan.picture_type != "image/webp":
        return content
    written = io.BytesIO()
    Image.open(io.BytesIO(content), formats=["WEBP"]).convert("RGB").save(written, "JPEG", quality=85)
    return written.getvalue()


def _sheet(record, picture):
    plan = record.plan
    marks = tuple(_mark_of(place) for place in record.placed)
    return PlanSheet(*DRAWING_MM, plan.width_px, plan.height_px, picture, marks)


def _mark_of(place):
    position, facts = place.position, place.position.facts
    zone = str(position.smoke_zone_id) if position.smoke_zone_id else WITHOUT_ZONE
    to_confirm = place.confirmed_at is None
    return PlanMark(
        place.x,
        place.y,
        position.tag,
        facts.value,
        facts.tag_prefix,
        facts.symbol.shape,
        zone,
        is_to_confirm=to_confirm,
    )


def _device_svg(sheet, record):
    counts = {kind: sum(mark.kind == kind for mark in sheet.marks) for kind in DeviceKind}
    kinds = [
        (kind.value, kind.facts.tag_prefix, kind.facts.symbol.shape, f"{kind.label} · {count}")
        for kind, count in counts.items()
        if count
    ]
    return device_plan_svg(sheet, kinds)


def _zone_svg(sheet, record):
    ordered = sorted(
        (place.position for place in record.placed if place.position.smoke_zone), key=lambda one: one.smoke_zone.number
    )
    zones = [
        (str(zone.pk), str(zone.number), f"Zone {zone.number} · {zone.name} · {len(list(group))}")
        for zone, group in groupby(ordered, key=lambda one: one.smoke_zone)
    ]
    return zone_plan_svg(sheet, zones)


def _words(record):
    """What stands above a sheet: which plan, and what it does not show."""
    said = [f"{record.words}."]
    if record.unplaced:
        said.append(f"{counted(len(record.unplaced), 'positions')} without a place, listed on the last sheet.")
    if record.to_confirm:
        said.append(
            f"{counted(len(record.to_confirm), 'places')} (▲ on the device plan) carried over from a revision before, "
            "not confirmed on this one."
        )
    if without_zone := sum(place.position.smoke_zone_id is None for place in record.placed):
        said.append(f"{counted(without_zone, 'positions')} without a zone.")
    return " ".join(said)
