"""Rows as CSV (RFC 4180, UTF-8) and .xlsx (ISO/IEC 29500) that open harmlessly in any spreadsheet program.

The only writer of spreadsheets; what is given out goes through `csv_of` or `workbook_of`, and so through `neutral`.
"""

import csv
import io
import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from itertools import chain, islice

from django.http import Http404
from openpyxl import Workbook
from openpyxl.cell import WriteOnlyCell
from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE
from openpyxl.styles import Alignment, Font
from openpyxl.utils import get_column_letter

from sites_registry.downloads import download

CSV_TYPE = "text/csv; charset=utf-8"
XLSX_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
MOST_IN_A_TITLE = 31  # characters that a program takes as the name of a sheet
ROWS_MEASURED = 300
LONG_TEXT = 18

_FORMULA_START = re.compile(r"'*[=+\-@\t\r]")
_NEUTRAL_START = re.compile(r"'+[=+\-@\t\r]")


def neutral(value):
    """A cell that no spreadsheet program takes for a formula: an apostrophe before a leading = + - @ tab CR.

    Characters that a cell cannot hold are left out. Other values than texts pass unchanged.
    """
    if not isinstance(value, str):
        return "" if value is None else value
    text = ILLEGAL_CHARACTERS_RE.sub("", value)
    return f"'{text}" if _FORMULA_START.match(text) else text


def not_neutral(text: str) -> str:
    """The text that `neutral` was given, for a table that comes back; other texts as they are."""
    return text[1:] if _NEUTRAL_START.match(text) else text


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """One sheet of a workbook.

    `facts` are (label, value) above the table; `numbers` are the columns whose texts of digits become numbers; `widths`
    are characters by heading, else the first rows are measured, up to `widest`; `is_roomy` wraps long texts and aligns
    all at the top; `freeze` is the first cell that scrolls.
    """

    rows: Iterable
    headings: tuple = ()
    title: str = "Sheet"
    facts: tuple = ()
    numbers: tuple = ()
    widths: dict = field(default_factory=dict)
    usual_width: int = 0
    widest: int = 48
    freeze: str | None = None
    is_roomy: bool = False


def csv_of(headings, rows):
    """The bytes of a CSV; the mark at its start makes spreadsheet programs read it as UTF-8."""
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    for row in chain([headings], rows):
        writer.writerow([neutral(value.isoformat() if isinstance(value, date) else value) for value in row])
    return b"\xef\xbb\xbf" + text.getvalue().encode("utf-8", "replace")


def workbook_of(*sheets):
    """The bytes of a workbook."""
    workbook = Workbook(write_only=True)
    for sheet in sheets:
        _write(workbook.create_sheet(sheet.title[:MOST_IN_A_TITLE]), sheet)
    content = io.BytesIO()
    workbook.save(content)
    return content.getvalue()


def table_response(*, name, file_format, headings, rows):
    """A download of `rows` under `headings`; `file_format` is "csv" or "xlsx", any other is 404."""
    if file_format == "csv":
        content, media_type = csv_of(headings, rows), CSV_TYPE
    elif file_format == "xlsx":
        content = workbook_of(Sheet(headings=tuple(headings), rows=rows, widest=60, freeze="A2"))
        media_type = XLSX_TYPE
    else:
        raise Http404
    return download(content, media_type, f"{name}.{file_format}")


def file_name_of(*parts):
    """A file name that a person would give: parts joined by underscores, words by hyphens."""
    return "_".join(re.sub(r"[^\w.-]+", "-", str(part)).strip("-") for part in parts if part)


def _write(target, sheet):
    rows = iter(sheet.rows)
    first = list(islice(rows, ROWS_MEASURED))
    for place, width in enumerate(_widths(sheet, first), start=1):
        target.column_dimensions[get_column_letter(place)].width = width
    target.freeze_panes = sheet.freeze
    for fact in sheet.facts:
        target.append([_cell(target, str(text)) for text in fact])
    if sheet.facts:
        target.append([])
    if any(sheet.headings):
        target.append([_heading(target, text) for text in sheet.headings])
    for row in chain(first, rows):
        target.append([_cell(target, value, place in sheet.numbers, sheet.is_roomy) for place, value in enumerate(row)])


def _heading(target, text):
    cell = WriteOnlyCell(target, neutral(text))
    cell.font, cell.alignment = Font(bold=True), Alignment(vertical="top")
    return cell


def _cell(target, value, is_number=False, is_roomy=False):
    # Digits only, and no leading zero that a number would lose.
    if is_number and isinstance(value, str) and value.isascii() and value.isdigit() and str(int(value)) == value:
        return int(value)
    is_text = isinstance(value, str)
    looks_like_an_error = is_text and value.startswith("#")  # "#N/A" would become an error value
    if not (is_roomy or looks_like_an_error):
        return neutral(value)
    cell = WriteOnlyCell(target, neutral(value))
    if looks_like_an_error:
        cell.data_type = "s"
    if is_roomy:
        cell.alignment = Alignment(vertical="top", wrap_text=is_text and len(value) > LONG_TEXT)
    return cell


def _widths(sheet, rows):
    """Of the columns, in characters."""
    if sheet.usual_width:
        return [sheet.widths.get(heading, sheet.usual_width) for heading in sheet.headings]
    measured = [sheet.headings, *rows]
    longest = (max(len(str(neutral(row[place]))) for row in measured) for place in range(len(sheet.headings)))
    return [min(length + 2, sheet.widest) for length in longest]
