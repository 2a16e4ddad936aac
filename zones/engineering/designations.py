"""Designations of terminals and colours of cores.

Sources: IEC 61666 (`-X3:5` is terminal 5 of block X3), IEC 60757 (colour codes; from memory, see the handbook).
"""

import re
from dataclasses import dataclass

# IEC 60757, in the order of its table; GD and SR for gold and silver. From memory.
COLOUR_CODES = {
    "BK": "black",
    "BN": "brown",
    "RD": "red",
    "OG": "orange",
    "YE": "yellow",
    "GN": "green",
    "BU": "blue",
    "VT": "violet",
    "GY": "grey",
    "WH": "white",
    "PK": "pink",
    "TQ": "turquoise",
    "GD": "gold",
    "SR": "silver",
}
MOST_COLOURS = 4  # of one core: eight letters
MOST_TERMINALS = 500  # in one range
LONGEST_PART = 16


class DesignationError(ValueError):
    """The text is not a designation; the message says which part and what is expected."""


@dataclass(frozen=True, slots=True)
class TerminalRange:
    """Terminals of one block, in order: block "X3", numbers ("1", "2", "PE")."""

    block: str
    numbers: tuple[str, ...]


def check_colour(code: str) -> str:
    """Return a colour code in capitals: "BN", or several joined such as "GNYE".

    Raises: DesignationError: a part is no code of IEC 60757, a colour is named twice, or green-yellow is turned round.
    """
    text = code.strip().upper()
    parts = [text[at : at + 2] for at in range(0, len(text), 2)]
    known = ", ".join(COLOUR_CODES)
    for part in parts or [""]:
        if part not in COLOUR_CODES:
            raise DesignationError(
                f"'{code}': '{part}' is no colour code of IEC 60757. Use {known}, or several joined, such as GNYE."
            )
    if len(parts) > MOST_COLOURS:
        raise DesignationError(f"'{code}' joins {len(parts)} colours; at most {MOST_COLOURS}.")
    if len(set(parts)) < len(parts):
        raise DesignationError(f"'{code}' names a colour twice.")
    if parts == ["YE", "GN"]:
        raise DesignationError(f"'{code}': green-yellow is written GNYE.")
    return text


def colour_in_words(code: str) -> str:
    """The colours of a code: "GNYE" → "green-yellow". An unknown part stays as it is."""
    parts = [code[at : at + 2] for at in range(0, len(code), 2)]
    return "-".join(COLOUR_CODES.get(part, part) for part in parts)


def read_terminal_range(text: str) -> TerminalRange:
    """Read "-X3:1…12", "X3:1-12", "-X3:1..4, 7, PE" or "-X3:5".

    Raises: DesignationError: no block or colon, a range that runs backwards, a terminal named twice, more than 500.
    """
    block, colon, rest = text.strip().removeprefix("-").partition(":")
    block = block.strip()
    if not colon or not re.fullmatch(rf"[^\s:,]{{1,{LONGEST_PART}}}", block):
        raise DesignationError(f"'{text}' is not understood. Write block, colon, numbers, for instance -X3:1…12.")
    numbers: list[str] = []
    for part in rest.split(","):
        numbers.extend(_numbers_of(part.strip(), text))
        if len(numbers) > MOST_TERMINALS:
            raise DesignationError(f"'{text}' names more than {MOST_TERMINALS} terminals. Add them in parts.")
    twice = sorted({number for number in numbers if numbers.count(number) > 1})
    if twice:
        raise DesignationError(f"'{text}' names {', '.join(twice)} twice.")
    return TerminalRange(block, tuple(numbers))


def _numbers_of(part: str, text: str) -> list[str]:
    if run := re.fullmatch(r"([0-9]{1,6})\s*(?:…|\.{2,3}|-|–)\s*([0-9]{1,6})", part):
        first, last = int(run[1]), int(run[2])
        if last < first:
            raise DesignationError(f"'{part}' runs backwards. Write {last}…{first}.")
        if last - first >= MOST_TERMINALS:
            raise DesignationError(f"'{part}' names more than {MOST_TERMINALS} terminals. Add them in parts.")
        return [str(number) for number in range(first, last + 1)]
    if not re.fullmatch(rf"[^\s:,…]{{1,{LONGEST_PART}}}", part):
        raise DesignationError(f"'{part or text}' is not understood. Write numbers such as 1…12, or 1, 2, PE.")
    return [part]
