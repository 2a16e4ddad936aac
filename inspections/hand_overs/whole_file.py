"""The hand-over file: all of a hand-over as one PDF, with its contents, the register of its documents, and bookmarks.

PDFs are appended sheet by sheet, other files are attached to it; a certificate is both, since its signature is one of
the file that was issued. It is composed once, apart from what people wait for, and kept with its digest.
"""

import hashlib
import json
import logging
import math
import subprocess
import sys
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.utils import timezone

from inspections.hand_overs.collect import put_together
from inspections.hand_overs.front_sheets import front_pdf
from inspections.models import HandOver, HandOverFile
from sites_registry.documents.papers import Made
from sites_registry.documents.typeset import PaperError
from sites_registry.whole_files import NotWhole

logger = logging.getLogger(__name__)
PROGRAM = Path(__file__).with_name("joiner.py")
PATIENCE_S = 300
PDF = "application/pdf"
MOST_ATTACHED_BYTES = 100 * 1024**2


@dataclass(slots=True)
class Part:
    """A file of the hand-over in the whole: appended where it has `sheets`, and `is_attached` where it lies in it."""

    file: HandOverFile
    place: int
    path: str = ""
    sheets: int = 0
    made_on: date | None = None
    number: str = ""
    is_attached: bool = False
    why_not: str = ""
    first_sheet: int = 0

    @property
    def is_ours(self):
        return not self.file.attachment_id


def compose_whole_files():
    """Go on with what was begun, then make the file of each hand-over without one; returns (how many made, failed)."""
    made = failed = 0
    for hand_over in HandOver.objects.filter(handed_over_at=None).order_by("pk"):
        try:
            put_together(hand_over=hand_over, seconds=math.inf, from_the_end=True)
        except Exception:
            logger.exception("%s could not be gone on with. It is tried again.", hand_over)
            failed += 1
    for hand_over in HandOver.objects.without_whole_file().with_people().order_by("pk"):
        try:
            keep_whole_file(hand_over)
            made += 1
        except Exception:  # whatever one lacks, the others are made; it is tried again
            logger.exception("The file of %s could not be made. It is tried again.", hand_over)
            failed += 1
    return made, failed


def keep_whole_file(hand_over):
    """Compose and keep the file unless the whole of it is kept already; one that is torn is put back by the same bytes.

    Raises PaperError, and FileExistsError where what is composed again has other bytes than what was kept.
    """
    if default_storage.is_whole(hand_over.whole_file.name):
        return hand_over
    content, sheets = _composed(hand_over)
    if hand_over.whole_file:
        default_storage.keep(hand_over.whole_file.name, content)
        return hand_over
    digest = hashlib.sha256(content).hexdigest()
    hand_over.whole_file.save(f"{hand_over.pk}/{digest}.pdf", ContentFile(content), save=False)
    kept = hand_over.whole_file.name
    fields = {"whole_sha256": digest, "whole_size_bytes": len(content), "whole_sheets": sheets}
    if not HandOver.objects.filter(pk=hand_over.pk, whole_file="").update(whole_file=kept, **fields):
        default_storage.delete(kept)  # somebody was quicker
    hand_over.refresh_from_db(fields=["whole_file", *fields])
    return hand_over


def file_asked_for(hand_over, asked):
    """The file that was kept; whoever asks before the worker made it, makes it."""
    try:
        keep_whole_file(hand_over)
    except FileExistsError:
        logger.error("The kept file of %s is damaged, and composed again it has other bytes.", hand_over)
    content = default_storage.read_whole(hand_over.whole_file.name)
    day = f"{timezone.localtime(hand_over.handed_over_at):%Y-%m-%d}"
    return Made(content, words=f"hand-over file {hand_over.job.number}", mark=day)


def _composed(hand_over):
    """(bytes, how many sheets)"""
    parts = _parts(hand_over)
    try:
        return _joined(hand_over, parts)
    except PaperError:
        if all(part.is_ours for part in parts if part.sheets):
            raise
        logger.exception("A file that was attached cannot be joined to %s: all of them are attached to it.", hand_over)
        for part in parts:
            if part.sheets and not part.is_ours:
                part.sheets, part.why_not = 0, "cannot be joined"
        return _joined(hand_over, parts)


def _parts(hand_over):
    rows = hand_over.files.put_together().select_related("attachment", "certificate")
    parts = [
        Part(file=row, place=place, number=row.certificate.number if row.certificate_id else "")
        for place, row in enumerate(rows, start=1)
    ]
    for part in parts:
        try:
            default_storage.read_whole(part.file.file.name)
            part.path = default_storage.path(part.file.file.name)
        except NotWhole as error:
            logger.error("%s is not in the file of %s. %s", part.file, hand_over, error)
            part.why_not = "damaged"
    pdfs = [part for part in parts if part.path and part.file.media_type == PDF]
    for part, found in zip(pdfs, _counted(pdfs), strict=True):
        _note(part, found)
    return parts


def _counted(parts):
    """What the joiner says of each; of one that exhausts it, and so of all that were asked with it, nothing."""
    ours, others = [p for p in parts if p.is_ours], [p for p in parts if not p.is_ours]
    found = dict(zip(map(id, ours), json.loads(_asked({"count": [p.path for p in ours]})), strict=True))
    try:
        told = json.loads(_asked({"count": [p.path for p in others]}))
    except PaperError:
        logger.exception("The files that were attached cannot be read.")
        told = [None] * len(others)
    found |= dict(zip(map(id, others), told, strict=True))
    return [found[id(part)] for part in parts]


def _note(part, found):
    if found is None:
        part.why_not = "closed or damaged"
        return
    part.sheets = found["sheets"]
    if part.is_ours:
        part.number = part.number or _number_in(found["title"])
        part.made_on = _day_in(found["made"])


def _number_in(title):
    """That of "title · building · number", as a title block gives it to the file; labels have none."""
    words = title.split(" · ")
    return words[-1] if len(words) > 2 else ""


def _day_in(made):
    """The day of a date as PDF writes it: "D:20261130…"."""
    digits = made.removeprefix("D:")[:8]
    return date(int(digits[:4]), int(digits[4:6]), int(digits[6:])) if len(digits) == 8 and digits.isdigit() else None


def _joined(hand_over, parts):
    _choose_attached(parts)
    with _front(hand_over, parts) as (front, sheets):
        asked = {
            "front": front,
            "parts": [
                {
                    "path": part.path,
                    "title": part.file.title,
                    "folder": part.file.get_folder_display(),
                    "is_ours": part.is_ours,
                }
                for part in parts
                if part.sheets
            ],
            "attached": [
                {
                    "path": part.path,
                    "name": f"{part.place:03} {part.file.file_name}",
                    "media_type": part.file.media_type,
                    "words": part.file.title,
                }
                for part in parts
                if part.is_attached
            ],
        }
        content = _asked(asked)
    if not content.startswith(b"%PDF"):
        raise PaperError("The joined file is no PDF.")
    return content, sheets


def _choose_attached(parts):
    room = MOST_ATTACHED_BYTES
    for part in parts:
        wanted = bool(part.path) and (not part.sheets or part.file.certificate_id is not None)
        part.is_attached = wanted and part.file.size_bytes <= room
        if part.is_attached:
            room -= part.file.size_bytes
        elif wanted and not part.sheets:
            part.why_not = "too large"


@contextmanager
def _front(hand_over, parts):
    """Path of the first sheets, and how many sheets the whole has: they say on which sheet each part begins."""
    with TemporaryDirectory(prefix="hand-over-") as folder:
        path, front = Path(folder) / "front.pdf", 1
        for _ in range(4):
            sheet = front + 1
            for part in parts:
                part.first_sheet = sheet if part.sheets else 0
                sheet += part.sheets
            path.write_bytes(front_pdf(hand_over, parts, sheets=sheet - 1))
            (found,) = json.loads(_asked({"count": [str(path)]}))
            if found["sheets"] == front:
                break
            front = found["sheets"]
        yield str(path), sheet - 1


def _asked(asked):
    """What the joiner answers, in a process of its own. Raises PaperError."""
    try:
        done = subprocess.run(  # noqa: S603  our own program
            [sys.executable, "-I", str(PROGRAM)],
            input=json.dumps(asked).encode(),
            capture_output=True,
            check=False,
            timeout=PATIENCE_S,
            env={},
        )
    except subprocess.TimeoutExpired as error:
        raise PaperError(f"The file was not joined within {PATIENCE_S} s.") from error
    if done.returncode:
        raise PaperError(done.stderr.decode(errors="replace").strip()[-2_000:] or f"ended with {done.returncode}")
    return done.stdout
