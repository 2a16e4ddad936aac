"""Sheets of labels: the same SVG on screen and on paper, A4 without margins, in exact size."""

from dataclasses import dataclass

import segno
from django.conf import settings
from django.template.loader import render_to_string

from sites_registry.documents.base import render_plain_pdf
from sites_registry.documents.papers import Made, NothingToShow
from zones.engineering.drawings.label_sheets import STOCKS, LabelStock, LabelText, code_module_mm, label_sheets
from zones.labels.records import chosen_cables, chosen_devices, labels_of_cables, labels_of_cores, labels_of_devices
from zones.labels.words import CHOICES, ENGLISH, LabelWords
from zones.models.languages import codes_in

# Above it one file takes longer than a request has; the labels are then printed in parts.
MOST_LABELS = 2_000


@dataclass(frozen=True)
class LabelSheets:
    """The labels that a form chose, drawn; `is_without_code` where a code would be too fine to be read."""

    building: object
    stock: LabelStock
    texts: list
    sheets: list
    is_without_code: bool

    @property
    def count(self):
        return len(self.texts)


def device_sheets_of(job):
    """The labels of all devices as they are handed over: on the common stock, in the languages of the job's labels,
    English beside another. None where no device is recorded, or more than one file holds."""
    languages = [code for code in codes_in(job.label_language) if code in dict(CHOICES)]
    first, second = [*dict.fromkeys([*languages, ENGLISH]), ""][:2]
    chosen = {
        "what": "devices",
        "panel": None,
        "zone": None,
        "storey": "",
        "tags": [],
        "language": first,
        "second_language": second,
        "measures": STOCKS["3x8"],
        "start": 1,
        "outlines": False,
    }
    records = records_of(job.building, chosen)
    return sheets_of(job.building, records, chosen) if 0 < len(records) <= MOST_LABELS else None


def records_of(building, chosen):
    """Labels as records, by the cleaned data of a LabelSheetForm."""
    words = LabelWords(chosen["language"], chosen["second_language"])
    if chosen["what"] == "devices":
        return labels_of_devices(chosen_devices(building, chosen), words)
    cables = chosen_cables(building, chosen)
    return labels_of_cables(cables, words) if chosen["what"] == "cables" else labels_of_cores(cables, words)


def sheets_of(building, records, chosen, *, most=None):
    """The labels drawn; at most `most` sheets of them."""
    stock, start = chosen["measures"], chosen["start"]
    if most is not None:
        records = records[: max(0, most * stock.per_sheet - (start - 1))]
    codes: dict[str, tuple[bytes, ...]] = {}
    texts = []
    for record in records:
        if record.address not in codes:
            codes[record.address] = code_of(record.address)
        texts.append(LabelText(record.tag, (*record.lines, building.name), codes[record.address], record.needs_code))
    too_fine = any(not code_module_mm(stock, len(text.code)) for text in texts)
    sheets = label_sheets(texts, stock, start=start, has_outlines=chosen["outlines"])
    return LabelSheets(building, stock, texts, sheets, too_fine)


def code_of(address):
    """The QR code (ISO/IEC 18004, correction M) of a page's address, as rows of 0 and 1 without a border."""
    return tuple(bytes(row) for row in segno.make(settings.PUBLIC_URL + address, error="m", micro=False).matrix)


def labels_pdf(labels, *, now):
    """A4 pages without margins; nothing is scaled."""
    pictures = {f"sheet-{at}": text.encode() for at, text in enumerate(labels.sheets, start=1)}
    html = render_to_string(
        "zones/labels/labels_paper.html",
        {
            "building": labels.building,
            "created_at": now,
            "labels": labels,
            "sources": [f"picture:{name}" for name in pictures],
        },
    )
    return render_plain_pdf(html, identifier=f"{labels.building.slug} labels {now.isoformat()}", pictures=pictures)


def device_labels_asked_for(job, asked):
    """Of all devices, for a hand-over."""
    labels = device_sheets_of(job)
    if labels is None:
        raise NothingToShow
    return Made(labels_pdf(labels, now=asked.now))
