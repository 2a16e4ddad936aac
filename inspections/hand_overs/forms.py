"""Hand over: to which manager of the building."""

from django import forms

from sites_registry.forms.base import RegisterForm
from sites_registry.forms.sent import PlainTextField
from sites_registry.models import Person


class HandOverForm(RegisterForm):
    to = forms.ModelChoiceField(Person.objects.none(), label="Hand over to", empty_label="choose")
    note = PlainTextField(
        max_length=400, required=False, help_text="Read by the manager; stands on the hand-over list."
    )

    def __init__(self, *args, building, **kwargs):
        super().__init__(*args, **kwargs)
        managers = building.managers.filter(is_active=True).order_by("full_name")
        self.fields["to"].queryset = managers
        if len(managers) == 1:
            self.fields["to"].initial = managers[0].pk
