"""Forms of units: the unit itself, where one goes, and the question of a recall."""

from urllib.parse import urlencode

from django import forms
from django.urls import reverse
from django.utils import timezone
from django.utils.html import format_html

from sites_registry.forms.base import RegisterForm, RegisterModelForm
from sites_registry.models import Building
from zones.engineering.unit_labels import LabelError, read_label
from zones.models import Position, ProductModel, Unit
from zones.models.kinds import with_article
from zones.units.edits import UnitRefused, tidy_serial, unit_of_maker

LONGEST_SCAN = 200  # an element string with all its elements


def models_by_kind(queryset):
    """Choices of product models in groups by kind."""
    groups = {}
    for product_model in queryset.with_maker().order_by("kind", "maker__name", "name"):
        groups.setdefault(product_model.get_kind_display(), []).append((product_model.pk, str(product_model)))
    return [("", "choose"), *((kind, models) for kind, models in groups.items())]


def way_to_propose(kind="", back=""):
    """The way to a model that the list lacks, as the help of a field."""
    query = urlencode({name: value for name, value in (("kind", kind), ("next", back)) if value})
    return format_html(
        'Not in the list? <a class="way" href="{}?{}">Propose the model</a>', reverse("product-model-propose"), query
    )


def label_of(text):
    """The label that was typed or scanned; its serial can be stored. Raises ValidationError."""
    try:
        label = read_label(text, timezone.localdate())
        tidy_serial(label.serial)
    except LabelError as error:
        raise forms.ValidationError(str(error)) from error
    except UnitRefused as refusal:
        raise forms.ValidationError(refusal.reasons) from refusal
    return label


class UnitForm(RegisterModelForm):
    """Create or change a unit. The serial may be scanned: a label with elements fills in an empty batch."""

    serial = forms.CharField(
        max_length=LONGEST_SCAN,
        help_text="As on the label, typed or scanned.",
        widget=forms.TextInput(attrs={"autocomplete": "off", "spellcheck": "false"}),
    )

    class Meta:
        model = Unit
        fields = ["product_model", "serial", "batch", "firmware", "notes"]

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["product_model"].choices = models_by_kind(ProductModel.objects.all())

    def clean_serial(self):
        self.label = label_of(self.cleaned_data["serial"])
        return tidy_serial(self.label.serial)

    def clean_product_model(self):
        product_model = self.cleaned_data["product_model"]
        if self.instance.pk and product_model.kind != self.stored.product_model.kind and self.stored.fittings.exists():
            raise forms.ValidationError(
                f"This unit was fitted as a {self.stored.product_model.get_kind_display()}; "
                f"{product_model} is {with_article(product_model.get_kind_display())}. Choose a model of the same kind."
            )
        return product_model

    def clean(self):
        cleaned = super().clean()
        if not cleaned.get("batch") and "serial" in cleaned:
            cleaned["batch"] = self.label.batch_or_date_code
        product_model, serial = cleaned.get("product_model"), cleaned.get("serial")
        if product_model and serial:
            same = unit_of_maker(maker=product_model.maker_id, serial=serial)
            if same and same.pk != self.instance.pk:
                self.add_error(
                    "serial",
                    f"Serial '{same.serial}' of {product_model.maker} is in the register already, as model "
                    f"{same.product_model.name}. Open that unit, or correct the serial.",
                )
        return cleaned


class UnitPlaceForm(RegisterForm):
    """Where a unit goes: a tag of a building, on a day."""

    building = forms.ModelChoiceField(queryset=Building.objects.none(), empty_label="choose")
    tag = forms.CharField(max_length=40, help_text="Tag of the position, such as SD4.")
    day = forms.DateField(label="Date", initial=timezone.localdate)
    reason = forms.CharField(max_length=200, required=False, help_text="Why it is moved; kept in the history.")

    def __init__(self, *args, person, **kwargs):
        super().__init__(*args, **kwargs)
        self.person = person
        self.fields["building"].queryset = Building.objects.visible_to(person)

    def clean(self):
        cleaned = super().clean()
        building, tag = cleaned.get("building"), cleaned.get("tag")
        if building and tag:
            positions = Position.objects.visible_to(self.person).filter(building=building)
            cleaned["position"] = positions.filter(tag__iexact=tag).first()
            if cleaned["position"] is None:
                self.add_error(
                    "tag", f"{building} has no position '{tag}'. Correct the tag, or add the position first."
                )
        return cleaned


class RecallForm(RegisterForm):
    """Which buildings have batch X of model Y?"""

    model = forms.ModelChoiceField(queryset=ProductModel.objects.none(), label="Model")
    batch = forms.CharField(label="Batch or date code", max_length=40, required=False, help_text="Empty: all.")

    def __init__(self, *args, person, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["model"].queryset = ProductModel.objects.visible_to(person).with_maker()
        self.fields["model"].choices = models_by_kind(ProductModel.objects.visible_to(person))
