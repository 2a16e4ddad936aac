"""What looks like an access code or a password: the register never keeps one. No Django, no database.

Common practice, no source: words that people write beside a code, and values as a person makes a password up. It errs
on the side of refusing, and the sentence says what to write in its place.
"""

import re

# "Date code", "fault code" and their like name other things.
_OTHER_CODES = (
    r"date|colou?r|error|fault|event|batch|type|model|country|post|area|dial(?:l?ing)?|device|function|address"
)
_NAMES_A_CODE = re.compile(
    r"pass[ -]?(?:word|code|phrase|key)|passwor[td]|kennwort|zugangscode|zugriffscode|mot de passe|contrase"
    rf"|(?<!\w)pwd?(?!\w)|(?<!\w)(?:log-?in|secret)(?!\w)|(?<!\w)pins?(?!\w)(?!\s*\d\b)"
    rf"|(?<!\w)(?!(?:{_OTHER_CODES})[ -]?codes?)(?:\w+[ -])?codes?(?!\w)",
    re.IGNORECASE,
)
_OTHER_CODE = re.compile(rf"(?<!\w)(?:{_OTHER_CODES})[ -]?codes?(?!\w)", re.IGNORECASE)
_ABOUT_ACCESS = re.compile(
    r"(?<!\w)(?:access|keypad|key[ -]?pad|engineer|installer|user|level [1-4]|lock(?:ed)?|unlock)(?!\w)", re.IGNORECASE
)
_DIGITS = re.compile(r"[\d ]*\d[\d ]{2,}")
_MADE_UP = re.compile(r"(?=\S{6,}$)(?=.*[A-Za-z])(?=.*\d)(?=.*[!$&?*#@^~])")
SENTENCE = (
    "Access codes and passwords are never kept in the register. Take it out; that the default code was changed is "
    "ticked on the panel's form."
)


def names_a_code(text: str) -> bool:
    """Whether a text speaks of an access code or a password: "engineer code", "PIN", "Passwort"."""
    return bool(_NAMES_A_CODE.search(_OTHER_CODE.sub(" ", text)))


def faults_of_setting(name: str, value: str, unit: str = "") -> dict[str, str]:
    """Sentences by field ("name", "value") where a setting looks like an access code; empty where it does not.

    No sentence repeats the value: what was typed may be the code.
    """
    faults = {}
    if names_a_code(name):
        faults["name"] = f"'{name}' names an access code or a password. {SENTENCE}"
    if _is_a_code(name, value, unit):
        faults["value"] = f"This value looks like an access code or a password. {SENTENCE}"
    return faults


def _is_a_code(name, value, unit):
    text = value.strip()
    if names_a_code(text) or _MADE_UP.match(text):
        return True
    return not unit and bool(_ABOUT_ACCESS.search(name)) and bool(_DIGITS.fullmatch(text))
