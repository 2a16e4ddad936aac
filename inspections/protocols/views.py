"""Protocols: read them, draft the next version, edit its checks, publish it."""

from itertools import groupby

import django_tables2 as tables
from django.contrib import messages
from django.db.models import Count
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_POST
from django_filters import ChoiceFilter, FilterSet

from inspections.models import Protocol, ProtocolCheck, VisitKind
from inspections.protocols.edits import (
    ProtocolRefused,
    draft_next_version,
    install_standard_protocols,
    publish_protocol,
    remove_check,
    require_draft,
)
from inspections.protocols.forms import ProtocolCheckForm, ProtocolForm
from sites_registry.access import STAFF_ROLES, Role, for_roles
from sites_registry.views.base import FormPage, for_change
from sites_registry.views.lists import ListPage, RegisterTable, StateColumn


class ProtocolTable(RegisterTable):
    noun = "protocols"
    title = tables.Column(linkify=True)
    kind = tables.Column(verbose_name="Kind of visit")
    version = tables.Column(attrs={"td": {"class": "number"}, "th": {"class": "number"}})
    state = StateColumn()
    published_on = tables.DateColumn(verbose_name="Published", format="j M Y")
    number_of_checks = tables.Column(
        verbose_name="Checks", attrs={"td": {"class": "number"}, "th": {"class": "number"}}
    )


class ProtocolFilter(FilterSet):
    kind = ChoiceFilter(label="Kind of visit", choices=VisitKind.choices, empty_label="all")
    state = ChoiceFilter(label="State", choices=Protocol.State.choices, empty_label="all")

    class Meta:
        model = Protocol
        fields = ["kind", "state"]


class ProtocolList(ListPage):
    roles = STAFF_ROLES
    template_name = "inspections/protocols/protocol_list.html"
    queryset = Protocol.objects.annotate(number_of_checks=Count("checks"))
    table_class = ProtocolTable
    filterset_class = ProtocolFilter
    heading = "Protocols"
    lead_line = "Which checks a visit asks of each kind of device. Published versions never change."
    empty_text = "No protocols yet. Install the standard ones, then make your own versions of them."


@for_roles(*STAFF_ROLES)
@require_GET
def protocol_detail(request, pk):
    protocol = get_object_or_404(Protocol.objects.visible_to(request.user), pk=pk)
    checks = list(protocol.checks.all())
    kinds = [(kind, list(group)) for kind, group in groupby(checks, key=lambda check: check.get_device_kind_display())]
    context = {
        "protocol": protocol,
        "kinds": kinds,
        "is_draft": protocol.state == Protocol.State.DRAFT,
        "states_hazards": all(check.hazards for check in checks),
        "other_versions": Protocol.objects.visible_to(request.user).filter(kind=protocol.kind).exclude(pk=protocol.pk),
    }
    return render(request, "inspections/protocols/protocol_detail.html", context)


@for_roles(Role.OFFICE)
@require_POST
def protocol_install(request):
    made = install_standard_protocols()
    words = (
        f"Published: {', '.join(map(str, made))}."
        if made
        else "Nothing to publish: each kind of visit has the standard protocol as it is now, or your own."
    )
    messages.success(request, words)
    return redirect("protocol-list")


@for_roles(Role.OFFICE)
@require_POST
def protocol_draft(request, pk):
    protocol = get_object_or_404(Protocol.objects.visible_to(request.user), pk=pk)
    return redirect(draft_next_version(protocol=protocol))


@for_roles(Role.OFFICE)
@require_POST
def protocol_publish(request, pk):
    protocol = get_object_or_404(Protocol.objects.visible_to(request.user), pk=pk)
    try:
        publish_protocol(protocol=protocol)
    except ProtocolRefused as refusal:
        messages.error(request, str(refusal))
    else:
        messages.success(request, "Published. Visits that start from now on ask these checks.")
    return redirect(protocol)


class ProtocolUpdate(FormPage):
    form_class = ProtocolForm

    def get_record(self):
        return for_change(Protocol.objects.all(), self.request, pk=self.kwargs["pk"])

    def get_heading(self, record):
        return f"Change {record}"

    def get_trail(self, record):
        return [record]

    def perform(self, form):
        return save_if_draft(form, form.instance)


def save_if_draft(form, protocol):
    """Save a form over a protocol or one of its checks, unless the protocol has been published meanwhile."""
    # Locked, so that a publication at the same moment waits or is seen.
    require_draft(Protocol.objects.select_for_update().get(pk=protocol.pk))
    return form.save()


class _CheckPage(FormPage):
    form_class = ProtocolCheckForm
    list_word = "Protocols"

    def get_trail(self, record):
        return [record.protocol]

    def perform(self, form):
        return save_if_draft(form, form.instance.protocol)

    def success_url(self, record):
        return record.protocol.get_absolute_url() + f"#{record.device_kind}"


class ProtocolCheckCreate(_CheckPage):
    verb = "Add the check"
    can_add_another = True

    def get_record(self):
        protocol = get_object_or_404(Protocol.objects.visible_to(self.request.user), pk=self.kwargs["pk"])
        return ProtocolCheck(protocol=protocol)

    def get_heading(self, record):
        return f"Add a check to {record.protocol}"

    def get_back_url(self, record):
        return record.protocol.get_absolute_url()


class ProtocolCheckUpdate(_CheckPage):
    def get_record(self):
        return for_change(ProtocolCheck.objects.select_related("protocol"), self.request, pk=self.kwargs["pk"])

    def get_heading(self, record):
        return f"Change the check '{record.title}' of {record.protocol}"


@for_roles(Role.OFFICE)
@require_POST
def protocol_check_remove(request, pk):
    check = get_object_or_404(ProtocolCheck.objects.visible_to(request.user).select_related("protocol"), pk=pk)
    try:
        remove_check(check=check)
    except ProtocolRefused as refusal:
        messages.error(request, str(refusal))
    else:
        messages.success(request, f"Check '{check.title}' taken out of the draft.")
    return redirect(reverse("protocol-detail", args=[check.protocol_id]))
