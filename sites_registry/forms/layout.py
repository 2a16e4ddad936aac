"""How a field stands in a form: how wide by what it holds, in which unit, and whether it may stay empty."""

import re
from dataclasses import dataclass

from django import forms

UNITS = "N|N/m²|kg|operations|A|Ah|V|µA|mΩ|Ω|MΩ|W|kW|h|s|min|days|months|years|m|mm|m²|mm²|mm/s|°C|°|%"
NAME_AND_UNIT = re.compile(rf"(?P<name>.+) \((?P<unit>{UNITS})\)")
COLUMNS = {"number": 1, "date": 1, "tag": 1, "moment": 2, "name": 2, "text": 3}
LETTERS_OF_A_LABEL = 23  # in a column of 176 px
LETTERS_OF_A_CHOICE = 16
LETTERS_OF_HELP = 52  # two lines of help under one column
TAG_LETTERS, NAME_LETTERS = 40, 150


@dataclass(frozen=True, slots=True)
class FieldLayout:
    """`width` is what the field holds, `columns` how many columns of 176 px it takes with its words."""

    name: str
    unit: str
    width: str
    columns: int
    word: str  # "optional", "required" or nothing


def layout_of(bound):
    """How a bound field stands in its form."""
    found = NAME_AND_UNIT.fullmatch(str(bound.label or ""))
    name, unit = found.group("name", "unit") if found else (str(bound.label or ""), "")
    width = _width_of(bound.field, unit)
    word = _word_of(bound)
    columns = COLUMNS[width]
    if len(name) + len(word) > LETTERS_OF_A_LABEL or len(bound.help_text) > LETTERS_OF_HELP:
        columns = max(columns, 2)
    return FieldLayout(name, unit, width, columns, word)


def _width_of(field, unit):
    widget = field.widget
    match widget:
        case forms.DateTimeInput():
            return "moment"
        case forms.DateInput():
            return "date"
        case forms.Textarea() | forms.FileInput() | forms.CheckboxSelectMultiple() | forms.RadioSelect():
            return "text"
        case forms.Select():
            return _width_of_choices(field)
        case forms.EmailInput() | forms.PasswordInput():
            return "name"
    if unit or widget.attrs.get("inputmode") in ("numeric", "decimal"):
        return "number"
    longest = getattr(field, "max_length", None) or NAME_LETTERS
    return "tag" if longest <= TAG_LETTERS else "name" if longest <= NAME_LETTERS else "text"


def _width_of_choices(field):
    if isinstance(field, forms.ModelChoiceField):  # its rows are read once, when they are shown
        return "name"
    groups = ([(value, word)] if not isinstance(word, list | tuple) else word for value, word in field.widget.choices)
    words = (word for group in groups for _, word in group)
    longest = max((len(str(word)) for word in words), default=0)
    return "tag" if longest <= LETTERS_OF_A_CHOICE else "name"


def _word_of(bound):
    """Say what is the exception: "optional" where most must be filled in, "required" where few must."""
    form, field = bound.form, bound.field
    asked = [
        (name, each.required)
        for name, each in form.fields.items()
        if not each.widget.is_hidden and not isinstance(each, forms.BooleanField)
    ]
    required = sum(is_required for _, is_required in asked)
    may_be_empty = len(asked) - required
    if not required or not may_be_empty or field.disabled or isinstance(field, forms.BooleanField):
        return ""
    if may_be_empty > required:
        return "required" if field.required else ""
    is_free = not field.required and bound.name not in getattr(form, "needed_at_times", ())
    return "optional" if is_free else ""
