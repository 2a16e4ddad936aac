"""Clients and their contacts."""

import django_filters
import django_tables2 as tables
from django.contrib import messages
from django.db import transaction
from django.db.models import Count, Q
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse, reverse_lazy
from django.views.decorators.http import require_POST
from django.views.generic import DetailView

from sites_registry.access import STAFF_ROLES, Role, RoleMixin, VisibleMixin, for_roles
from sites_registry.forms.clients import ClientForm, ContactForm
from sites_registry.models import Client, Contact
from sites_registry.views.base import FormPage, for_change
from sites_registry.views.lists import ListPage, RegisterTable, number_column


class ClientFilter(django_filters.FilterSet):
    text = django_filters.CharFilter(label="Name, address or contact", method="named")

    class Meta:
        model = Client
        fields = []

    def named(self, clients, name, value):
        by_contact = Contact.objects.filter(Q(name__icontains=value) | Q(email__icontains=value)).values("client")
        return clients.filter(Q(name__icontains=value) | Q(address__icontains=value) | Q(pk__in=by_contact))


class ClientTable(RegisterTable):
    noun = "clients"
    name = tables.Column(linkify=True)
    address = tables.Column()
    phone = tables.Column()
    email = tables.Column(verbose_name="E-mail")
    call_out_hours = number_column(verbose_name="Call-out, h")
    building_count = number_column(verbose_name="Buildings")

    holds = {"name": "zone", "phone": "zone"}

    class Meta(RegisterTable.Meta):
        order_by = "name"


class ClientList(ListPage):
    roles = STAFF_ROLES
    queryset = Client.objects.annotate(building_count=Count("buildings"))
    table_class = ClientTable
    filterset_class = ClientFilter
    heading = "Clients"
    lead_line = "Who owns or runs buildings and pays for the work."
    add_url_name = "client-create"
    add_word = "Add a client"
    empty_text = "No client yet. Add the first, then its buildings and jobs."


class ClientDetail(RoleMixin, VisibleMixin, DetailView):
    roles = STAFF_ROLES
    queryset = Client.objects.all()
    template_name = "sites_registry/client_detail.html"

    def get_context_data(self, **kwargs):
        return super().get_context_data(
            contacts=self.object.contacts.all(),
            buildings=self.object.buildings.visible_to(self.request.user),
            **kwargs,
        )


class ClientCreate(FormPage):
    form_class = ClientForm
    heading = "Add a client"
    verb = "Add the client"
    list_url = reverse_lazy("client-list")
    list_word = "Clients"
    saved_message = "{record} is registered. Next: add a building."

    def get_back_url(self, record):
        return reverse("client-list")


class ClientUpdate(FormPage):
    form_class = ClientForm
    heading = "Change the client"
    saved_message = "{record} is changed."

    def get_record(self):
        return for_change(Client.objects, self.request, pk=self.kwargs["pk"])

    def get_trail(self, record):
        return [record]


class ContactCreate(FormPage):
    form_class = ContactForm
    heading = "Add a contact"
    verb = "Add the contact"
    saved_message = "{record.name} is added."
    can_add_another = True

    def get_record(self):
        client = get_object_or_404(Client.objects.visible_to(self.request.user), pk=self.kwargs["pk"])
        return Contact(client=client)

    def get_trail(self, record):
        return [record.client]

    def get_back_url(self, record):
        return record.client.get_absolute_url()


class ContactUpdate(FormPage):
    form_class = ContactForm
    heading = "Change the contact"
    saved_message = "{record.name} is changed."
    template_name = "sites_registry/contact_form.html"

    def get_record(self):
        return for_change(Contact.objects.select_related("client"), self.request, pk=self.kwargs["pk"])

    def get_trail(self, record):
        return [record.client]


@for_roles(Role.OFFICE)
@require_POST
def contact_delete(request, pk):
    """Take out somebody who left: personal data of no further use. What was done stays in the history."""
    contact = get_object_or_404(Contact.objects.visible_to(request.user).select_related("client"), pk=pk)
    with transaction.atomic():
        contact.delete()
    messages.success(request, f"{contact.name} is taken out of the contacts of {contact.client}.")
    return redirect(contact.client)
