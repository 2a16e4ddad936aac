"""The faulty rows of a checked list as a file to correct and choose again."""

from sites_registry.spreadsheets import csv_of
from zones.device_lists.cells import UNREADABLE
from zones.device_lists.mapping import data_rows, header_of, width_of

ADDED = ("Row", "What is wrong and what to do")


def faulty_rows_csv(run):
    """Bytes of a CSV: the columns of the list as it came, before them the row's number and its faults."""
    faults = {result["row"]: result["faults"] for result in run.results if result["faults"]}
    width = width_of(run.sheet, run.header_row)
    rows = [
        [str(number), " ".join(f"{heading}: {text}" for heading, text in faults[number]), *_padded(cells, width)]
        for number, cells in data_rows(run.sheet, run.header_row)
        if number in faults
    ]
    return csv_of([*ADDED, *_padded(header_of(run.sheet, run.header_row), width)], rows)


def _padded(cells, width):
    plain = ["" if text.startswith(UNREADABLE) else text for text in cells]
    return plain + [""] * (width - len(plain))
