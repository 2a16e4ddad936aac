"""What may be typed when a revision is checked, approved or withdrawn."""

from django import forms

from sites_registry.forms.base import RegisterForm


class ApproveForm(RegisterForm):
    remark = forms.CharField(max_length=400, required=False, widget=forms.Textarea, help_text="It stays on record.")


class CheckForm(ApproveForm):
    """Whoever took the revision is asked why nobody else checks it."""

    needed_at_times = ("why_alone",)
    why_alone = forms.CharField(
        label="Why nobody else checks it",
        max_length=400,
        required=False,
        widget=forms.Textarea,
        help_text="You took this revision yourself. Somebody else should look; a firm of one person says so here.",
    )

    def __init__(self, *args, is_own, **kwargs):
        super().__init__(*args, **kwargs)
        if not is_own:
            del self.fields["why_alone"]


class WithdrawForm(RegisterForm):
    remark = forms.CharField(
        label="Why it is withdrawn",
        max_length=400,
        widget=forms.Textarea,
        error_messages={"required": "Say why it is withdrawn."},
    )
