"""What the forms of the calculators share: a figure typed by hand, refused with its range, questioned when unusual."""

import re

from django import forms
from django.core.exceptions import ValidationError

from sites_registry.forms.base import RegisterForm, shortened, show_where_empty
from sites_registry.typed_numbers import NumberNotClear, with_point
from zones.engineering.findings import Finding, question
from zones.engineering.quantities import QUANTITIES, QuantityError, check_quantity, in_words, questioned, shown
from zones.engineering.sources import PRACTICE

NUMBER = re.compile(r"[-+]?(\d+(\.\d*)?|\.\d+)(e[-+]?\d{1,3})?", re.ASCII | re.IGNORECASE)
LONGEST = 24  # of a typed number; nobody measures with more digits
YES_NO = [("", "not known"), ("yes", "yes"), ("no", "no")]


class FigureField(forms.CharField):
    """A number as typed; empty is not known (None). What cannot be is refused with value and accepted range."""

    def __init__(self, name, quantity, *, unit=None, whole=False, most=None, **options):
        self.quantity, self.whole, self.most, self.called = quantity, whole, most, name
        self.unit = QUANTITIES[quantity].unit if unit is None else unit
        options.setdefault("required", False)
        options.setdefault("widget", forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}))
        super().__init__(label=f"{name} ({self.unit})" if self.unit else name, **options)

    @property
    def accepted(self):
        return QUANTITIES[self.quantity].accepted

    def clean(self, value):
        text = self._with_point(super().clean(value))
        if not text:
            return None
        number = self._number(text)
        try:
            check_quantity(self.quantity, number, field=self.called)
        except QuantityError as error:
            raise ValidationError(refused(text, error)) from error
        if self.whole and number != int(number):
            raise ValidationError(f"{text} is not possible: it must be a whole number.")
        if self.most is not None and number > self.most:
            raise ValidationError(f"{text} is too many to reckon with here: it must be at most {self.most}.")
        return int(number) if self.whole else number

    @staticmethod
    def _with_point(text):
        try:
            return with_point(text)
        except NumberNotClear as error:
            raise ValidationError(str(error), code="not_clear") from error

    def _number(self, text):
        if len(text) <= LONGEST and NUMBER.fullmatch(text):
            return float(text)
        raise ValidationError(f"'{shortened(text)}' is not a number: it must be {self.accepted}.")


def refused(text, error):
    """The sentence of a QuantityError at a field: the value as typed, the accepted range, the likely slip."""
    return f"{text} is not possible: it must be {error.accepted}. {error.hint}".rstrip()


class OneOfField(forms.ChoiceField):
    """A choice; a value from an old or mistyped address is told with what there is to choose from."""

    default_error_messages = {"invalid_choice": "'%(value)s' is not one of the choices. Choose one of the list."}

    def __init__(self, label, choices, **options):
        options.setdefault("required", False)
        super().__init__(label=label, choices=choices, **options)

    def validate(self, value):
        if value and not self.valid_value(value):
            message = self.error_messages["invalid_choice"]
            raise ValidationError(message, code="invalid_choice", params={"value": shortened(value)})
        super().validate(value)


class YesNoField(OneOfField):
    """Yes, no, or not known (None)."""

    def __init__(self, label, **options):
        super().__init__(label, YES_NO, **options)

    def clean(self, value):
        return {"yes": True, "no": False}.get(super().clean(value))


class CalculatorForm(RegisterForm):
    """A form that stands in the address. `groups`: (legend, names of fields), in the order of the page."""

    groups = ()
    from_practice = ()  # (field, figure of the firm's common practice, how many of its unit the field's is)

    def show_practice(self, practice):
        """Grey in the empty boxes what is reckoned with then."""
        figures = {name: times * getattr(practice, figure) for name, figure, times in self.from_practice}
        show_where_empty(self, {name: round(figure, 3) for name, figure in figures.items()})

    @classmethod
    def asked(cls, query):
        """Whether an address holds any figure; without one the page shows a hint, no errors."""
        return any(query.get(name, "").strip() for name in cls.base_fields)

    def grouped(self):
        """(legend, bound fields) for the template."""
        return [(legend, [self[name] for name in names]) for legend, names in self.groups]

    def questions(self) -> list[Finding]:
        """What is possible but far from trade values: used as entered, and asked."""
        return [
            question("figure.unusual", field.called, f"{words[:1].upper()}{words[1:]}", PRACTICE)
            for name, field in self.fields.items()
            if isinstance(field, FigureField) and name in self.cleaned_data
            if (words := questioned(field.quantity, self.cleaned_data[name], field=field.called.lower()))
        ]

    def refuse(self, error: QuantityError):
        """Tell at its field what engineering refuses of figures that do not go together."""
        if error.field in self.fields:
            self.add_error(error.field, refused(shown(error.value), error))
        else:
            whose = in_words(error.field)
            self.add_error(None, f"{whose[:1].upper()}{whose[1:]}: {refused(shown(error.value), error)}")
