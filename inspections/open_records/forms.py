"""The file of a building that somebody wants to take over."""

from django import forms

from sites_registry.forms.base import RegisterForm

LIMIT_MB = 100
BYTES_OF_A_MB = 1024 * 1024


class BuildingFileForm(RegisterForm):
    file = forms.FileField(
        label="Records of a building (.json)",
        max_length=200,
        widget=forms.ClearableFileInput(attrs={"accept": ".json,application/json"}),
        error_messages={
            "required": "Choose the file that holds the records of the building.",
            "empty": "The file is empty (0 bytes). Choose it again; perhaps it was still being saved.",
        },
    )

    def clean_file(self):
        file = self.cleaned_data["file"]
        if file.size > LIMIT_MB * BYTES_OF_A_MB:
            raise forms.ValidationError(
                f"“{file.name}” has {file.size / BYTES_OF_A_MB:.0f} MB; the limit is {LIMIT_MB} MB."
            )
        return file
