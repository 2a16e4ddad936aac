"""Accept what stands: which matters, and why."""

from django import forms

from inspections.standing_matters.matters import MOST_SHOWN
from sites_registry.forms.base import RegisterForm
from sites_registry.forms.sent import PlainTextField


class AcceptForm(RegisterForm):
    """`matters` are digests of what the page showed; whether they still stand so is asked by the service."""

    matters = forms.TypedMultipleChoiceField(
        coerce=str, error_messages={"required": "Nothing was chosen. Tick what you accept."}
    )
    reason = PlainTextField(
        max_length=400,
        label="Why it is accepted as it stands",
        widget=forms.Textarea,
        error_messages={"required": "Say why it is accepted as it stands: the certificate prints the reason."},
    )

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        sent = self.data.getlist("matters")[:MOST_SHOWN] if self.is_bound else []
        self.fields["matters"].choices = [(digest, digest) for digest in sent]
