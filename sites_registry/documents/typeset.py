"""Paper with long tables: a .typ template and plain data become a tagged PDF/A-3a with our title block.

WeasyPrint (`base.py`) is for what flows; a table of a thousand rows takes it twenty times as long. Both read the same
measures (`measures.py`) and the same title block. Text goes in as data, never as markup.
"""

import json
import shutil
import subprocess
import sys
from dataclasses import asdict, dataclass
from datetime import datetime
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from django.conf import settings
from django.utils import timezone
from fontTools.ttLib import TTFont

from sites_registry.documents.base import LOGO, units_kept
from sites_registry.documents.measures import MEASURES

PROGRAM = Path(__file__).with_name("typesetter.py")
TEMPLATES = settings.BASE_DIR / "templates"
VENDOR = settings.BASE_DIR / "sites_registry" / "static" / "vendor"
PATIENCE_S = 120  # the process has half of it as time of the processor
NOT_SET = "\N{WHITE SQUARE}"  # in place of a sign that no typeface of paper has
BREAK = "\N{ZERO WIDTH SPACE}"
LONGEST_WORD = 24  # fits what has no width of its own
INSET_MM, LETTER_MM = 3, 1.85  # of a cell; a letter of code in 9 pt


@dataclass(frozen=True)
class Column:
    """A column of a table: without a width it takes what is left; `look` is "" · code · number."""

    head: str
    width_mm: float | None = None
    look: str = ""


def table_of(columns, *groups):
    """A table as sheet.typ reads it. Each group is ([title, what follows it] or None, rows of cells).

    A cell is text, text with a look ({"look": code · strong · soft · small, "text"}), or a list of those, a line each.
    """
    columns = list(columns)
    fits = [LONGEST_WORD if c.width_mm is None else int((c.width_mm - INSET_MM) / LETTER_MM) for c in columns]
    return {
        "columns": [asdict(column) for column in columns],
        "groups": [
            {"title": title, "rows": [[breakable(c, n) for c, n in zip(row, fits, strict=True)] for row in rows]}
            for title, rows in groups
        ],
    }


class PaperError(Exception):
    """The paper could not be set; the message is the compiler's."""


def typeset_pdf(template_name, data, *, title_block, created_at=None, pictures=None, attachments=()):
    """The bytes of a tagged PDF/A-3a.

    Args:     template_name: such as "documents/schedule_paper.typ", which imports /documents/sheet.typ; data:
              what it reads as `data`, of text, numbers, lists and dicts; title_block: a TitleBlock; created_at: aware
              datetime for the file's metadata, default midnight of `issued_on`; pictures: name → bytes of SVG, PNG or
              JPEG, shown by `picture("name", …)`; attachments: [{"name", "text", "description"}].
    Raises:   PaperError: the template is wrong, or the paper takes more time or memory than it may.
    """
    created_at = created_at or datetime.combine(title_block.issued_on, datetime.min.time()).astimezone()
    given = settable({"measures": MEASURES, "sheet": _sheet(title_block, created_at), "data": data})
    pictures = {**(pictures or {}), **({LOGO: title_block.logo} if title_block.logo else {})}
    given["attachments"] = list(attachments)  # as they are, to the letter
    with TemporaryDirectory(prefix="paper-") as folder:
        root = _with_pictures(Path(folder), pictures) if pictures else TEMPLATES
        asked = {
            "template": str(root / template_name),
            "root": str(root),
            "fonts": font_folders(),
            "given": json.dumps(given, ensure_ascii=False),
        }
        return _run(json.dumps(asked))


def _sheet(title_block, created_at):
    local = timezone.localtime(created_at)
    return {
        "landscape": title_block.landscape,
        "stamp": title_block.stamp,
        "owner": title_block.owner,
        "has_logo": bool(title_block.logo),
        "note": title_block.note,
        "document_title": title_block.document_title,
        "description": title_block.description,
        "revisions": _index_of(title_block.revisions),
        "columns": title_block.columns,
        "cells": breakable([asdict(cell) for cell in title_block.cells]),
        "created": {part: getattr(local, part) for part in ("year", "month", "day", "hour", "minute", "second")},
    }


def _index_of(revisions):
    """The revision index as a table of the sheet, and the words for those left out; none without a revision."""
    if not (revisions and revisions.rows):
        return None
    columns = (Column("Revision", 16), Column("Date", 24), Column("By", 34), Column("Changes as installed"))
    rows = [[row.number, row.day, row.by, row.words] for row in revisions.rows]
    return {**table_of(columns, (None, rows)), "older": revisions.older}


def _with_pictures(folder, pictures):
    """A root that holds our templates and the pictures; the compiler reads nothing outside its root."""
    for template in TEMPLATES.rglob("*.typ"):  # copies: it follows no link out of its root
        copy = folder / template.relative_to(TEMPLATES)
        copy.parent.mkdir(parents=True, exist_ok=True)
        copy.write_bytes(template.read_bytes())
    (folder / "pictures").mkdir()
    for name, content in pictures.items():
        (folder / "pictures" / name).write_bytes(content)
    return folder


def _run(asked):
    try:
        done = subprocess.run(  # noqa: S603  our own program
            [sys.executable, "-I", str(PROGRAM)],
            input=asked.encode(),
            capture_output=True,
            check=False,
            timeout=PATIENCE_S,
            env={},
        )
    except subprocess.TimeoutExpired as error:
        raise PaperError(f"The paper was not set within {PATIENCE_S} s.") from error
    if done.returncode or not done.stdout.startswith(b"%PDF"):
        raise PaperError(done.stderr.decode(errors="replace").strip()[-2_000:] or f"ended with {done.returncode}")
    return done.stdout


def settable(value):
    """The same data as it can be set: units kept with their numbers.

    Each sign that no typeface has becomes an empty square: left alone it would end the paper.
    """
    if isinstance(value, str):
        value = units_kept(value)
        return value if signs().issuperset(value) else "".join(c if c in signs() else NOT_SET for c in value)
    if isinstance(value, dict):
        return {key: settable(one) for key, one in value.items()}
    return [settable(one) for one in value] if isinstance(value, list | tuple) else value


def breakable(value, longest=LONGEST_WORD):
    """The same texts with words too long for a cell open to be broken anywhere, as print.css allows."""
    if isinstance(value, str):
        if len(value) <= longest or max(map(len, value.split(" "))) <= longest:
            return value
        return " ".join(word if len(word) <= longest else BREAK.join(word) for word in value.split(" "))
    if isinstance(value, dict):
        return {key: breakable(one, longest) for key, one in value.items()}
    return [breakable(one, longest) for one in value] if isinstance(value, list | tuple) else value


@cache
def font_folders():
    """Folders of the vendored typefaces of paper, and of that for signs, which the system has (RUN_LIBRARIES)."""
    found = subprocess.run(  # noqa: S603  a fixed program
        [shutil.which("fc-match") or "fc-match", "--format=%{file}", MEASURES["font_signs"]],
        capture_output=True,
        text=True,
        check=True,
    )
    vendored = sorted({str(path.parent) for path in VENDOR.glob("*/*.ttf")})
    return [*vendored, str(Path(found.stdout).parent)]


@cache
def signs():
    """Every sign that can be set, and those that show nothing."""
    regular = [next(VENDOR.glob(f"*/{name}-merged-400.ttf")) for name in ("public-sans", "source-code-pro")]
    regular.append(Path(font_folders()[-1]) / "DejaVuSans.ttf")
    known = {"\n", "\t", BREAK}
    for path in regular:
        with TTFont(path, lazy=True) as font:
            known.update(map(chr, font.getBestCmap()))
    return frozenset(known)
