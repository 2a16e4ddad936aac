"""The form of a product model: the maker chosen or typed, figures above zero, unusual ones questioned."""

import difflib
import hashlib
from types import SimpleNamespace

from django import forms

from sites_registry.forms.base import RegisterModelForm
from sites_registry.words import plain_number
from zones.design_basis.practice import current_practice, practice_of_panel
from zones.editing.figures import FIGURE_GROUPS, USUAL_RANGE, label_and_unit, refusal_of
from zones.editing.forms import IF_NOT_KNOWN
from zones.engineering.findings import counted
from zones.engineering.quantities import QuantityError
from zones.models import DeviceKind, Maker, ProductModel
from zones.models.product_models import MAY_BE_ZERO, QUANTITIES, RANGE_FIGURES
from zones.units.forms.pattern_starts import PatternStartFields
from zones.units.patterns import pattern_of, refuse_repeats
from zones.units.product_models import find_or_create_maker, maker_named, propose_model, take_units_along

POWER_ORDER_FIELDS = ("power_up_order", "isolation_order", "power_order_source")
LONGEST_STEP = 400
CHOICES_NOT_KNOWN = {"drive", "load_kind", "battery_fuse_kind", "output_device_kind", "supply_fuse_kind"}


class ProductModelForm(RegisterModelForm):
    """Create or change a product model. `questions` are sentences that need a deliberate 'yes, it is so'."""

    sentences = {
        "product_model_power_order_has_a_source": (
            "power_order_source",
            "Name the maker's document, with number, edition and page.",
        ),
        "product_model_power_order_of_a_panel": (
            "power_up_order",
            "Only a control panel has a power-up and an isolation order. Empty both.",
        ),
    }

    maker_name = forms.CharField(
        label="Maker",
        max_length=80,
        widget=forms.TextInput(attrs={"list": "makers", "autocomplete": "off"}),
        help_text="Choose one, or type a new one.",
    )

    class Meta:
        model = ProductModel
        fields = [
            "kind",
            "name",
            *QUANTITIES,
            "drive",
            "load_kind",
            "alarm_wiring",
            "removal_opens_line",
            "charger_inhibited",
            "keeps_first_alarm",
            "battery_fuse_kind",
            "output_device_kind",
            "supply_fuse_kind",
            "declaration_reference",
            "is_current",
            "notes",
            *POWER_ORDER_FIELDS,
        ]

    def __init__(self, *args, changed_by=None, **kwargs):
        super().__init__(*args, **kwargs)
        self.changed_by = changed_by
        self.questions = []
        if self.instance.pk:
            self.initial["maker_name"] = self.instance.maker.name
        for name in QUANTITIES:
            self._dress_figure(name)
        for name in ("power_up_order", "isolation_order"):
            self.fields[name].widget.attrs["rows"] = 8
        self.fields["alarm_wiring"].required = False  # left out, the usual one holds
        self.fields["load_kind"].label = "Kind of load"  # as findings call it
        self.fields["load_kind"].help_text = "How its current answers to the voltage. Not known: the worst counts."
        for name, word in (("kind", "choose"), *((one, "not known") for one in CHOICES_NOT_KNOWN)):
            self.fields[name].choices = [("", word), *(choice for choice in self.fields[name].choices if choice[0])]

    def _dress_figure(self, name):
        field = self.fields[name]
        # A text field with a numeric keypad: the browser's number field swallows what it cannot read.
        field.widget = forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"})
        _, unit = label_and_unit(self._meta.model._meta.get_field(name))
        if self.instance.pk and getattr(self.instance, name) is not None:
            self.initial[name] = plain_number(getattr(self.instance, name))
        field.error_messages["invalid"] = f"This is not a number. Write {unit} in plain digits, such as 0.8."

    def makers(self):
        return Maker.objects.values_list("name", flat=True)

    def figure_groups(self):
        """Groups of bound fields, each with the kinds of device that have it."""
        for group in FIGURE_GROUPS:
            yield {
                "heading": group.heading,
                "kinds": " ".join(group.kinds or ()),
                "fields": [self[name] for name in group.names],
            }

    def clean_maker_name(self):
        return " ".join(self.cleaned_data["maker_name"].split())

    def clean_power_up_order(self):
        return self._steps("power_up_order")

    def clean_isolation_order(self):
        return self._steps("isolation_order")

    def _steps(self, name):
        """The typed order, one step a line, without empty lines."""
        lines = [" ".join(line.split()) for line in self.cleaned_data[name].splitlines()]
        lines = [line for line in lines if line]
        for number, line in enumerate(lines, 1):
            if len(line) > LONGEST_STEP:
                raise forms.ValidationError(
                    f"Step {number} has {len(line)} characters; {LONGEST_STEP} can be shown. Break it into two lines."
                )
        return "\n".join(lines)

    def clean_kind(self):
        kind = self.cleaned_data["kind"]
        if self.instance.pk and kind != self.stored.kind:
            units, positions = self.stored.units.count(), self.stored.positions.count()
            if units or positions:
                raise forms.ValidationError(
                    f"This model serves {counted(units, 'unit')} and {counted(positions, 'position')} as a "
                    f"{self.stored.get_kind_display()}. "
                    "Make a new model for the other kind."
                )
        return kind

    def clean(self):
        cleaned = super().clean()
        self._leave_out_choices_of_other_kinds(cleaned)
        self._check_figures(cleaned)
        self._check_name(cleaned)
        self._ask(cleaned)
        return cleaned

    def _leave_out_choices_of_other_kinds(self, cleaned):
        """What was chosen before the kind was: the page shows it no more. What was on record stays."""
        for group in FIGURE_GROUPS:
            if group.kinds and cleaned.get("kind") not in group.kinds:
                for name in CHOICES_NOT_KNOWN.intersection(group.names, self.changed_data):
                    cleaned[name] = ""

    def _check_figures(self, cleaned):
        for name in QUANTITIES:
            value = cleaned.get(name)
            _, unit = label_and_unit(ProductModel._meta.get_field(name))
            if sentence := refusal_of(name, value):
                self.add_error(name, f"{sentence} {IF_NOT_KNOWN}.")
            elif value is not None and (value < 0 or (value == 0 and name not in MAY_BE_ZERO)):
                least = "0 or more" if name in MAY_BE_ZERO else "more than 0"
                self.add_error(name, f"{value:f} {unit} is not possible. {IF_NOT_KNOWN}, else {least}.")
        self._check_ranges(cleaned)
        self._check_voltages(cleaned)

    def _check_voltages(self, cleaned):
        """The voltages of a data sheet in their order, and the second line of an actuator whole or not at all."""
        least, rated = cleaned.get("minimum_voltage_v"), cleaned.get("rated_voltage_v")
        lower, highest = cleaned.get("lower_voltage_v"), cleaned.get("highest_voltage_v")
        if lower and rated and lower >= rated:
            sentence = f"{lower:f} V is not below the rated voltage of {rated:f} V. Correct one of the two."
            self.add_error("lower_voltage_v", sentence)
        if highest and rated and highest < rated:
            sentence = f"{highest:f} V is below the rated voltage of {rated:f} V. Correct one of the two."
            self.add_error("highest_voltage_v", sentence)
        of_lower = ("lower_speed_mm_s", "lower_current_a", "lower_push_force_n", "lower_pull_force_n")
        there = [name for name in of_lower if cleaned.get(name)]
        if there and not lower and "lower_voltage_v" not in self.errors:
            self.add_error(
                "lower_voltage_v", "At which voltage is it so slow or weak, or takes so much? Enter that voltage too."
            )
        if least and rated and least > rated:
            self.add_error(
                "minimum_voltage_v", f"{least:f} V is above the rated voltage of {rated:f} V. Correct one of the two."
            )

    def _check_ranges(self, cleaned):
        given = [name for name in RANGE_FIGURES if cleaned.get(name)]
        try:
            practice_of_panel(current_practice(), SimpleNamespace(**{name: cleaned[name] for name in given}))
        except QuantityError as error:
            self.add_error(given[0], f"With the others the limits are not {error.accepted}. Correct one of them.")

    def _check_name(self, cleaned):
        maker = maker_named(cleaned.get("maker_name", ""))
        if maker and cleaned.get("name"):
            same = ProductModel.objects.filter(maker=maker, name__iexact=cleaned["name"]).exclude(pk=self.instance.pk)
            if same.exists():
                self.add_error("name", f"{maker} has a model '{same.first().name}' already. Change that one instead.")

    def _ask(self, cleaned):
        """Question what is possible but unusual; the tick must belong to exactly these questions."""
        questions = self._unusual_figures(cleaned)
        typed = cleaned.get("maker_name", "")
        if typed and maker_named(typed) is None:
            alike = difflib.get_close_matches(typed, list(self.makers()), n=1, cutoff=0.8)
            if alike:
                questions["maker_name"] = f"There is a maker '{alike[0]}'. Is '{typed}' another?"
        self.questions = list(questions.values())
        if questions and self.data.get(self.add_prefix("is_so")) != self.question_key:
            for name, question in questions.items():
                self.add_error(name, question)

    def _unusual_figures(self, cleaned):
        questions = {}
        for name, (low, high) in USUAL_RANGE.items():
            value = cleaned.get(name)
            if value is not None and value > 0 and not low <= value <= high:
                label, unit = label_and_unit(ProductModel._meta.get_field(name))
                questions[name] = (
                    f"{label.capitalize()} is usually {low:f} to {high:f} {unit}. Is {value:f} {unit} right?"
                )
        starting, rated = cleaned.get("starting_current_a"), cleaned.get("rated_current_a")
        if starting and rated and starting < rated:
            questions.setdefault(
                "starting_current_a", f"Starting at {starting:f} A is less than the rated {rated:f} A. Is that right?"
            )
        return questions

    @property
    def question_key(self):
        """Stands for these questions; a tick given to others does not count."""
        return hashlib.sha256("\n".join(self.questions).encode()).hexdigest()[:16]

    def save(self, commit=True):
        """Save the model, its maker if new, and the maker of its units. Raises ProductModelRefused."""
        self.instance.maker = find_or_create_maker(name=self.cleaned_data["maker_name"])
        product_model = super().save(commit)
        take_units_along(product_model=product_model, changed_by=self.changed_by)
        return product_model


class ProposalForm(PatternStartFields, ProductModelForm):
    """A product model as an engineer finds it on site: what its data plate says, and how it is wired."""

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.dress_pattern()

    def clean_wiring_pattern(self):
        text = super().clean_wiring_pattern()
        try:
            pattern = pattern_of(text)
            if self.cleaned_data.get("kind") != DeviceKind.CONTROL_PANEL:
                refuse_repeats(pattern)
        except forms.ValidationError as error:  # told at this field, whatever the service calls it
            raise forms.ValidationError(error.messages) from error
        return text

    def save(self, commit=True):
        return propose_model(
            product_model=super().save(commit), pattern=self.cleaned_data["wiring_pattern"], by=self.changed_by
        )
