"""What every form of the register does: tidy texts, and tell the second of two people that a record changed."""

from decimal import Decimal

from django import forms
from django.core.exceptions import NON_FIELD_ERRORS, FieldDoesNotExist, ValidationError
from django.core.validators import MaxValueValidator, ProhibitNullCharactersValidator
from django.db import models, transaction
from django.db.models.fields import BLANK_CHOICE_DASH

from sites_registry.forms.days import DateInput, DateTimeInput, read_day, read_moment
from sites_registry.typed_numbers import NumberNotClear, with_point
from sites_registry.words import plain_number

MOST_REPEATED = 20  # characters of what was typed that a sentence repeats
MOST_DIGITS = 15  # before the point, and zeros after it: beyond, a number is written out over pages
DASHES = BLANK_CHOICE_DASH[0][1]  # what Django shows for "nothing chosen"
EMPTY = {True: "choose", False: "not entered"}


def _dress(field):
    """Give a field the widgets and limits that all forms share."""
    if isinstance(field, forms.DateField):
        _take_words(field, DateInput, read_day)
    if isinstance(field, forms.DateTimeField):
        _take_words(field, DateTimeInput, read_moment)
    _name_the_empty_choice(field)
    if isinstance(field, forms.NullBooleanField):
        field.widget.choices = [("unknown", "not known"), ("true", "yes"), ("false", "no")]
    if isinstance(field.widget, forms.Textarea):
        field.widget.attrs["rows"] = 3
    if isinstance(field, forms.DecimalField | forms.IntegerField | forms.FloatField):
        has_decimals = isinstance(field, forms.DecimalField | forms.FloatField)
        _take_as_typed(field)
        field.widget.attrs.setdefault("inputmode", "decimal" if has_decimals else "numeric")
        _take_commas(field)


def _take_words(field, box, read):
    """Let a field of a day, or of a day and hour, take it as it stands on every page."""
    if not isinstance(field.widget, box):
        field.widget = box()
    as_field = field.to_python
    field.to_python = lambda value: as_field(read(value) if isinstance(value, str) and value.strip() else value)


def _take_as_typed(field):
    """Give a number a text box: in a browser's number box 12,5 becomes 125 without a word, and a wheel turns it."""
    if isinstance(field.widget, forms.NumberInput):
        attrs = {name: value for name, value in field.widget.attrs.items() if name not in ("step", "min", "max")}
        field.widget = forms.TextInput(attrs={"autocomplete": "off", **attrs})


def _take_commas(field):
    """Let a field of a number take a comma before its decimals, and ask where that can be read two ways."""
    as_field = field.to_python

    def to_python(value):
        try:
            number = as_field(with_point(value) if isinstance(value, str) else value)
        except NumberNotClear as error:
            raise ValidationError(str(error), code="not_clear") from error
        except ValidationError as error:
            if error.code != "invalid" or field.error_messages["invalid"] != field.default_error_messages["invalid"]:
                raise
            raise ValidationError(_no_number(field, value), code="invalid") from error
        if isinstance(number, int | float | Decimal) and number and not _can_be_written(number):
            raise ValidationError(f"'{shortened(value)}' is not possible. {_as_an_example(field)}", code="invalid")
        return number

    field.to_python = to_python


def _no_number(field, value):
    kind = "number" if isinstance(field, forms.DecimalField | forms.FloatField) else "whole number"
    return f"'{shortened(value)}' is not a {kind}. {_as_an_example(field)}"


def _as_an_example(field):
    if isinstance(field, forms.DecimalField | forms.FloatField):
        return "Enter a number in plain digits, such as 12.5."
    return "Enter a whole number in plain digits, such as 12."


def _can_be_written(number):
    """Whether figures of a usual length say it; what is no number at all is told by the field itself."""
    return not Decimal(number).is_finite() or 10.0**-MOST_DIGITS <= abs(number) < 10.0**MOST_DIGITS


def shortened(value):
    """What was typed, for a message: a pasted page is not repeated in full."""
    typed = str(value).strip()
    return typed if len(typed) <= MOST_REPEATED else f"{typed[:MOST_REPEATED]}…"


def _name_the_empty_choice(field):
    """Nine dashes say nothing to anybody."""
    if isinstance(field, forms.ModelChoiceField):
        if field.empty_label == DASHES:
            field.empty_label = EMPTY[field.required]
    elif isinstance(field, forms.ChoiceField):
        field.choices = [(value, EMPTY[field.required] if word == DASHES else word) for value, word in field.choices]


def _limit(field, name, model):
    """SQLite stores any whole number; hold the form to what every database takes."""
    try:
        stored_as = model._meta.get_field(name)
    except FieldDoesNotExist:
        return
    if isinstance(field, forms.IntegerField) and isinstance(stored_as, models.IntegerField):
        small = isinstance(stored_as, models.SmallIntegerField | models.PositiveSmallIntegerField)
        most = 32_767 if small else 2_147_483_647
        if field.max_value is None or field.max_value > most:
            field.max_value = most
            field.validators.insert(0, MaxValueValidator(most, "%(show_value)s is too much: at most %(limit_value)s."))


class RegisterForm(forms.Form):
    """A form that does not edit one record."""

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        for field in self.fields.values():
            _dress(field)


class RegisterModelForm(forms.ModelForm):
    """A form over one record; `seen_version` is the version of the record that the page showed.

    When the stored version is another, the form is not valid: `stale_fields` lists stored and typed values,
    and the hidden version is brought up to date, so that saving again is a deliberate act.
    `fixed_fields` are set by the page (the panel of a circuit): not typed, yet part of the rules that are checked.
    `sentences`: constraint → (field, sentence), so that a broken rule is told at its field; {value} is what was typed.
    """

    fixed_fields = ()
    sentences = {}
    seen_version = forms.IntegerField(required=False, widget=forms.HiddenInput)
    stale_fields = ()
    stale_by = None

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        for name, field in self.fields.items():
            _dress(field)
            _limit(field, name, self._meta.model)
            if isinstance(self.initial.get(name), Decimal):
                self.initial[name] = Decimal(_plain(self.initial[name]))  # 2.5, not 2.50: as a person writes it
        if self.instance.pk and hasattr(self.instance, "row_version"):
            self.initial["seen_version"] = self.instance.row_version
        else:
            del self.fields["seen_version"]

    def clean(self):
        cleaned = super().clean()
        if "seen_version" in self.fields and self.is_stale(cleaned):
            self._tell_stale()
        return cleaned

    def is_stale(self, cleaned):
        return cleaned.get("seen_version") != self.stored.row_version

    def stored_record_of(self, name):
        """The stored record that holds this field, for forms that edit a record together with its other half."""
        return self.stored

    def _get_validation_exclusions(self):
        return super()._get_validation_exclusions() - set(self.fixed_fields)

    def _update_errors(self, errors):
        super()._update_errors(self._at_their_fields(errors))

    def _at_their_fields(self, errors):
        """Move the message of a broken constraint from the head of the form to the field named in `sentences`."""
        places = {
            constraint.get_violation_error_message(): self.sentences[constraint.name]
            for constraint in self._meta.model._meta.constraints
            if constraint.name in self.sentences
        }
        found = getattr(errors, "error_dict", {NON_FIELD_ERRORS: getattr(errors, "error_list", [])})
        placed = {}
        for field, listed in found.items():
            for error in listed:
                at, message = places.get(error.message, (field, None))
                if message is not None and at in self.fields:
                    error = ValidationError(message.format(value=self.cleaned_data.get(at)), code=error.code)
                    placed.setdefault(at, []).append(error)
                else:
                    placed.setdefault(field if field in self.fields else NON_FIELD_ERRORS, []).append(error)
        return ValidationError(placed)

    @property
    def stored(self):
        """The record as it stands in the database now; `self.instance` takes the typed values while cleaning."""
        if not hasattr(self, "_stored"):
            self._stored = type(self.instance)._default_manager.get(pk=self.instance.pk)
        return self._stored

    def _tell_stale(self):
        rows = []
        for name in self.fields:
            record = self.stored_record_of(name)
            if name == "seen_version" or not hasattr(record, name):  # such as the reason asked for with a change
                continue
            # A field of the form alone (a maker typed by name) is compared with the attribute of its name.
            value = forms.models.model_to_dict(record, [name]).get(name, getattr(record, name))
            stored = self[name].field.prepare_value(value)
            yours = self.cleaned_data.get(name, self[name].value())
            if _plain(stored) != _plain(self[name].field.prepare_value(yours)):
                rows.append(
                    {
                        "label": self[name].label,
                        "stored": _shown(record, name),
                        "yours": _shown_value(yours),
                    }
                )
        self.stale_fields = rows
        newest = self.stored.history.select_related("history_user").first() if hasattr(self.stored, "history") else None
        self.stale_by = newest and newest.history_user
        self.data = self.data.copy()
        self.data[self.add_prefix("seen_version")] = self.stored.row_version
        self.add_error(None, "This record was changed after you opened it. Compare and save again.")

    @transaction.atomic
    def save(self, commit=True):
        """Save on top of what is stored now. Call inside `transaction.atomic` with the row read for update."""
        if "seen_version" in self.fields:
            self.instance.row_version = self.stored.row_version
        return super().save(commit)


def _plain(value):
    if value in (None, ""):
        return ""
    if isinstance(value, list | tuple):
        return sorted(str(getattr(item, "pk", item)) for item in value)
    return f"{value.normalize():f}" if hasattr(value, "normalize") else str(getattr(value, "pk", value))


def _shown(record, name):
    display = getattr(record, f"get_{name}_display", None)
    value = display() if display else getattr(record, name, None)
    return ", ".join(map(str, value.all())) if hasattr(value, "all") else value


def _shown_value(value):
    return ", ".join(map(str, value)) if isinstance(value, list | tuple) or hasattr(value, "model") else value


no_null_characters = ProhibitNullCharactersValidator(message="Take out the invisible null character.")


def show_where_empty(form, figures, *, of_model=None):
    """The figure that holds while a box is empty, grey in it; where it is from stands in the words below the box.

    `figures`: by name of the field, None where nothing is known. `of_model`: the key of the product model they are of;
    register.js takes them away when another one is chosen in the form.
    """
    for name, figure in figures.items():
        if name in form.fields and figure is not None:
            form.fields[name].widget.attrs["placeholder"] = plain_number(figure)
            if of_model is not None:
                form.fields[name].widget.attrs["data-of-model"] = of_model
