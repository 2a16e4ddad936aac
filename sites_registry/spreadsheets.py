"""Rows as CSV (RFC 4180, UTF-8) and .xlsx (ISO/IEC 29500) that open harmlessly in any spreadsheet program."""

import csv
import io
import re
from datetime import date

from django.http import Http404, HttpResponse
from django.utils.http import content_disposition_header
from openpyxl import Workbook
from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE
from openpyxl.styles import Font
from openpyxl.utils import get_column_letter

MEDIA_TYPES = {
    "csv": "text/csv; charset=utf-8",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}


def neutral(value):
    """A cell that no spreadsheet program takes for a formula; other values than texts pass unchanged."""
    if not isinstance(value, str):
        return "" if value is None else value
    text = ILLEGAL_CHARACTERS_RE.sub("", value)
    return f"'{text}" if text.startswith(("=", "+", "-", "@", "\t", "\r")) else text


def file_name_of(*parts):
    """A file name that a person would give: parts joined by underscores, words by hyphens."""
    return "_".join(re.sub(r"[^\w.-]+", "-", str(part)).strip("-") for part in parts if part)


def sheet_response(*, name, file_format, head, rows):
    """A download of `rows` under `head`; `file_format` is "csv" or "xlsx", any other is 404."""
    if file_format not in MEDIA_TYPES:
        raise Http404
    content = (_csv if file_format == "csv" else _xlsx)(head, rows)
    response = HttpResponse(content, content_type=MEDIA_TYPES[file_format])
    response["Content-Disposition"] = content_disposition_header(True, f"{name}.{file_format}")
    return response


def _csv(head, rows):
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(head)
    writer.writerows(
        [neutral(value.isoformat() if isinstance(value, date) else value) for value in row] for row in rows
    )
    return text.getvalue().encode("utf-8-sig")  # the mark makes spreadsheet programs read it as UTF-8


def _xlsx(head, rows):
    book = Workbook()
    sheet = book.active
    sheet.append(list(head))
    widths = [len(title) for title in head]
    for row in rows:
        cells = [neutral(value) for value in row]
        sheet.append(cells)
        widths = [max(width, len(str(cell))) for width, cell in zip(widths, cells, strict=True)]
    for place, width in enumerate(widths, start=1):
        sheet.cell(1, place).font = Font(bold=True)
        sheet.column_dimensions[get_column_letter(place)].width = min(width + 2, 60)
    sheet.freeze_panes = "A2"
    content = io.BytesIO()
    book.save(content)
    return content.getvalue()
