"""Certificates: the register of them, issue, issue again, revoke, download."""

import django_filters
import django_tables2 as tables
from django.contrib import messages
from django.db.models import Q
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.html import format_html

from inspections.certificates.bundle import MOST, send_bundle
from inspections.certificates.document import check_address
from inspections.certificates.forms import NOTHING_EXCLUDED, IssueCertificateForm, RevokeCertificateForm
from inspections.certificates.front_sheet import front_sheet
from inspections.certificates.issue import (
    NotCertifiable,
    NotRevocable,
    ReadAgain,
    digest_of_records,
    is_intact,
    issue_certificate,
    reasons_not_to_certify,
    revoke_certificate,
)
from inspections.certificates.page import on_screen
from inspections.certificates.standing import certificates_after, past_due, standing_of, with_standing
from inspections.certificates.statements import statement_of
from inspections.headlines import worst_first
from inspections.models import Certificate, Visit
from inspections.standing_matters.views import standing_context
from sites_registry.access import Role, for_roles
from sites_registry.forms.days import DayFilter
from sites_registry.models import Building
from sites_registry.services.submissions import submission_key_of
from sites_registry.states import key_and_word, state_mark
from sites_registry.views.lists import AT_DESK, CodeColumn, ListPage, RegisterTable

STANDINGS = [key_and_word(key) for key in ("in_force", "next_past", "superseded", "revoked")]


class CertificateTable(RegisterTable):
    noun = "certificates"
    holds = {"number": "date", "kind": "name", "building": "name", "client": "name", "is_limited": "date"}
    number = CodeColumn()
    kind = tables.Column()
    building = tables.Column(order_by="building__name", attrs={"td": {"class": "key"}})
    client = tables.Column(accessor="building__client__name", verbose_name="Client", attrs=AT_DESK)
    issued_on = tables.DateColumn(verbose_name="Issued", attrs={"td": {"class": "nowrap"}})
    state = tables.Column(order_by="counted_due_on", attrs={"td": {"class": "standing"}})
    is_limited = tables.Column(verbose_name="Limited", order_by="-is_limited")

    class Meta(RegisterTable.Meta):
        order_by = ("-issued_on", "-number")

    def render_state(self, record):
        standing = standing_of(record)
        first, glue, then = standing.words.partition("; ")
        if standing.state != "next_ahead":  # what calls for attention stands in its colour, whole
            return state_mark(standing.state, standing.words)
        mark = state_mark(standing.state, first)
        return format_html('{}<span class="glue">{}</span><span class="then">{}</span>', mark, glue, then)

    def render_is_limited(self, value):
        return state_mark("limited") if value else ""


class CertificateFilter(django_filters.FilterSet):
    q = django_filters.CharFilter(method="search", label="Number, building or client", max_length=100)
    kind = django_filters.ChoiceFilter(choices=Certificate.Kind.choices, empty_label="all")
    state = django_filters.ChoiceFilter(method="by_standing", choices=STANDINGS, empty_label="all")
    limited = django_filters.ChoiceFilter(
        field_name="is_limited",
        label="Limited",
        choices=[("True", "limited"), ("False", "not limited")],
        empty_label="all",
    )
    issued_from = DayFilter("issued_on", "gte", label="Issued from")
    issued_to = DayFilter("issued_on", "lte", label="to")

    def by_standing(self, certificates, _name, state):
        return past_due(certificates) if state == "next_past" else certificates.filter(state=state)

    def search(self, certificates, _name, text):
        return certificates.filter(
            Q(number__icontains=text) | Q(building__name__icontains=text) | Q(building__client__name__icontains=text)
        )


class CertificateList(ListPage):
    queryset = with_standing(Certificate.objects.with_building().defer("statement"))
    table_class = CertificateTable
    filterset_class = CertificateFilter
    heading = "Certificates"
    empty_text = "No certificate yet. A certificate is issued from a finished visit."
    template_name = "inspections/certificates/certificate_list.html"


def certificate_bundle(request):
    """The certificates that a list shows, over all its pages, as one ZIP."""
    visible = CertificateList.queryset.visible_to(request.user)
    found = CertificateFilter(request.GET, visible).qs
    count = found.count()
    if 0 < count <= MOST:
        return send_bundle(found)
    messages.error(
        request,
        f"{count} certificates are listed; one ZIP holds {MOST} at most. Narrow the list."
        if count
        else "No certificate is listed, so there is nothing to pack.",
    )
    return redirect(f"{reverse('certificate-list')}?{request.GET.urlencode()}")


def certificate_detail(request, number):
    certificate = get_object_or_404(
        with_standing(Certificate.objects.visible_to(request.user).with_building()).select_related(
            "supersedes", "revoked_by"
        ),
        number=number,
    )
    context = {
        "certificate": certificate,
        "statement": certificate.statement,
        "front": front_sheet(certificate.statement),
        "on_screen": on_screen(certificate.statement),
        "superseded_by": Certificate.objects.filter(supersedes=certificate).first(),
        "is_intact": is_intact(certificate),
        "standing": standing_of(certificate),
        "building_now": worst_first(Building.objects.filter(pk=certificate.building_id))[0].headline,
        "after": [(one, standing_of(one)) for one in certificates_after(certificate)],
        "check_address": check_address(certificate),
        "reading_links": certificate.reading_links.with_openings(),
    }
    return render(request, "inspections/certificates/certificate_detail.html", context)


@for_roles(Role.OFFICE)
def certificate_issue(request, visit_pk):
    visit = get_object_or_404(
        Visit.objects.visible_to(request.user).select_related(
            "building__client", "job__building", "engineer", "protocol"
        ),
        pk=visit_pk,
    )
    in_force = Certificate.objects.in_force().filter(visit=visit).first()
    again = bool(in_force) and "again" in request.GET
    if in_force and not again:
        return redirect(in_force)
    reasons, standing = reasons_not_to_certify(visit), standing_context(request, visit.job, visit)
    if reasons or standing["stands"].unaccepted:
        context = {"visit": visit, "reasons": reasons, **standing}
        return render(request, "inspections/certificates/certificate_refused.html", context, status=422)
    form = IssueCertificateForm(request.POST or None, initial=initial_of(visit, in_force))
    if request.method == "POST" and form.is_valid():
        try:
            certificate = issue_certificate(
                visit=visit,
                issued_by=request.user,
                again=again,
                instead_of=request.POST.get("instead_of", ""),
                read=request.POST.get("read", ""),
                submission_key=submission_key_of(request),
                **form.statement_fields,
            )
        except NotCertifiable as error:
            if isinstance(error, ReadAgain):
                form.data = form.data.copy()
                form.data.pop("has_read")  # what was ticked was another text
            form.add_error(None, error.reasons)
        else:
            messages.success(request, f"Certificate {certificate.number} is issued.")
            return redirect(certificate)
    statement = preview(request, form, visit, standing["stands"])
    context = {
        "form": form,
        "visit": visit,
        "statement": statement,
        "front": front_sheet(statement),
        "on_screen": on_screen(statement),
        "again": again,
        "in_force": in_force,
        "read": digest_of_records(statement),
        **standing,
    }
    return render(
        request, "inspections/certificates/certificate_issue.html", context, status=422 if form.errors else 200
    )


def initial_of(visit, in_force):
    scope = f"{visit.get_kind_display().capitalize()} of the natural smoke control of {visit.building.name}."
    if in_force:
        before = in_force.statement["exclusions"]
        is_nothing = before == NOTHING_EXCLUDED
        return {
            "scope": in_force.statement["scope"],
            "exclusions": "" if is_nothing else before,
            "is_nothing_excluded": is_nothing,
        }
    return {"scope": scope}


def preview(request, form, visit, stands):
    """The statement as it would stand now, with what has been typed so far."""
    typed = form.data if form.is_bound else form.initial
    statement = statement_of(
        visit,
        scope=typed.get("scope", ""),
        exclusions=typed.get("exclusions") or (NOTHING_EXCLUDED if typed.get("is_nothing_excluded") else ""),
        capacity=typed.get("capacity") or form.fields["capacity"].initial,
        issued_by=request.user,
        issued_on=timezone.localdate(),
        stands=stands,
    )
    return statement | {"kind": Certificate.Kind(visit.kind).label, "number": "(given at issue)", "supersedes": ""}


@for_roles(Role.OFFICE)
def certificate_revoke(request, number):
    certificate = get_object_or_404(Certificate.objects.visible_to(request.user).with_building(), number=number)
    form = RevokeCertificateForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            revoke_certificate(certificate=certificate, revoked_by=request.user, reason=form.cleaned_data["reason"])
        except NotRevocable as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, f"Certificate {certificate.number} is revoked.")
            return redirect(certificate)
    context = {
        "form": form,
        "heading": f"Revoke certificate {certificate.number}",
        "verb": "Revoke certificate",
        "lead_line": certificate.building.name,
        "back_url": certificate.get_absolute_url(),
        "trail": [certificate],
        "is_grave": True,
    }
    return render(request, "components/form_page.html", context, status=422 if form.errors else 200)
