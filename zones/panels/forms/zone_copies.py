"""What may be typed to duplicate a zone: new numbers, name, storey and the part of the tags that changes."""

import re

from django import forms

from sites_registry.forms.base import RegisterForm
from zones.panels.zone_copies import MOST_COPIES

LARGEST_NUMBER = 32_767


def read_numbers(text):
    """Zone numbers from a list such as "4, 6-8"; raises ValidationError that names the part it cannot read."""
    numbers = []
    for part in filter(None, re.split(r"[,;\s]+", re.sub(r"\s*[-–…]+\s*|\s*\.\.+\s*", "-", text.strip()))):
        match = re.fullmatch(r"([0-9]{1,5})(?:-([0-9]{1,5}))?", part)
        if not match:
            raise forms.ValidationError(f"'{part}' is not a number. Write for instance 4 or 4, 6-8.")
        first, last = int(match[1]), int(match[2] or match[1])
        if not 1 <= first <= last <= LARGEST_NUMBER:
            raise forms.ValidationError(f"'{part}' is not possible: numbers run upwards from 1 to {LARGEST_NUMBER}.")
        if last - first >= MOST_COPIES or len(numbers) + last - first >= MOST_COPIES:
            raise forms.ValidationError(f"At most {MOST_COPIES} copies at once.")
        numbers.extend(range(first, last + 1))
    if twice := {number for number in numbers if numbers.count(number) > 1}:
        raise forms.ValidationError(f"{', '.join(map(str, sorted(twice)))} is named twice.")
    return numbers


class DuplicateZoneForm(RegisterForm):
    numbers = forms.CharField(
        label="New zone number", max_length=200, help_text="One number or several: 4 or 4, 6-8. Each makes one copy."
    )
    name = forms.CharField(max_length=120, help_text="{number} stands for the new number.")
    storey = forms.CharField(max_length=40, required=False, help_text="{number} may stand here too.")
    tag_from = forms.CharField(label="Part of the tags to replace", max_length=40)
    tag_to = forms.CharField(label="Replace it by", max_length=40, help_text="{number} stands for the new number.")

    def __init__(self, *args, zone, tags, **kwargs):
        # The part up to the first hyphen, where all tags share it, is what people mean: "Z3-" of Z3-SD-01.
        beginnings = {tag.partition("-")[0] + "-" for tag in tags}
        part = beginnings.pop() if len(beginnings) == 1 else f"Z{zone.number}-"
        new_part = part.replace(str(zone.number), "{number}") if str(zone.number) in part else "Z{number}-"
        kwargs["initial"] = {
            "name": zone.name,
            "storey": zone.storey,
            "tag_from": part,
            "tag_to": new_part,
            **(kwargs.get("initial") or {}),
        }
        super().__init__(*args, **kwargs)
        # Blanks at the ends of a part of a tag may be meant.
        self.fields["tag_from"].strip = self.fields["tag_to"].strip = False

    def clean_numbers(self):
        return read_numbers(self.cleaned_data["numbers"])
