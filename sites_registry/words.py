"""How what is stored is worded, in pages and papers alike: quantities, days, sentences, numbers with nouns, storeys."""

import re
from datetime import date

from django.utils.formats import date_format

DAY = re.compile(r"\b(\d{1,2}) (\w{3}) (\d{4})\b")
FROM_THE_GROUND = re.compile(r"0\s*(?:–|-|to)\s*(\d+)")


def plain_number(value):
    """A quantity without trailing zeros, in plain digits: 24.00 → 24; None → an en dash."""
    if value in (None, ""):
        return "–"
    text = f"{value:f}" if hasattr(value, "normalize") else str(value)
    return text.rstrip("0").rstrip(".") if "." in text else text


def written_day(text):
    """A day kept as text in a frozen statement, as it is written everywhere: "2026-07-28" → "28 Jul 2026"."""
    try:
        return date_format(date.fromisoformat(text), "j M Y")
    except (TypeError, ValueError):
        return text


def whole_days(text):
    """A sentence in which no line ends inside a day: "due on 24 Jul 2027"."""
    return DAY.sub("\\1\N{NO-BREAK SPACE}\\2\N{NO-BREAK SPACE}\\3", str(text))


def full_stop(text):
    """A typed sentence with one stop at its end, whether or not it was typed."""
    text = str(text or "").rstrip()
    return text if not text or text.endswith((".", "!", "?", "…")) else f"{text}."


def counted(number, noun):
    """A number with its noun, which is given for many: "3 defects", "1 defect", "1 entry"."""
    if number != 1:
        return f"{number} {noun}"
    one = {"people": "person"}.get(noun) or (f"{noun[:-3]}y" if noun.endswith("ies") else noun.removesuffix("s"))
    return f"1 {one}"


def storey_name(storey):
    """A storey under a head that says storey already: "0" → "ground floor", "0–5" → "ground floor to 5", "2" → "2"."""
    if str(storey) == "0":
        return "ground floor"
    upward = FROM_THE_GROUND.fullmatch(str(storey or ""))
    return f"ground floor to {upward[1]}" if upward else storey


def storey_words(storey):
    """A storey as one says it: "2" → "storey 2", "0" → "ground floor", "1–5" → "storeys 1–5"; "roof" stays as it is."""
    text = str(storey or "")
    if text == "0":
        return storey_name(text)
    if upward := FROM_THE_GROUND.fullmatch(text):
        return f"ground floor to storey {upward[1]}"
    if not re.match(r"[-−]?\d", text):
        return text
    return f"storeys {text}" if re.search(r"\d\s*(–|-|,|to|and)\s*[-−]?\d", text) else f"storey {text}"
