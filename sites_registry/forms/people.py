"""Forms about people: invite, accept, change."""

from django import forms
from django.contrib.auth import forms as auth_forms

from sites_registry.access import Role
from sites_registry.forms.base import RegisterForm, RegisterModelForm
from sites_registry.mail import mail_is_sent
from sites_registry.models import Building, Invitation, Person


class PickList(forms.CheckboxSelectMultiple):
    """Many boxes to tick, in a frame that scrolls; the page's script adds a field that narrows them."""

    def __init__(self, attrs=None):
        super().__init__({"data-pick": "", **(attrs or {})})


class LogInForm(auth_forms.AuthenticationForm):
    error_messages = {
        "invalid_login": "This e-mail and this password do not belong together. Capitals count in the password.",
        "inactive": "This log-in is switched off. Ask the office of the firm.",
    }


class InvitationForm(RegisterModelForm):
    class Meta:
        model = Invitation
        fields = ["full_name", "email", "role", "buildings"]
        widgets = {"role": forms.RadioSelect, "buildings": PickList}
        help_texts = {
            "email": "The link goes here, works once and for 14 days.",
            "buildings": "For building managers only: the buildings that they will see.",
        }

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["role"].choices = Role.choices
        if not mail_is_sent():
            self.fields["email"].help_text = "What this person will log in with. The link works once and for 14 days."
        self.fields["buildings"].queryset = Building.objects.with_client()
        self.fields["buildings"].label_from_instance = lambda building: f"{building} ({building.client})"

    def invitation_data(self):
        """What the service takes."""
        return {name: self.cleaned_data[name] for name in self.Meta.fields}


class AcceptInvitationForm(auth_forms.SetPasswordMixin, RegisterForm):
    full_name = forms.CharField(
        label="Your name",
        max_length=120,
        help_text="As it is to stand beside what you record.",
        widget=forms.TextInput(attrs={"autocomplete": "name"}),
    )
    password1, password2 = auth_forms.SetPasswordMixin.create_password_fields("Password", "The same password again")

    def __init__(self, *args, invitation, **kwargs):
        super().__init__(*args, **kwargs)
        self.invitation = invitation
        self.initial.setdefault("full_name", invitation.full_name)
        self.fields["password2"].help_text = ""

    def clean(self):
        cleaned = super().clean()
        self.validate_passwords()
        likely = Person(email=self.invitation.email, full_name=cleaned.get("full_name") or "")
        self.validate_password_for_user(likely, "password1")
        return cleaned


class PersonForm(RegisterModelForm):
    class Meta:
        model = Person
        fields = ["full_name", "email", "phone", "role", "competence", "competence_expires_on", "is_active"]
        help_texts = {
            "role": "Who stops being a building manager gives up the buildings.",
            "is_active": "Off: the person is logged out at once. What they recorded stays under their name.",
        }

    def __init__(self, *args, changed_by, **kwargs):
        super().__init__(*args, **kwargs)
        if changed_by.pk == self.instance.pk:
            for name in ("role", "is_active"):
                self.fields[name].disabled = True
                self.fields[name].help_text = "Another office person changes this for you."
        if (self.instance.is_staff or self.instance.is_superuser) and not changed_by.is_superuser:
            # Else a new e-mail and a new password by mail would lead into the support pages.
            self.fields["email"].disabled = True
            self.fields["email"].help_text = "This person has support access; support changes the e-mail."

    def clean_email(self):
        return self.cleaned_data["email"].lower()

    def changes(self):
        """What the service takes."""
        return {name: self.cleaned_data[name] for name in self.Meta.fields}
