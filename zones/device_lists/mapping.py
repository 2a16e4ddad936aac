"""Where the table begins in a sheet, and which of its columns is which."""

from zones.device_lists.columns import COLUMN, match_headings

HEADER_SEARCH_ROWS = 40


def find_table(sheets):
    """(sheet index, header row number, column keys) of the best table: the row with the most known headings."""
    best = None
    for sheet_index, sheet in enumerate(sheets):
        for number, cells in sheet["rows"][:HEADER_SEARCH_ROWS]:
            keys = match_headings(cells)
            worth = sum(1 for key in keys if key) + ("tag" in keys) * 2
            if best is None or worth > best[0]:
                best = worth, sheet_index, number, keys
    return best[1:]


def header_of(sheet, header_row):
    """The headings of that row, or [] when the sheet has no such row."""
    return next((cells for number, cells in sheet["rows"] if number == header_row), [])


def width_of(sheet, header_row):
    """How many columns the table has: its headings, and cells to the right of them that carry no heading."""
    return max((len(cells) for number, cells in sheet["rows"] if number >= header_row), default=0)


def data_rows(sheet, header_row):
    """[row number, cells] below the header; headings repeated further down (page by page) are no rows."""
    headings = header_of(sheet, header_row)
    return [row for row in sheet["rows"] if row[0] > header_row and row[1] != headings]


def samples(sheet, header_row, column, count=3):
    """The first different values of a column, to recognise it by."""
    seen = []
    for _, cells in data_rows(sheet, header_row)[:200]:
        text = cells[column] if column < len(cells) else ""
        if text and text not in seen:
            seen.append(text)
            if len(seen) == count:
                break
    return seen


def guess_columns(sheet, header_row):
    """A column key, or "", for each column: by its heading, and by its values where a heading has two meanings."""
    keys = match_headings(header_of(sheet, header_row))
    keys += [""] * (width_of(sheet, header_row) - len(keys))
    if "zone_number" in keys and "zone_name" not in keys:
        column = keys.index("zone_number")
        found = samples(sheet, header_row, column, count=10)
        if found and not any(character.isdigit() for text in found for character in text):
            keys[column] = "zone_name"  # a column "Zone" that holds names
    return keys


def reasons_against(keys):
    """Why a mapping cannot be used, as sentences; [] when it can."""
    chosen = [key for key in keys if key]
    reasons = [
        f"{COLUMN[key].heading} is chosen for {chosen.count(key)} columns. Keep it for one."
        for key in COLUMN
        if chosen.count(key) > 1
    ]
    if "tag" not in chosen:
        reasons.append("Choose the column that holds the tag: without it a row names no position.")
    return reasons
