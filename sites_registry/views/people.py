"""People: who can log in, as what, with which competence."""

import django_filters
import django_tables2 as tables
from django.db.models import Q
from django.urls import reverse_lazy
from django.utils import timezone
from django.utils.formats import date_format

from sites_registry.access import Role
from sites_registry.forms.people import PersonForm
from sites_registry.mail import mail_is_sent
from sites_registry.models import Invitation, Person
from sites_registry.services.people import change_person
from sites_registry.states import state_mark
from sites_registry.views.base import FormPage, for_change
from sites_registry.views.lists import ListPage, RegisterTable
from sites_registry.views.passwords import may_hand_over_to


class PersonFilter(django_filters.FilterSet):
    text = django_filters.CharFilter(label="Name or e-mail", method="named")
    role = django_filters.ChoiceFilter(label="Role", choices=Role.choices, empty_label="all")
    log_in = django_filters.ChoiceFilter(
        label="Log-in", field_name="is_active", choices=[("True", "on"), ("False", "off")], empty_label="all"
    )

    class Meta:
        model = Person
        fields = []

    def named(self, people, name, value):
        return people.filter(Q(full_name__icontains=value) | Q(email__icontains=value))


class PersonTable(RegisterTable):
    noun = "people"
    full_name = tables.Column(verbose_name="Name", linkify=True, attrs={"td": {"class": "nowrap"}})
    email = tables.Column(verbose_name="E-mail")
    role = tables.Column(attrs={"td": {"class": "nowrap"}})
    competence = tables.Column()
    competence_expires_on = tables.Column(verbose_name="Lapses on")
    last_login = tables.DateTimeColumn(verbose_name="Last log-in", format="j M Y, H:i", default="never")
    is_active = tables.Column(verbose_name="Log-in")

    holds = {"full_name": "zone", "role": "kind", "competence_expires_on": "state", "is_active": "number"}

    class Meta(RegisterTable.Meta):
        order_by = "full_name"

    def render_competence_expires_on(self, value):
        day = date_format(value)
        return state_mark("overdue", f"{day}, lapsed") if value < timezone.localdate() else day

    def render_is_active(self, value):
        return state_mark("active" if value else "inactive")


class PersonList(ListPage):
    roles = (Role.OFFICE,)
    queryset = Person.objects.all()
    table_class = PersonTable
    filterset_class = PersonFilter
    template_name = "sites_registry/person_list.html"
    heading = "People"
    lead_line = "Who can log in, as what, and with which competence."
    add_url_name = "invitation-create"
    add_word = "Invite somebody"

    def get_context_data(self, **kwargs):
        return super().get_context_data(open_invitations=Invitation.objects.open().count(), **kwargs)


class PersonUpdate(FormPage):
    form_class = PersonForm
    list_url = reverse_lazy("person-list")
    list_word = "People"
    saved_message = "{record.full_name} is changed."
    template_name = "sites_registry/person_form.html"

    def get_record(self):
        return for_change(Person.objects, self.request, pk=self.kwargs["pk"])

    def form_arguments(self):
        return {"changed_by": self.request.user}

    def get_heading(self, record):
        return Person.objects.get(pk=record.pk).full_name  # what is stored, not what is being typed

    def get_context(self, form):
        buildings = self.record.buildings.with_client() if self.record.is_manager else []
        offers_link = self.record.is_active and not mail_is_sent() and may_hand_over_to(self.record, self.request.user)
        return super().get_context(form) | {"buildings": buildings, "offers_password_link": offers_link}

    def get_back_url(self, record):
        return self.success_url(record)

    def perform(self, form):
        return change_person(person=self.record, changed_by=self.request.user, **form.changes())
