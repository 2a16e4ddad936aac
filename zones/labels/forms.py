"""Which labels to print, and on which stock: a form whose values stand in the address."""

import re

from django import forms
from django.core.exceptions import ValidationError

from sites_registry.forms.base import RegisterForm
from sites_registry.words import storey_words
from zones.engineering.drawings.label_sheets import A4_HEIGHT_MM, A4_WIDTH_MM, STOCKS, LabelStock, StockError
from zones.labels.records import known_tags
from zones.labels.words import CHOICES, ENGLISH
from zones.models import ControlPanel, SmokeZone
from zones.positions.edits import storey_rank

OWN = "own"
WHAT = [("devices", "devices"), ("cables", "cables, one for each end"), ("cores", "cores, one for each end")]
MOST_SHOWN = 5  # unknown tags named in one message
MEASURES = ("columns", "rows", "width_mm", "height_mm", "left_mm", "top_mm", "gap_x_mm", "gap_y_mm")


def _words(stock):
    return f"{stock.columns} × {stock.rows}, {stock.width_mm:g} × {stock.height_mm:g} mm"


def _measure(label, least, most, *, is_count=False, initial=None):
    kind = forms.IntegerField if is_count else forms.DecimalField
    rest = {} if is_count else {"max_digits": 5, "decimal_places": 2}
    unit = "" if is_count else " mm"
    words = f"%(show_value)s{unit} is not possible: it must be from {least} to {most}{unit}."
    field = kind(label=label, required=False, initial=initial, min_value=least, max_value=most, **rest)
    for validator in field.validators:
        if getattr(validator, "code", "") in ("min_value", "max_value"):
            validator.message = words
    return field


class LabelSheetForm(RegisterForm):
    """What, of which part of the building, on which sheet."""

    what = forms.ChoiceField(label="Labels for", choices=WHAT, initial="devices")
    panel = forms.ModelChoiceField(ControlPanel.objects.none(), required=False, empty_label="all panels")
    zone = forms.ModelChoiceField(SmokeZone.objects.none(), required=False, empty_label="all zones")
    storey = forms.ChoiceField(required=False)
    tags = forms.CharField(
        label="Only these tags",
        required=False,
        max_length=2000,
        help_text="Separated by commas or spaces. Empty: all that the choices above leave.",
        widget=forms.TextInput(attrs={"autocapitalize": "characters", "spellcheck": "false"}),
    )
    language = forms.ChoiceField(label="Language", choices=CHOICES, initial=ENGLISH, required=False)
    second_language = forms.ChoiceField(
        label="Second language",
        choices=[("", "none"), *CHOICES],
        required=False,
        help_text="The fixed words stand in both. Tags, places and names stay as typed. "
        "Have the words read by somebody who speaks the language.",
    )
    stock = forms.ChoiceField(
        label="Sheet of labels, A4",
        choices=[*((key, _words(stock)) for key, stock in STOCKS.items()), (OWN, "own measures")],
        initial="3x8",
    )
    start = forms.IntegerField(
        label="First free label",
        initial=1,
        required=False,
        min_value=1,
        max_value=1000,
        help_text="On a sheet that is used in part: counted from the upper left, row by row.",
    )
    outlines = forms.BooleanField(label="Draw the edges, for a trial", required=False)
    columns = _measure("Columns", 1, 20, is_count=True)
    rows = _measure("Rows", 1, 60, is_count=True)
    width_mm = _measure("Width of a label (mm)", 10, int(A4_WIDTH_MM))
    height_mm = _measure("Height of a label (mm)", 5, int(A4_HEIGHT_MM))
    left_mm = _measure("Left edge of the sheet to the first (mm)", 0, 200)
    top_mm = _measure("Upper edge of the sheet to the first (mm)", 0, 280)
    gap_x_mm = _measure("Gap between columns (mm)", 0, 100)
    gap_y_mm = _measure("Gap between rows (mm)", 0, 100)

    def __init__(self, *args, building, **kwargs):
        super().__init__(*args, **kwargs)
        self.building = building
        self.fields["panel"].queryset = building.panels.select_related("position").order_by("position__tag_key")
        self.fields["panel"].label_from_instance = lambda panel: panel.tag
        self.fields["zone"].queryset = building.smoke_zones.order_by("number")
        names = building.positions.in_use().exclude(storey="").values_list("storey", flat=True).order_by().distinct()
        storeys = ((name, storey_words(name)) for name in sorted(names, key=storey_rank))
        self.fields["storey"].choices = [("", "all storeys"), *storeys]

    @property
    def grouped(self):
        """Fields by heading, as the page shows them."""
        own = [self[name] for name in MEASURES]
        return (
            ("Which labels", [self[name] for name in ("what", "panel", "zone", "storey", "tags")], ""),
            ("In which language", [self[name] for name in ("language", "second_language")], ""),
            ("On which sheet", [self[name] for name in ("stock", "start", "outlines")], ""),
            ("Own measures", own, "own"),
        )

    def clean_start(self):
        return self.cleaned_data["start"] or 1

    def clean(self):
        cleaned = super().clean()
        what = cleaned.get("what")
        if what in ("cables", "cores"):
            for name in ("zone", "storey"):
                if cleaned.get(name):
                    self.add_error(name, f"A cable belongs to no {name}: choose a panel or tags, and leave this empty.")
        if cleaned.get("tags") and what:
            cleaned["tags"] = self._known(cleaned["tags"], what)
        cleaned["measures"] = self._stock(cleaned)
        stock, start = cleaned["measures"], cleaned.get("start", 1)
        if stock and start > stock.per_sheet:
            most = stock.per_sheet
            self.add_error("start", f"A sheet has {most} labels; {start} is more. Enter a number from 1 to {most}.")
        return cleaned

    def _known(self, text, what):
        tags = [tag for tag in re.split(r"[\s,;]+", text) if tag]
        known = known_tags(self.building, what)
        unknown = [tag for tag in tags if tag.upper() not in known]
        if unknown:
            names = ", ".join(f"'{tag[:40]}'" for tag in unknown[:MOST_SHOWN])
            more = f" and {len(unknown) - MOST_SHOWN} more" if len(unknown) > MOST_SHOWN else ""
            word = "device" if what == "devices" else "cable"
            plural = len(unknown) > 1
            self.add_error(
                "tags",
                f"{names}{more} {'are' if plural else 'is'} no {word}{'s' if plural else ''} of {self.building}. "
                f"Correct {'them' if plural else 'it'}, or leave {'them' if plural else 'it'} out.",
            )
        return [known[tag.upper()] for tag in tags if tag.upper() in known]

    def _stock(self, cleaned):
        if cleaned.get("stock") != OWN:
            return STOCKS.get(cleaned.get("stock"))
        if any(name in self.errors for name in MEASURES):
            return None
        missing = [name for name in MEASURES[:4] if cleaned.get(name) is None]
        for name in missing:
            self.add_error(
                name, ValidationError("Own measures need this figure. Measure it on the sheet.", code="required")
            )
        if missing:
            return None
        counts = {name: cleaned[name] for name in MEASURES[:2]}
        try:
            return LabelStock(**counts, **{name: float(cleaned.get(name) or 0) for name in MEASURES[2:]})
        except StockError as error:
            self.add_error(error.field, str(error))
            return None
