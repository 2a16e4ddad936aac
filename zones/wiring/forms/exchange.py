"""With which core the one on a terminal changes places."""

from itertools import groupby

from django import forms

from sites_registry.forms.base import RegisterForm


class ExchangeForm(RegisterForm):
    """`cores`: what `exchangeable` says; `core`: the one on the terminal of the page, which must still be there."""

    other = forms.ChoiceField(
        label="Changes places with",
        error_messages={"invalid_choice": "This core was moved meanwhile. Choose from the cores as they are now."},
    )
    on_it = forms.IntegerField(widget=forms.HiddenInput)

    def __init__(self, *args, cores, core, **kwargs):
        super().__init__(*args, **kwargs)
        groups = groupby(cores, key=lambda one: one.block)
        offered = [(f"-{block}", [(one.value, one.words) for one in found]) for block, found in groups]
        self.fields["other"].choices = [("", "Choose a core"), *offered]
        self.fields["on_it"].initial = core.pk if core else None
        self.core = core

    def clean_on_it(self):
        on_it = self.cleaned_data["on_it"]
        if self.core is None or on_it != self.core.pk:
            there = f"{self.core} is on this terminal now" if self.core else "No core is on this terminal any more"
            self.add_error("other", f"{there}: somebody changed it meanwhile. Look, then choose again.")
        return on_it
