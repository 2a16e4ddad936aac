"""Forms about clients and the people there."""

from sites_registry.forms.base import RegisterModelForm
from sites_registry.models import Client, Contact


class ClientForm(RegisterModelForm):
    class Meta:
        model = Client
        fields = ["name", "address", "certificate_address", "email", "phone", "call_out_hours", "notes"]
        help_texts = {"notes": "For the firm only; never printed."}


class ContactForm(RegisterModelForm):
    class Meta:
        model = Contact
        fields = ["name", "function", "email", "phone", "language"]
