"""Rows of a .csv file: its encoding and its separator are found out, not asked for."""

import csv
import io
import re

from charset_normalizer import from_bytes

from zones.device_lists.columns import match_headings
from zones.device_lists.sheets import NotReadable, Sheet

SEPARATORS = (",", ";", "\t", "|")
# Encodings of Western and Central European spreadsheets; others are guessed too often for them.
GUESSED_ENCODINGS = ["cp1252", "latin_1", "cp1250", "iso8859_2", "iso8859_15", "mac_roman", "cp1251", "cp850"]
PLAIN_NAMES = {
    "utf-8-sig": "utf-8",
    "utf-16-le": "utf-16",
    "utf-16-be": "utf-16",
    "cp1252": "Windows-1252",
    "cp1250": "Windows-1250",
    "cp1251": "Windows-1251",
    "latin_1": "ISO 8859-1",
    "iso8859_2": "ISO 8859-2",
}


def read_delimited_text(shown, content):
    """One sheet. Raises NotReadable."""
    text, encoding = _decode(shown, content)
    sheet = Sheet(name="")
    if encoding not in ("utf-8", "utf-16"):
        sheet.remarks.append(f"Read as {encoding}. If accented letters look wrong, save the file as CSV UTF-8.")
    declared = re.match(r"sep=(.)\r?\n", text, re.IGNORECASE)
    separator = declared[1] if declared else _separator(text)
    try:
        reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=False)
        for number, cells in enumerate(reader, start=1):
            if not (declared and number == 1):
                sheet.add(number, cells)
    except csv.Error as error:
        raise NotReadable(
            f"{shown} cannot be split into columns near line {reader.line_num}: perhaps a quotation mark is never "
            "closed. Correct it there, or save the list as .xlsx."
        ) from error
    return [sheet]


def _decode(shown, content):
    """The text and the name of its encoding."""
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        candidates = ["utf-16"]
    elif content[:4096].count(b"\x00") > len(content[:4096]) // 4:
        candidates = ["utf-16-le" if content[1:2] == b"\x00" else "utf-16-be"]
    else:
        candidates = ["utf-8-sig", _guessed_encoding(content)]
    for encoding in filter(None, candidates):
        try:
            text = content.decode(encoding).removeprefix("\ufeff")
        except (UnicodeDecodeError, LookupError):
            continue
        return text, PLAIN_NAMES.get(encoding, encoding)
    raise NotReadable(f"The letters of {shown} cannot be made out. Save it as CSV UTF-8, or as .xlsx.")


def _guessed_encoding(content):
    try:
        content.decode("utf-8-sig")
    except UnicodeDecodeError:
        guess = from_bytes(content[:65536], cp_isolation=GUESSED_ENCODINGS).best()
        if guess is None or "cp1252" in guess.could_be_from_charset:
            return "cp1252"  # the usual one, where several give the same text
        return guess.encoding
    return None


def _separator(text):
    """The separator that yields the most known headings, then the most columns, in the first rows."""
    start = text[:20_000]

    def worth(separator):
        try:
            rows = [row for row in csv.reader(io.StringIO(start, newline=""), delimiter=separator)][:40]
        except csv.Error:
            return (0, 0)
        known = max((sum(1 for key in match_headings(row[:80]) if key) for row in rows), default=0)
        return known, sum(len(row) for row in rows)

    return max(SEPARATORS, key=worth)
