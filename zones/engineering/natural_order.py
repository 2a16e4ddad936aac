"""Natural order of tags (M2 before M10) as a text that any database sorts."""

import re


def natural_key(text: str) -> str:
    """Return `text` in capitals with each whole number padded to eight digits: "M2" → "M00000002".

    At most 120 characters; only the order of the result matters.
    """
    return re.sub(r"[0-9]+", lambda number: number.group().zfill(8), text.upper())[:120]
