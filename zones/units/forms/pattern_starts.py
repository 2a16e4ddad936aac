"""A wiring pattern as text with a ready-made one to start from; for forms of product models."""

from django import forms

from zones.units.pattern_starts import pattern_starts, text_of_start


class PatternStartFields(forms.Form):
    """`wiring_pattern` takes the chosen start where nothing else was typed; a script fills it in at once."""

    pattern_start = forms.ChoiceField(label="Start from", required=False)
    wiring_pattern = forms.CharField(
        label="Pattern", max_length=8_000, required=False, strip=False, widget=forms.Textarea(attrs={"rows": 18})
    )

    def dress_pattern(self, kind=""):
        """Called by a form once its fields are there; `kind` limits what is offered."""
        self.starts = pattern_starts(kind)
        choices = [(start.key, start.words) for start in self.starts]
        self.fields["pattern_start"].choices = [("", "nothing ready-made"), *choices]
        self.fields["pattern_start"].widget.attrs["data-pattern-start"] = ""
        self.fields["wiring_pattern"].widget.attrs.update({"rows": 14, "spellcheck": "false", "class": "typed-table"})

    def clean_wiring_pattern(self):
        typed, start = self.cleaned_data["wiring_pattern"], self.cleaned_data.get("pattern_start")
        before = self.get_initial_for_field(self.fields["wiring_pattern"], "wiring_pattern") or ""
        is_untouched = not typed.strip() or typed.split() == before.split()
        return text_of_start(start) if start and is_untouched else typed
