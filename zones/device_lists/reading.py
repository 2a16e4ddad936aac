"""From an uploaded file to rows of text. What a file may be is decided by its content; its name must agree."""

from pathlib import PurePath

from zones.device_lists.delimited_text import read_delimited_text
from zones.device_lists.sheets import NotReadable, Sheet
from zones.device_lists.spreadsheets import read_spreadsheet
from zones.files.file_types import NAMES, type_of


def check_size(name: str, size_bytes: int, limit_mb: int) -> None:
    """Raises NotReadable; asked before the content is read into memory."""
    shown = f"'{name[:80]}'"
    if not size_bytes:
        raise NotReadable(f"{shown} is empty (0 bytes). Choose the file again; perhaps it was still being saved.")
    if size_bytes > limit_mb * 1024 * 1024:
        raise NotReadable(
            f"{shown} has {size_bytes / 1024 / 1024:.0f} MB; the limit is {limit_mb} MB. "
            "Take out pictures and further sheets, or save it as .csv."
        )


def read_file(name: str, content: bytes, limit_mb: int) -> list[Sheet]:
    """Read a .xlsx or a .csv (any usual separator and encoding). Raises NotReadable."""
    shown = f"'{name[:80]}'"
    check_size(name, len(content), limit_mb)
    found = type_of(content)
    _check_name(shown, PurePath(name).suffix.lower(), found)
    sheets = read_spreadsheet(shown, content) if found == "xlsx" else read_delimited_text(shown, content)
    sheets = [sheet for sheet in sheets if sheet.rows]
    if not sheets:
        raise NotReadable(f"{shown} has no row with anything in it. Choose the file that holds the device list.")
    return sheets


def _check_name(shown, suffix, found):
    if found == "encrypted":
        raise NotReadable(f"{shown} is protected by a password. Save it without one and choose it again.")
    if found in ("xlsm", "compound"):
        raise NotReadable(f"{shown} is {NAMES[found]}. Save it as .xlsx without macros, or as .csv.")
    if found not in ("xlsx", "text"):
        raise NotReadable(f"{shown} is {NAMES[found]} by its content. A device list is a .xlsx or a .csv file.")
    if found == "xlsx" and suffix != ".xlsx":
        raise NotReadable(f"{shown} is a spreadsheet by its content. Name it with .xlsx, or save it as .csv.")
    if found == "text" and suffix not in (".csv", ".txt", ".tsv"):
        raise NotReadable(f"{shown} is plain text by its content. Name it with .csv, or save it again as .xlsx.")
