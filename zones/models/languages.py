"""Languages of papers and labels: BCP 47 codes (ISO 639) with the names by which people call them. No database."""

import re

NAMES = {
    "bg": "Bulgarian",
    "bs": "Bosnian",
    "cs": "Czech",
    "cy": "Welsh",
    "da": "Danish",
    "de": "German",
    "el": "Greek",
    "en": "English",
    "es": "Spanish",
    "et": "Estonian",
    "fi": "Finnish",
    "fr": "French",
    "ga": "Irish",
    "hr": "Croatian",
    "hu": "Hungarian",
    "is": "Icelandic",
    "it": "Italian",
    "lb": "Luxembourgish",
    "lt": "Lithuanian",
    "lv": "Latvian",
    "mt": "Maltese",
    "nb": "Norwegian",
    "nl": "Dutch",
    "pl": "Polish",
    "pt": "Portuguese",
    "ro": "Romanian",
    "ru": "Russian",
    "sk": "Slovak",
    "sl": "Slovenian",
    "sq": "Albanian",
    "sr": "Serbian",
    "sv": "Swedish",
    "tr": "Turkish",
    "uk": "Ukrainian",
    # ISO 639-2: codes of their own for these two.
    "mul": "several languages",
    "und": "another language, see the title",
}
SEVERAL, ANOTHER = "mul", "und"
CHOICES = sorted(NAMES.items(), key=lambda row: (row[0] in (SEVERAL, ANOTHER), row[1]))


def name_of(code: str) -> str:
    """The name of a language; a code that is not known stays as it is."""
    return NAMES.get(code, code)


def code_of(text: str) -> str:
    """The code of a language typed as a name or a code ("English", "en", "en-GB"); "" where it is not known here."""
    typed = text.strip().casefold()
    by_name = {name.casefold(): code for code, name in NAMES.items()}
    return by_name.get(typed) or next((code for code in (typed, typed.partition("-")[0]) if code in NAMES), "")


def codes_in(text: str) -> list[str]:
    """The codes of the languages named in a text such as "German, English" or "German and French"."""
    parts = re.split(r"[,;/+&]|\band\b", text)
    return [code for code in map(code_of, parts) if code]
