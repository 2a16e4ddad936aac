"""The calibration list of the firm: every instrument in use, what it measures and until when its calibration holds."""

from django.conf import settings
from django.urls import reverse
from django.utils import timezone
from django.utils.formats import date_format

from inspections.instruments.calibration import calibration_on
from sites_registry.documents.base import TitleBlock
from sites_registry.documents.blocks import small, strong, table, words
from sites_registry.documents.typeset import Column, typeset_pdf
from sites_registry.models import Firm, Instrument
from sites_registry.words import counted, plain_number

COLUMNS = (
    Column("Number", 26, "code"),
    Column("What it is", 48),
    Column("Serial", 38, "code"),
    Column("Measures up to"),
    Column("Calibrated on", 28),
    Column("Calibration on this day", 62),
    Column("Evidence", 20, "number"),
)


def calibration_list_pdf(person, now):
    """As PDF; what is overdue or not known is marked and counted at the top. Two queries and that of the firm."""
    day = timezone.localdate(now)
    firm = Firm.current()
    rows = [
        _row(one, day, firm) for one in Instrument.objects.visible_to(person).in_use().prefetch_related("attachments")
    ]
    wrong = sum(is_wrong for is_wrong, _cells in rows)
    address = reverse("instrument-list")
    title_block = TitleBlock(
        title="Calibration list",
        number=f"calibration-list/{day}",
        building="–",
        client="–",
        issued_on=day,
        revision=f"as of {timezone.localtime(now):%-d %b %Y, %H:%M}",
        prepared_by=person.full_name,
        address=settings.PUBLIC_URL + address,
        landscape=True,
        firm=firm,
    )
    data = {
        "heading": "Calibration list",
        "lead": f"{counted(len(rows), 'instruments')} in use, {wrong} without a calibration that holds on this day",
        "blocks": [
            small(
                "Evidence counts the files kept with an instrument. ▲: a calibration that expired or is not on record."
            ),
            table(COLUMNS, (None, [cells for _is_wrong, cells in rows]))
            if rows
            else words("No instrument is recorded."),
        ],
    }
    return typeset_pdf("documents/blocks_paper.typ", data, title_block=title_block, created_at=now)


def _row(instrument, day, firm):
    """(whether no calibration holds, cells)"""
    state, said = calibration_on(instrument, day, firm.due_soon_days)
    is_wrong = state in ("overdue", "not_known")
    files = sum(one.withdrawn_at is None for one in instrument.attachments.all())
    return is_wrong, [
        instrument.own_number,
        instrument.name,
        instrument.serial or "–",
        ", ".join(f"{plain_number(up_to)} {unit}" for unit, up_to in instrument.ranges) or "not recorded",
        date_format(instrument.calibrated_on, "j M Y") if instrument.calibrated_on else "not recorded",
        strong(f"▲ {said}") if is_wrong else said,
        str(files),
    ]
