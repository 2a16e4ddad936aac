"""Days as they are typed: with the month as a word, as they stand on every page, so that 3 April is never 4 March."""

import re
from datetime import date, datetime

import django_filters
from django import forms
from django.core.exceptions import ValidationError

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
WITH_A_WORD = re.compile(r"(\d{1,2})\.? ?([A-Za-z]{3,9})\.? ?([12]\d{3})", re.ASCII)
DIGITS_ALONE = re.compile(r"(\d{1,2})[./-](\d{1,2})[./-]([12]\d{3})", re.ASCII)
DAY_AND_HOUR = re.compile(r"(.+?),?[ T]+(\d{1,2}:\d{2})(?::\d{2})?(?:\.\d+)?", re.ASCII)
LONGEST = 40  # of what is repeated in a sentence


def in_words(day):
    """3 Mar 2026."""
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"


def read_day(text):
    """The day that was typed; figures that may be two days are refused with both."""
    text = " ".join(text.split())
    if found := WITH_A_WORD.fullmatch(text):
        day, word, year = found.groups()
        called = word[:3].capitalize()
        return _day_of(int(year), MONTHS.index(called) + 1 if called in MONTHS else 0, int(day), text)
    if found := DIGITS_ALONE.fullmatch(text):
        first, second, year = map(int, found.groups())
        if first != second and max(first, second) <= 12:
            one, other = (in_words(date(year, *pair)) for pair in ((second, first), (first, second)))
            raise ValidationError(f"'{text}' may be {one} or {other}. Write the month as a word.", code="two_readings")
        return _day_of(year, min(first, second), max(first, second), text)
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise _not_a_day(text) from None


def read_moment(text):
    """Day and hour that were typed: 3 Mar 2026, 14:30."""
    text = " ".join(text.split())
    found = DAY_AND_HOUR.fullmatch(text)
    try:
        hour = datetime.strptime(found[2], "%H:%M").time()
    except (TypeError, ValueError):
        raise ValidationError(
            f"'{text[:LONGEST]}' is not a day and an hour. Write them as 3 Mar 2026, 14:30.", code="invalid"
        ) from None
    return datetime.combine(read_day(found[1]), hour)


def _day_of(year, month, day, text):
    try:
        return date(year, month, day)
    except ValueError:
        raise _not_a_day(text) from None


def _not_a_day(text):
    return ValidationError(f"'{text[:LONGEST]}' is not a day. Write it as 3 Mar 2026.", code="invalid")


class DateInput(forms.DateInput):
    """A box for a day in words; register.js puts the browser's calendar beside it."""

    def __init__(self, attrs=None):
        super().__init__({"autocomplete": "off", "placeholder": "day Mon year", "data-day": "date", **(attrs or {})})

    def format_value(self, value):
        if isinstance(value, str):
            try:
                value = date.fromisoformat(value)
            except ValueError:
                return value
        return in_words(value) if value else None


class DateTimeInput(forms.DateTimeInput):
    def __init__(self, attrs=None):
        shared = {"autocomplete": "off", "placeholder": "day Mon year, hour:min", "data-day": "datetime-local"}
        super().__init__(shared | (attrs or {}))

    def format_value(self, value):
        if isinstance(value, str):
            try:
                value = datetime.fromisoformat(value)
            except ValueError:
                return value
        return f"{in_words(value)}, {value:%H:%M}" if value else None


class DayField(forms.DateField):
    """A day typed in words or as ISO 8601."""

    widget = DateInput

    def to_python(self, value):
        if isinstance(value, str) and value.strip():
            return read_day(value)
        return super().to_python(value)


class DayFilter(django_filters.DateFilter):
    field_class = DayField
