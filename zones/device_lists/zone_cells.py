"""The zone of a row, as lists write it: "3", "Z3", "Zone 3", "3 – Main stair", or in two columns."""

import re

from zones.device_lists.cells import CellFault

LARGEST_NUMBER = 32_767  # of a small whole number in the database

_ZONE = re.compile(
    r"(?:(?:(?:smoke\s+)?zone|sz|z)[\s.:#-]*)?(\d{1,9})(?:[.,]0+)?"  # the number
    r"(?:\s*[-–—:.,]?\s+(.+)|\s*[-–—:]\s*(.+))?",  # and its name after it
    re.IGNORECASE,
)


def read_zone(cells):
    """(number or None, name or "") of a row's cells. Raises CellFault when the number is none."""
    name = cells.get("zone_name", "")
    text = cells.get("zone_number", "")
    if not text:
        return None, name
    match = _ZONE.fullmatch(text)
    if not match:
        raise CellFault(f"'{text}' is not the number of a zone. Write its number, such as 3, and its name beside it.")
    number = int(match[1])
    if not 1 <= number <= LARGEST_NUMBER:
        raise CellFault(f"{number} is out of range. Write a number from 1 to {LARGEST_NUMBER}.")
    return number, name or (match[2] or match[3] or "").strip()
