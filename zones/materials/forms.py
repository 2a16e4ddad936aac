"""What may be typed about material that arrived: a quantity beside each line of the list."""

from django import forms
from django.utils import timezone

from sites_registry.forms.base import RegisterForm

MOST = 100_000


class ArrivalForm(RegisterForm):
    """One quantity field for each line; `entered()` gives those that were filled."""

    needed_at_times = ("note",)
    arrived_on = forms.DateField(label="Arrived on", initial=timezone.localdate)
    note = forms.CharField(
        max_length=120, required=False, help_text="Delivery note; for a correction (minus) why it is corrected."
    )

    def __init__(self, *args, material, **kwargs):
        super().__init__(*args, **kwargs)
        self.material = material
        for number, line in enumerate(material.lines):
            self.fields[f"line-{number}"] = forms.IntegerField(
                label=line.what,
                required=False,
                min_value=-MOST,
                max_value=MOST,
                widget=forms.TextInput(attrs={"inputmode": "numeric", "class": "form-control number"}),
            )
            # A list of the same address may have changed since the page was opened.
            self.fields[f"key-{number}"] = forms.CharField(required=False, widget=forms.HiddenInput, initial=line.key)

    def clean_arrived_on(self):
        day = self.cleaned_data["arrived_on"]
        if day > timezone.localdate():
            raise forms.ValidationError(f"{day:%-d %b %Y} is still to come. Enter the day on which it came.")
        if day.year < 1990:
            raise forms.ValidationError(f"{day:%-d %b %Y} cannot be right. Check the year.")
        return day

    def clean(self):
        cleaned = super().clean()
        for number in range(len(self.material.lines)):
            quantity, key = cleaned.get(f"line-{number}"), cleaned.get(f"key-{number}")
            if quantity and key and self.material.line(key) is None:
                self.add_error(None, "The list has changed since this page was opened. Nothing was saved: enter again.")
                break
        takes_back = any((cleaned.get(f"line-{number}") or 0) < 0 for number in range(len(self.material.lines)))
        if takes_back and not cleaned.get("note"):
            self.add_error("note", "Say why a quantity is taken back.")
        return cleaned

    def rows(self):
        """[(line, its field)] in the order of the list."""
        return [
            (line, self[f"line-{number}"], self[f"key-{number}"]) for number, line in enumerate(self.material.lines)
        ]

    def entered(self):
        """[(line, quantity)] of the fields that were filled."""
        found = []
        for number, line in enumerate(self.material.lines):
            if quantity := self.cleaned_data.get(f"line-{number}"):
                found.append((self.material.line(self.cleaned_data.get(f"key-{number}")) or line, quantity))
        return found
