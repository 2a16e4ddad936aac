"""Codes as they are misread: without hyphens, blanks and stops, letters large, O for 0, I and L for 1.

`Folded` is the same fold in the database, for an index and for the query that uses it; `folded` is it in Python.
"""

from django.db.models import CharField, Func

SEPARATORS = "- ./_:"
READ_AS = {"O": "0", "I": "1", "L": "1"}
CHARACTERS = "ABCDEFGHJKMNPQRSTUVWXYZ0123456789"  # what a folded code is made of
SHORTEST_GUESSED = 3  # one character off a shorter code is any code at all
LONGEST_GUESSED = 40


def _in_sql():
    expression = "UPPER(%(expressions)s)"
    for old, new in {**dict.fromkeys(SEPARATORS, ""), **READ_AS}.items():
        expression = f"REPLACE({expression}, '{old}', '{new}')"
    return expression


class Folded(Func):
    """A column folded by the database. The constants stand in the text: an index on parameters is never used."""

    template = _in_sql()
    arity = 1
    output_field = CharField()


def folded(text):
    """The fold of a typed code."""
    # Letter by letter: the database leaves ß one letter.
    text = "".join(letter.upper() if len(letter.upper()) == 1 else letter for letter in text)
    for separator in SEPARATORS:
        text = text.replace(separator, "")
    return text.translate(str.maketrans(READ_AS))


def near_misses(text):
    """Folded codes that a mistyped `text` may stand for: itself, and those with one character wrong, missing, too many
    or two neighbours exchanged. A set that an index answers; empty for nothing but separators."""
    code = folded(text)
    if not SHORTEST_GUESSED <= len(code) <= LONGEST_GUESSED:
        return {code} - {""}
    cuts = [(code[:place], code[place:]) for place in range(len(code) + 1)]
    missing = {f"{left}{letter}{right}" for left, right in cuts for letter in CHARACTERS}
    wrong = {f"{left}{letter}{right[1:]}" for left, right in cuts if right for letter in CHARACTERS}
    too_many = {left + right[1:] for left, right in cuts if right}
    exchanged = {left + right[1] + right[0] + right[2:] for left, right in cuts if len(right) > 1}
    return {code} | missing | wrong | too_many | exchanged
