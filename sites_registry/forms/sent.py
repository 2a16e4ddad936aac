"""Fields for what a script sends as JSON."""

from django import forms


class PlainTextField(forms.CharField):
    """A text that every database can store: JSON may carry half a surrogate pair."""

    def to_python(self, value):
        if value not in self.empty_values and not isinstance(value, str):
            raise forms.ValidationError("Send a text here.")
        text = super().to_python(value)
        try:
            text.encode()
        except UnicodeEncodeError:
            raise forms.ValidationError("Take out the characters that cannot be stored.") from None
        return text
