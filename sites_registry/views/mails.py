"""Mails: what the office sees of each, and what everybody chooses for themselves."""

import django_filters
import django_tables2 as tables
from django import forms
from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from sites_registry.access import Role, for_roles
from sites_registry.forms.base import RegisterModelForm
from sites_registry.mail import mail_is_sent
from sites_registry.models import Mail, Person
from sites_registry.services.outbox import NotTriedAgain, try_again
from sites_registry.views.base import FormPage
from sites_registry.views.lists import ListPage, RegisterTable, StateColumn

NO_MAIL = "This register sends no mail: outgoing mail is not set up (REGISTER_EMAIL_URL)."


class MailFilter(django_filters.FilterSet):
    address = django_filters.CharFilter(label="To", lookup_expr="icontains")
    state = django_filters.ChoiceFilter(label="Fate", choices=Mail.State.choices, empty_label="all")
    kind = django_filters.ChoiceFilter(label="Kind", choices=Mail.Kind.choices, empty_label="all")

    class Meta:
        model = Mail
        fields = []


class MailTable(RegisterTable):
    noun = "mails"
    queued_at = tables.DateTimeColumn(verbose_name="Made", format="j M Y, H:i", linkify=True)
    address = tables.Column(verbose_name="To")
    kind = tables.Column()
    subject = tables.Column()
    state = StateColumn(verbose_name="Fate")
    reason = tables.Column(verbose_name="Why not")

    holds = {"queued_at": "state", "kind": "kind", "state": "state"}

    class Meta(RegisterTable.Meta):
        order_by = "-queued_at"


class MailList(ListPage):
    roles = (Role.OFFICE,)
    queryset = Mail.objects.defer("body")
    table_class = MailTable
    filterset_class = MailFilter
    heading = "Mails"
    empty_text = "No mail was made yet."

    @property
    def lead_line(self):
        return "What was sent to whom, and what became of it." if mail_is_sent() else NO_MAIL


@for_roles(Role.OFFICE)
@require_safe
def mail_detail(request, pk):
    mail = get_object_or_404(Mail.objects.visible_to(request.user), pk=pk)
    may_try = mail.state == Mail.State.FAILED and mail.kind != Mail.Kind.INVITATION
    return render(request, "sites_registry/mail_detail.html", {"mail": mail, "may_try": may_try})


@for_roles(Role.OFFICE)
@require_POST
def mail_try_again(request, pk):
    mail = get_object_or_404(Mail.objects.visible_to(request.user), pk=pk)
    try:
        try_again(mail=mail)
    except NotTriedAgain as refusal:
        messages.error(request, str(refusal))
    else:
        messages.success(request, "The mail waits to be sent again.")
    return redirect(mail)


class MyMailsForm(RegisterModelForm):
    class Meta:
        model = Person
        fields = ["mails"]
        labels = {"mails": "You get"}
        widgets = {"mails": forms.RadioSelect}


class MyMails(FormPage):
    roles = (Role.OFFICE, Role.MANAGER)
    form_class = MyMailsForm
    heading = "Mails to you"
    saved_message = "What you get by mail is stored."

    def get_record(self):
        return Person.objects.get(pk=self.request.user.pk)

    def get_lead_line(self, record):
        words = "Certificates that are there, inspections that fall due, impairments."
        return words if mail_is_sent() else f"{words} This register sends no mail yet."

    def get_back_url(self, record):
        return reverse("home")

    def success_url(self, record):
        return reverse("my-mails")
