"""Labels of units as a scanner reads them: a plain serial, or a GS1 element string that holds one.

No Django, no database. Source: GS1 General Specifications, sections 3 (application identifiers), 5 (symbology
identifiers) and 7 (check digit; century of a date), from memory; handbook process.md §8.
"""

import calendar
import re
from dataclasses import dataclass
from datetime import date

SEPARATOR = "\x1d"  # FNC1 within the data: ends an element of variable length
# Symbology identifiers of carriers whose data are GS1 elements: GS1-128, DataBar, DataMatrix, QR.
CARRIERS = ("]C1", "]e0", "]d2", "]Q3")
FIXED_LENGTHS = {"01": 14, "11": 6, "13": 6, "15": 6, "17": 6, "20": 2}
LONGEST = {"10": 20, "21": 20, "240": 30, "241": 30, "250": 30, "8004": 30}
# As printed for people: (01)…(21)…; only identifiers known here count as brackets, so that a serial may hold "(2)".
IDENTIFIER = "|".join(sorted((*FIXED_LENGTHS, *LONGEST), key=len, reverse=True))
IN_BRACKETS = re.compile(rf"\(({IDENTIFIER})\)(.*?)(?=\((?:{IDENTIFIER})\)|$)")
ALL_IN_BRACKETS = re.compile(rf"\((?:{IDENTIFIER})\).*")


class LabelError(ValueError):
    """The scanned text looks like a GS1 element string, but no serial can be read from it."""


@dataclass(frozen=True, slots=True)
class UnitLabel:
    """What a label says; `made_on` is ISO 8601, "2025-03" when the label leaves the day open."""

    serial: str
    batch: str = ""
    made_on: str = ""

    @property
    def batch_or_date_code(self):
        return self.batch or self.made_on


def read_label(text: str, today: date) -> UnitLabel:
    """Read what was typed or scanned. A text that is not a GS1 element string is the serial itself.

    Args:     text: as it came from the keyboard or scanner; today: decides the century of a two-digit year.
    Raises:   LabelError: an element string without a serial (21), or one that cannot be taken apart.
    """
    text = text.strip(" \t\r\n")
    elements = _elements(text)
    if elements is None:
        return UnitLabel(serial=text)
    serial = elements.get("21") or elements.get("8004", "")
    if not serial:
        held = ", ".join(f"({identifier})" for identifier in elements)
        raise LabelError(f"This label holds {held} but no serial (21). Scan the label with the serial, or type it.")
    return UnitLabel(
        serial=serial,
        batch=elements.get("10", ""),
        made_on=_made_on(elements.get("11", ""), today),
    )


def has_valid_check_digit(number: str) -> bool:
    """Whether the last digit of a trade item number is its check digit (weights 3 and 1 from the right)."""
    digits = [int(digit) for digit in reversed(number)]
    weighted = sum(digit * (3 if place % 2 else 1) for place, digit in enumerate(digits))
    return weighted % 10 == 0


def _elements(text):
    """Identifier → value, or None when the text is a plain serial."""
    if ALL_IN_BRACKETS.fullmatch(text):
        return {identifier: value.strip() for identifier, value in IN_BRACKETS.findall(text)}
    carrier = text.startswith(CARRIERS)
    data = text[3:] if carrier else text
    if carrier or SEPARATOR in data or _starts_with_trade_item(data):
        return _taken_apart(data)
    return None


def _starts_with_trade_item(data):
    # A plain serial of digits might begin with 01: it needs a right check digit and a further known element.
    number = data[2:16]
    return (
        data.startswith("01")
        and len(number) == 14
        and number.isascii()
        and number.isdigit()
        and has_valid_check_digit(number)
        and data[16:].startswith(("10", "11", "21"))
    )


def _taken_apart(data):
    elements, rest = {}, data.lstrip(SEPARATOR)
    while rest:
        identifier = next((known for known in (*FIXED_LENGTHS, *LONGEST) if rest.startswith(known)), None)
        if identifier is None:
            raise LabelError(f"'{_shown(rest)}' on this label is not known here. Type the serial as printed.")
        rest = rest[len(identifier) :]
        if identifier in FIXED_LENGTHS:
            length = FIXED_LENGTHS[identifier]
            value, rest = rest[:length], rest[length:].removeprefix(SEPARATOR)
            if len(value) < length:
                raise LabelError(f"Field ({identifier}) of this label is cut short. Scan again, or type the serial.")
        else:
            value, _, rest = rest.partition(SEPARATOR)
            if len(value) > LONGEST[identifier]:
                raise LabelError(
                    f"Field ({identifier}) of this label runs on for {len(value)} characters: the scanner left out "
                    "the separators. Type the serial as printed."
                )
        elements[identifier] = value
    return elements


def _made_on(digits, today):
    if not (len(digits) == 6 and digits.isascii() and digits.isdigit()):
        return digits
    year, month, day = int(digits[:2]), int(digits[2:4]), int(digits[4:])
    century = today.year - today.year % 100
    ahead = year - today.year % 100
    century += -100 if ahead >= 51 else 100 if ahead <= -50 else 0
    if not 1 <= month <= 12:
        return digits
    if day == 0:
        return f"{century + year:04}-{month:02}"
    if day > calendar.monthrange(century + year, month)[1]:
        return digits
    return f"{century + year:04}-{month:02}-{day:02}"


def _shown(text):
    return text[:12].replace(SEPARATOR, " ")
