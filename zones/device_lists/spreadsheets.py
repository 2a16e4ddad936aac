"""Rows of a .xlsx file (ISO/IEC 29500), read without trusting it: sizes, entities, macros, formulas, merged cells."""

import io
import re
import warnings
import zipfile
from datetime import date, datetime, time

from openpyxl import load_workbook
from openpyxl.utils import range_boundaries

from zones.device_lists.cells import Unreadable
from zones.device_lists.sheets import COLUMN_LIMIT, NotReadable, Sheet

UNPACKED_LIMIT = 200 * 1024 * 1024
SHEET_PART_LIMIT = 80 * 1024 * 1024
# Real sheets pack to a tenth or a thirtieth; what packs better than this and is large is meant to fill the memory.
RATIO_LIMIT = 300


def read_spreadsheet(shown, content):
    """The sheets that hold a table. Raises NotReadable."""
    try:
        parts = _look_inside(shown, content)
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # openpyxl tells of features that it passes over
            return _read(content, parts)
    except NotReadable:
        raise
    except Exception as error:
        # A damaged workbook fails in many ways deep inside the library; all mean the same to the person.
        raise NotReadable(
            f"{shown} is damaged or not a usual .xlsx file. Open it, save it again as .xlsx and choose it again."
        ) from error


def _look_inside(shown, content):
    """Refuse what is too large unpacked or brings entities; part name → (has formulas, merged ranges) of the sheets."""
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        parts = archive.infolist()
        unpacked = sum(part.file_size for part in parts)
        if unpacked > UNPACKED_LIMIT or len(parts) > 5_000 or any(map(_is_swollen, parts)):
            raise NotReadable(
                f"{shown} unpacks to {unpacked / 1024 / 1024:.0f} MB, far more than a device list needs. "
                "Copy the list into a new file and save that."
            )
        return {part.filename: _look_at(shown, archive, part) for part in parts if _is_xml(part)}


def _is_xml(part):
    return part.filename.lower().endswith((".xml", ".rels"))


def _is_swollen(part):
    is_dense = part.file_size > 5_000_000 and part.file_size > RATIO_LIMIT * max(part.compress_size, 1)
    return part.file_size > SHEET_PART_LIMIT or is_dense


def _look_at(shown, archive, part):
    with archive.open(part) as file:
        start = file.read(2048)
        if b"<!DOCTYPE" in start or b"<!ENTITY" in start:
            raise NotReadable(f"{shown} brings definitions that no spreadsheet needs. Save it again as .xlsx.")
        if not part.filename.startswith("xl/worksheets/"):
            return False, []
        xml = start + file.read()
    ranges = re.findall(rb'<(?:\w+:)?mergeCell [^>]*ref="([A-Z]{1,3}[0-9]{1,7}:[A-Z]{1,3}[0-9]{1,7})"', xml)
    return re.search(rb"<(?:\w+:)?f[ >/]", xml) is not None, [text.decode() for text in ranges[:20_000]]


def _read(content, parts):
    values = load_workbook(io.BytesIO(content), read_only=True, data_only=True, keep_links=False)
    has_formulas = any(found for found, _ in parts.values())
    formulas = load_workbook(io.BytesIO(content), read_only=True, keep_links=False) if has_formulas else None
    sheets = []
    for index, worksheet in enumerate(values.worksheets):
        if worksheet.sheet_state != "visible":
            continue
        # The library keeps the part's name to itself; without it merged ranges would need the whole workbook in
        # memory, cell by cell, which a single huge range can fill.
        _, ranges = parts.get(worksheet._worksheet_path, (False, []))
        sheets.append(_read_sheet(worksheet, formulas and formulas.worksheets[index], _Merged(ranges)))
    return sheets


def _read_sheet(worksheet, with_formulas, merged):
    sheet = Sheet(name=worksheet.title)
    formulas = _formulas_of(with_formulas) if with_formulas else {}
    calculated = 0
    for number, row in _rows(worksheet):
        cells = [_text(cell) for cell in row[: COLUMN_LIMIT + 1]]
        merged.fill(number, cells)
        for column, formula in formulas.get(number, {}).items():
            cells.extend([""] * (column - len(cells)))
            calculated += bool(cells[column - 1])
            cells[column - 1] = cells[column - 1] or _no_value(formula)
        sheet.add(number, cells)
    if calculated:
        sheet.remark(f"{calculated} cells hold formulas; their values as last calculated were read.")
    if merged.filled:
        sheet.remark("Merged cells were read as if each of their rows carried the value.")
    return sheet


class _Merged:
    """Carries the value of cells merged downwards into each row; a range merged only across is a title."""

    def __init__(self, ranges):
        self.starts = {}
        self.running = {}  # column → (last row, text)
        self.filled = False
        for text in ranges:
            first_column, first_row, _, last_row = range_boundaries(text)
            if last_row > first_row and first_column <= COLUMN_LIMIT:
                self.starts.setdefault(first_row, []).append((first_column, last_row))

    def fill(self, number, cells):
        for column, (last_row, text) in list(self.running.items()):
            if number > last_row:
                del self.running[column]
            elif text:
                cells.extend([""] * (column - len(cells)))
                cells[column - 1] = cells[column - 1] or text
                self.filled = True
        for column, last_row in self.starts.get(number, ()):
            self.running[column] = last_row, cells[column - 1] if column <= len(cells) else ""


def _rows(worksheet):
    if hasattr(worksheet, "reset_dimensions"):
        worksheet.reset_dimensions()  # a wrong declared size must not hide rows
    yield from enumerate(worksheet.iter_rows(), start=1)


def _text(cell):
    value = cell.value
    if value is None:
        return ""
    if cell.data_type == "e":
        return Unreadable(f"The cell holds the error {value}. Correct it in the file.")
    if isinstance(value, datetime):
        return value.date().isoformat() if value.time() == time() else value.isoformat(sep=" ", timespec="seconds")
    if isinstance(value, date | time):
        return value.isoformat()
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return _number_text(value, cell.number_format or "")
    return str(value)


def _number_text(value, number_format):
    if isinstance(value, float) and value.is_integer() and abs(value) < 1e15:
        value = int(value)
    text = str(value) if isinstance(value, int) else repr(value)
    # "0000" as the format of a number column means that people see 0042.
    return text.zfill(len(number_format)) if isinstance(value, int) and re.fullmatch("0+", number_format) else text


def _formulas_of(worksheet):
    """row → {column: formula} of a sheet."""
    found = {}
    for number, row in _rows(worksheet):
        for column, cell in enumerate(row[:COLUMN_LIMIT], start=1):
            if cell.data_type == "f":
                found.setdefault(number, {})[column] = str(cell.value)
    return found


def _no_value(formula):
    return Unreadable(
        f"The cell holds the formula '{formula[:60]}' without a value. "
        "Open the file, paste the value in its place and save it."
    )
