"""A building's device list as a table that the import takes back without a change."""

import csv
import io

from openpyxl import Workbook
from openpyxl.cell import WriteOnlyCell
from openpyxl.styles import Alignment, Font
from openpyxl.utils import get_column_letter

from zones.device_lists.cells import guard
from zones.device_lists.columns import EXPORTED
from zones.device_lists.rows import stored_cells
from zones.models import Fitting, Position

HEADINGS = tuple(column.heading for column in EXPORTED)
NUMBERS = {"zone_number", "vent_group", "circuit", "line", "data_link", "order_on_line", "walking_order"}
CSV_TYPE = "text/csv; charset=utf-8"
XLSX_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


def device_list_rows(building):
    """Lists of texts, one per position in use, in walking order; two queries for any number.

    Positions no longer used are left out: an import does not take them back.
    """
    fittings = Fitting.objects.open().filter(position__building=building).select_related("unit__product_model__maker")
    by_position = {fitting.position_id: fitting for fitting in fittings}
    positions = Position.objects.filter(building=building).in_use().with_wiring().in_walking_order()
    for position in positions:
        cells = stored_cells(position, by_position.get(position.pk))
        yield [cells[column.key] for column in EXPORTED]


def device_list_csv(building):
    """RFC 4180, UTF-8 with the mark by which spreadsheets know it; bytes."""
    return csv_of(HEADINGS, device_list_rows(building))


def device_list_xlsx(building):
    numbers = [index for index, column in enumerate(EXPORTED) if column.key in NUMBERS]
    return xlsx_of("Device list", HEADINGS, device_list_rows(building), numbers=numbers)


def csv_of(headings, rows):
    """Bytes of a CSV; cells that a spreadsheet would take for a formula are neutralised."""
    file = io.StringIO(newline="")
    writer = csv.writer(file)
    writer.writerow(headings)
    for row in rows:
        writer.writerow([guard(text) for text in row])
    return b"\xef\xbb\xbf" + file.getvalue().encode("utf-8", "replace")


def xlsx_of(title, headings, rows, *, numbers=(), facts=()):
    """Bytes of a workbook with one sheet: `facts` (label, value) above the table; `numbers`: number columns."""
    workbook = Workbook(write_only=True)
    sheet = workbook.create_sheet(title[:31])
    rows = list(rows)
    for index, width in enumerate(_widths(headings, rows), start=1):
        sheet.column_dimensions[get_column_letter(index)].width = width
    if not facts:
        sheet.freeze_panes = "A2"
    for label, value in facts:
        sheet.append([guard(str(label)), guard(str(value))])
    if facts:
        sheet.append([])
    sheet.append([_bold(sheet, heading) for heading in headings])
    for row in rows:
        sheet.append([_cell(sheet, text, index in numbers) for index, text in enumerate(row)])
    file = io.BytesIO()
    workbook.save(file)
    return file.getvalue()


def _bold(sheet, text):
    cell = WriteOnlyCell(sheet, text)
    cell.font, cell.alignment = Font(bold=True), Alignment(vertical="top")
    return cell


def _cell(sheet, text, is_number):
    # Digits only, and no leading zero that a number would lose.
    if is_number and text.isascii() and text.isdigit() and str(int(text)) == text:
        return int(text)
    if text.startswith("#"):  # else "#N/A" would become an error value
        cell = WriteOnlyCell(sheet, text)
        cell.data_type = "s"
        return cell
    return guard(text)


def _widths(headings, rows):
    """Of the first rows, in characters."""
    sample = [headings, *rows[:300]]
    return [min(max(len(row[index]) for row in sample) + 2, 48) for index in range(len(headings))]
