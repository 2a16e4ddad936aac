"""First sheets of a hand-over file: what it is of, the register of its documents, what was not there, the receipt."""

from itertools import groupby

from django.conf import settings
from django.utils import timezone
from django.utils.formats import date_format

from inspections.hand_overs.joiner import PART_LINK
from sites_registry.documents.base import TitleBlock
from sites_registry.documents.blocks import bullets, code, facts, heading, link, small, soft, table, together, words
from sites_registry.documents.typeset import Column, typeset_pdf
from sites_registry.words import counted

COLUMNS = (
    Column("No.", 11),
    Column("Document"),
    Column("Document number", 64),
    Column("Revision", 28),
    Column("Date", 24),
    Column("Sheets", 14, "number"),
    Column("From sheet", 17, "number"),
    Column("SHA-256, first 16 digits", 36, "code"),
)
RECEIPT = (
    Column("Received by (name, in capitals)"),
    Column("For (firm, capacity)", 66),
    Column("Signature", 66),
    Column("Date", 34),
)


def front_pdf(hand_over, parts, *, sheets):
    """parts: those of `whole_file.py`, with the sheet on which each begins; sheets: how many the whole has."""
    title_block = TitleBlock.as_of(
        hand_over.handed_over_at,
        hand_over.building,
        title="Hand-over file",
        subtitle=hand_over.job.number,
        number=f"hand-over-file-{hand_over.pk}",
        prepared_by=hand_over.handed_over_by,
        address=hand_over.get_absolute_url(),
        landscape=True,
    )
    data = {
        "heading": "Hand-over file",
        "lead": f"{hand_over.building.name} · {counted(len(parts), 'documents')} · {counted(sheets, 'sheets')}",
        "blocks": [_facts(hand_over), *_register(parts), *_missing(hand_over), _receipt(hand_over), *_notes(parts)],
    }
    return typeset_pdf("documents/blocks_paper.typ", data, title_block=title_block, created_at=hand_over.handed_over_at)


def _facts(hand_over):
    building, given = hand_over.building, timezone.localtime(hand_over.handed_over_at)
    return facts(
        ("Building", ", ".join([building.name, *building.address.split("\n")])),
        ("Client", building.client.name),
        ("Job", f"{hand_over.job}, {hand_over.job.get_kind_display()}"),
        ("Handed over by", f"{hand_over.handed_over_by}, {date_format(given, 'j M Y, H:i')}"),
        ("To", f"{hand_over.to}, building manager"),
        *([("Note", hand_over.note)] if hand_over.note else []),
    )


def _register(parts):
    appended = [part for part in parts if part.sheets]
    among_sheets = {id(part): number for number, part in enumerate(appended)}
    groups = [
        ([label, ""], [_row(part, among_sheets.get(id(part))) for part in group])
        for label, group in groupby(parts, key=lambda part: part.file.get_folder_display())
    ]
    if not groups:
        return [heading("Contents and register of documents"), words("There was nothing to hand over.")]
    return [heading("Contents and register of documents"), table(COLUMNS, *groups)]


def _row(part, linked):
    row = part.file
    title = row.title if linked is None else link(row.title, to=f"{PART_LINK}{linked}")
    where = str(part.first_sheet) if part.sheets else "attached" if part.is_attached else ""
    about = [row.file_name, *([row.language_words] if row.language else []), *_also(part)]
    return [
        str(part.place),
        [title, soft(" · ".join(about))],
        code(part.number) if part.number else "–",
        _revision(part),
        date_format(part.made_on, "j M Y") if part.made_on else "–",
        str(part.sheets or "–"),
        where or "–",
        row.sha256[:16],
    ]


def _also(part):
    """What the columns do not say: that it is attached as well, or why it is no part of the sheets."""
    if part.sheets and part.is_attached:
        return ["also attached, with its signature"]
    if part.is_attached and part.why_not:
        return [f"attached: {part.why_not}"]
    return [f"{part.why_not}: only in the register"] if part.why_not else []


def _revision(part):
    if part.file.certificate_id:
        return "as issued"
    return "as of that day" if part.is_ours else "not stated"


def _missing(hand_over):
    if not hand_over.missing:
        return [heading("Not there when it was handed over"), words("Nothing that the register asks for was missing.")]
    return [heading("Not there when it was handed over"), bullets(hand_over.missing)]


def _receipt(hand_over):
    address = settings.PUBLIC_URL + hand_over.get_absolute_url()
    return together(
        heading("Receipt"),
        words(f"Confirmed by the recipient in the register, where name and day stand, or here by hand: {address}"),
        table(RECEIPT, (None, [[["\N{NO-BREAK SPACE}"] * 3, "", "", ""]])),
    )


def _notes(parts):
    tags = (
        "Each document is tagged for reading aloud."
        if all(part.is_ours for part in parts if part.sheets)
        else "Documents that the register composed are tagged for reading aloud; those of others are as they came, "
        "so that the whole is no PDF/A."
    )
    return [
        small(
            "The sheets of a document bear its own title block and numbers; From sheet counts those of this file. "
            "A digest tells whether a document is the one that was handed over. "
            f"{tags} What a hand-over needs is common practice; the local code and the contract prevail."
        )
    ]
