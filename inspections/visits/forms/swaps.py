"""Old serial out, new serial in."""

from django import forms

from sites_registry.forms.base import RegisterForm
from sites_registry.forms.sent import PlainTextField
from zones.models import ProductModel
from zones.units.forms.units import way_to_propose


class SwapForm(RegisterForm):
    old_serial = PlainTextField(
        label="Old serial, read off the unit that comes out",
        max_length=60,
        required=False,
        widget=forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "characters", "class": "serial"}),
    )
    new_serial = PlainTextField(
        label="New serial",
        max_length=60,
        widget=forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "characters", "class": "serial"}),
    )
    product_model = forms.ModelChoiceField(
        ProductModel.objects.none(),
        label="Model of the new unit",
        error_messages={"invalid_choice": "Choose a model of this list; it is of the kind that the position needs."},
    )
    batch = PlainTextField(label="Batch or date code", max_length=40, required=False)
    firmware = PlainTextField(max_length=40, required=False)
    reason = PlainTextField(label="Why it is swapped", max_length=200)

    def __init__(self, *args, position, fitting, back="", **kwargs):
        super().__init__(*args, **kwargs)
        models = ProductModel.objects.filter(kind=position.kind).select_related("maker")
        self.fields["product_model"].queryset = models
        self.fields["product_model"].help_text = way_to_propose(position.kind, back)
        if fitting is None:
            del self.fields["old_serial"]
        else:
            self.fields["old_serial"].required = True
            self.initial.setdefault("product_model", fitting.unit.product_model_id)
