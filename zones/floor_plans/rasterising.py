"""The picture of an uploaded plan: checked by content, made by `raster.py` in a process that may fail alone."""

import json
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

from sites_registry.services.refusals import Refused
from zones.files.file_types import NAMES, type_of

PROGRAM = Path(__file__).with_name("raster.py")
PATIENCE_S = 60  # the process has half of it as time of the processor
MEDIA_TYPES = {"pdf": "application/pdf", "png": "image/png", "jpeg": "image/jpeg", "webp": "image/webp"}
REASONS = {
    "password": ("file", "The PDF is locked with a password. Save a copy without one, and choose that."),
    "damaged": ("file", "The file cannot be read: it is damaged. Save it again and choose it again."),
    "pages": ("file", "The PDF has {pages} pages; from 1 to 500 are possible. Save the page of the plan by itself."),
    "which_page": ("page_number", "The PDF has {pages} pages. Say which of them is the plan, from 1 to {pages}."),
    "no_such_page": ("page_number", "The PDF has {pages} pages; there is no page {page}. Say one from 1 to {pages}."),
    "too_much": (
        "file",
        "The file takes too long or too much memory to draw. Save the plan simpler, or as a picture.",
    ),
    "pixels": ("file", "The picture is larger than {most} million pixels. Save it smaller."),
}


class PlanRefused(Refused):
    """The plan is not kept, or a place on it."""


@dataclass(frozen=True, slots=True)
class PlanPicture:
    """What is shown of a plan; `source_type` is the media type of what was uploaded."""

    content: bytes
    media_type: str
    width_px: int
    height_px: int
    pages: int | None
    source_type: str


def plan_picture(content, *, page=None):
    """The picture of a PDF page (counted from 1) or of a picture. Raises PlanRefused."""
    kind = type_of(content)
    if kind not in MEDIA_TYPES:
        raise PlanRefused(f"The file is {NAMES[kind]} by its content. Choose a PDF, PNG, JPEG or WebP.", field="file")
    if page and kind != "pdf":
        raise PlanRefused(f"A picture has no pages: leave page {page} empty, or choose the PDF.", field="page_number")
    told, picture = _drawn(kind, content, page)
    if reason := told.get("refused"):
        field, sentence = REASONS[reason]
        raise PlanRefused(sentence.format(page=page, **told), field=field)
    return PlanPicture(content=picture, source_type=MEDIA_TYPES[kind], **told)


def _drawn(kind, content, page):
    command = [sys.executable, "-I", str(PROGRAM), kind, str(page or 0)]
    try:
        done = subprocess.run(command, input=content, capture_output=True, timeout=PATIENCE_S)  # noqa: S603
    except subprocess.TimeoutExpired:
        return {"refused": "too_much"}, b""
    if done.returncode < 0:  # ended by a signal: at a limit, or the library broke
        return {"refused": "too_much"}, b""
    if done.returncode:  # ours, not the file's
        raise RuntimeError(f"The picture of a plan could not be drawn: {done.stderr.decode(errors='replace')[-2000:]}")
    head, _, picture = done.stdout.partition(b"\n")
    return json.loads(head), picture
