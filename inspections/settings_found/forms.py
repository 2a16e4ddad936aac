"""The settings of a panel compared on a visit: one row per setting, any number of them answered."""

import hashlib
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation

from django import forms

from inspections.models import SettingFound, Severity
from inspections.models.defects import SEVERITY_MEANING
from inspections.settings_found.found import SettingAnswer
from sites_registry.forms.base import RegisterForm
from sites_registry.forms.sent import PlainTextField
from sites_registry.typed_numbers import NumberNotClear, with_point
from zones.engineering.access_codes import faults_of_setting

Answer = SettingFound.Answer
KNOWN = [(answer, answer.label) for answer in (Answer.AS_LEFT, Answer.DIFFERS, Answer.NOT_SEEN)]
NOT_KNOWN = [(Answer.RECORDED, "found"), (Answer.NOT_SEEN, "not seen")]
SEVERITIES = [(value, f"{label}: {SEVERITY_MEANING[value]}") for value, label in Severity.choices]


@dataclass(frozen=True)
class SettingRow:
    """One setting as the page shows it: its line, what is recorded of it on this visit, its fields."""

    line: object
    entry: object
    answer: object = None
    found: object = None
    reason: object = None
    severity: object = None
    seen: object = None
    put_right: object = None
    defect: object = None

    @property
    def errors(self):
        fields = (self.answer, self.found, self.reason, self.severity)
        return [error for field in fields if field is not None for error in field.errors]


def mark_of(line):
    """A short mark of a line's value as the page showed it, to notice that the record changed meanwhile."""
    return hashlib.sha256(line.value_with_unit.encode()).hexdigest()[:16]


class SettingsFoundForm(RegisterForm):
    """Rows left alone are no answers; one wrong row keeps all from being stored, with the reason beside it."""

    def __init__(self, *args, lines, entries, defects=None, **kwargs):
        super().__init__(*args, **kwargs)
        self.lines, self.entries, self.defects = lines, entries, defects or {}
        for line in lines:
            self._add_fields(line)

    def _add_fields(self, line):
        choices = KNOWN if line.is_known else NOT_KNOWN
        self.fields[f"answer-{line.key}"] = forms.ChoiceField(choices=choices, required=False, widget=forms.RadioSelect)
        if line.choices:
            others = [word for word in line.choices if not line.is_known or word != line.value]
            found = forms.ChoiceField(choices=[("", "choose"), *((word, word) for word in others)], required=False)
        else:
            found = PlainTextField(max_length=200, required=False)
        found.widget.attrs |= {"autocomplete": "off", "class": "form-select" if line.choices else "form-control"}
        self.fields[f"found-{line.key}"] = found
        self.fields[f"reason-{line.key}"] = PlainTextField(max_length=300, required=False)
        severities = SEVERITIES if line.is_known else [("", "no defect: only not on record"), *SEVERITIES]
        self.fields[f"severity-{line.key}"] = forms.ChoiceField(
            choices=severities, required=False, initial=Severity.DEGRADED if line.is_known else ""
        )
        self.fields[f"reason-{line.key}"].widget.attrs["class"] = "form-control"
        self.fields[f"severity-{line.key}"].widget.attrs["class"] = "form-select"
        if line.key in self.defects:
            self.fields[f"put_right-{line.key}"] = forms.BooleanField(required=False)
        self.fields[f"seen-{line.key}"] = forms.CharField(
            required=False, widget=forms.HiddenInput, initial=mark_of(line), max_length=16
        )

    def rows(self):
        for line in self.lines:
            names = ("answer", "found", "reason", "severity", "seen")
            fields = {name: self[f"{name}-{line.key}"] for name in names}
            if defect := self.defects.get(line.key):
                fields |= {"put_right": self[f"put_right-{line.key}"], "defect": defect}
            yield SettingRow(line, self.entries.get(line.key), **fields)

    def clean(self):
        cleaned = super().clean()
        self.answers = [
            answer
            for line in self.lines
            if cleaned.get(f"answer-{line.key}") and (answer := self._answer(line, cleaned)) is not None
        ]
        if not self.answers and not self.errors:
            self.add_error(None, "Nothing was answered. Choose for at least one setting what you found.")
        return cleaned

    def _answer(self, line, cleaned):
        """The answer of one row, or None with the reason at its field."""
        if any(f"{name}-{line.key}" in self.errors for name in ("answer", "found", "reason", "severity")):
            return None
        answer, found = cleaned[f"answer-{line.key}"], cleaned[f"found-{line.key}"]
        if cleaned.get(f"seen-{line.key}") != mark_of(line):
            return self._refuse(
                line,
                "answer",
                f"The record was changed while this was open: it says {line.value_with_unit} now. Compare once more.",
            )
        if answer == Answer.NOT_SEEN:
            reason = cleaned[f"reason-{line.key}"]
            if not reason:
                return self._refuse(line, "reason", "Say why it was not seen.")
            return SettingAnswer(line, answer, reason=reason, severity="")
        if answer == Answer.AS_LEFT:
            is_put_right = cleaned.get(f"put_right-{line.key}", False)
            return SettingAnswer(line, answer, severity="", is_put_right=is_put_right)
        if not found:
            return self._refuse(line, "found", "Enter what you found.")
        if sentence := faults_of_setting(line.name, found, line.unit).get("value"):
            return self._refuse(line, "found", sentence)
        if answer == Answer.DIFFERS and _is_the_same(line, found):
            return self._refuse(line, "found", f"'{found}' is what stands as left. Choose 'as left' instead.")
        severity = cleaned[f"severity-{line.key}"] or (Severity.DEGRADED if line.is_known else "")
        return SettingAnswer(line, answer, found=_without_unit(line, found), severity=severity)

    def _refuse(self, line, name, sentence):
        self.add_error(f"{name}-{line.key}", sentence)


def _without_unit(line, found):
    return found.removesuffix(line.unit).strip() if line.unit and found != line.unit else found


def _is_the_same(line, found):
    text = _without_unit(line, found)
    try:
        return Decimal(with_point(text)) == Decimal(line.value)
    except (InvalidOperation, NumberNotClear):
        return text.casefold() == line.value.casefold()
