"""Which devices are put on a run."""

from django import forms

from sites_registry.forms.base import RegisterForm
from zones.positions.run_members import MOST_ON_A_RUN


class RunMembersForm(RegisterForm):
    """`devices`: those that may be put on the run, with the run that each is on."""

    devices = forms.ModelMultipleChoiceField(
        queryset=None,
        widget=forms.CheckboxSelectMultiple,
        error_messages={
            "required": "No device is ticked. Tick those that belong on it.",
            "invalid_choice": "A ticked device was changed and is not offered any more. Look, then tick again.",
            "invalid_pk_value": "A ticked device is not offered any more. Look, then tick again.",
        },
    )

    def __init__(self, *args, devices, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["devices"].queryset = devices

    def clean_devices(self):
        devices = self.cleaned_data["devices"]
        if len(devices) > MOST_ON_A_RUN:
            raise forms.ValidationError(f"{len(devices)} devices are ticked; at most {MOST_ON_A_RUN} at once.")
        return devices

    @property
    def ticked(self):
        """Keys of the devices that are ticked, as they were sent."""
        return {str(key) for key in self["devices"].value() or ()}
