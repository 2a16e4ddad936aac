"""Numbers as people type them: 12,5 is 12.5; of 1,250 nobody can know whether it is 1.25 or 1250, so it is asked."""

import re

_SIGN = r"[-+]?"
_COMMA = re.compile(rf"{_SIGN}\d*,\d+", re.ASCII)
_EITHER = re.compile(rf"{_SIGN}[1-9]\d{{0,2}},\d{{3}}", re.ASCII)
_POINTS_THEN_COMMA = re.compile(rf"{_SIGN}\d{{1,3}}(\.\d{{3}})+,\d+", re.ASCII)
_COMMAS_BETWEEN = re.compile(rf"{_SIGN}\d{{1,3}}((,\d{{3}})+\.\d+|(,\d{{3}}){{2,}})", re.ASCII)
_BLANKS_BETWEEN = re.compile(rf"{_SIGN}\d{{1,3}}(\s\d{{3}})+([.,]\d+)?")


class NumberNotClear(ValueError):
    """A number that can be read two ways; ``str(error)`` names both and what to write."""


def with_point(text):
    """A typed number with a point before its decimals and nothing between its thousands; other text as it is.

    Raises NumberNotClear: a comma before three digits, which may part thousands or decimals.
    """
    typed = text.strip().replace("\N{MINUS SIGN}", "-")
    if _BLANKS_BETWEEN.fullmatch(typed):
        typed = re.sub(r"\s", "", typed)
    if "," not in typed:
        return typed
    if _EITHER.fullmatch(typed):
        whole, decimals = typed.replace(",", ""), typed.replace(",", ".").rstrip("0").rstrip(".")
        raise NumberNotClear(f"{typed} can be read as {decimals} or as {whole}. Write {decimals} or {whole}.")
    if _COMMA.fullmatch(typed):
        return typed.replace(",", ".")
    if _POINTS_THEN_COMMA.fullmatch(typed):
        return typed.replace(".", "").replace(",", ".")
    return typed.replace(",", "") if _COMMAS_BETWEEN.fullmatch(typed) else typed
