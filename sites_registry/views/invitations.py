"""Invitations: send, send again, withdraw; the page behind the link."""

import django_filters
import django_tables2 as tables
from django.conf import settings
from django.contrib import messages
from django.contrib.auth import login
from django.contrib.auth.decorators import login_not_required
from django.db.models import Q
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse, reverse_lazy
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST

from sites_registry.access import Role, for_roles
from sites_registry.forms.people import AcceptInvitationForm, InvitationForm
from sites_registry.mail import link_to_hand_over, mail_is_sent
from sites_registry.models import Building, Invitation
from sites_registry.services.people import (
    INVITATION_LASTS,
    NotAccepted,
    NotInvited,
    accept,
    invitation_of,
    invite,
    send_again,
    why_closed,
    withdraw,
)
from sites_registry.states import state_mark
from sites_registry.views.base import FormPage
from sites_registry.views.lists import ListPage, RegisterTable


class InvitationFilter(django_filters.FilterSet):
    text = django_filters.CharFilter(label="Name or e-mail", method="named")
    role = django_filters.ChoiceFilter(label="Role", choices=Role.choices, empty_label="all")

    class Meta:
        model = Invitation
        fields = []

    def named(self, invitations, name, value):
        return invitations.filter(Q(full_name__icontains=value) | Q(email__icontains=value))


class InvitationTable(RegisterTable):
    noun = "invitations"
    full_name = tables.Column(verbose_name="Name")
    email = tables.Column(verbose_name="E-mail")
    role = tables.Column()
    buildings = tables.Column(orderable=False, default="all")
    invited_by = tables.Column(verbose_name="Invited by")
    invited_at = tables.DateTimeColumn(verbose_name="Invited on", format="j M Y")
    expires_at = tables.DateTimeColumn(verbose_name="Link lasts until", format="j M Y, H:i")
    state = tables.Column(empty_values=(), orderable=False)
    actions = tables.TemplateColumn(
        template_name="sites_registry/invitation_actions.html", verbose_name="", orderable=False
    )

    class Meta(RegisterTable.Meta):
        order_by = "-invited_at"
        row_attrs = {}

    def before_render(self, request):
        self.mail_is_sent = mail_is_sent()

    def render_buildings(self, record):
        return ", ".join(building.name for building in record.buildings.all()) or "all"

    def render_state(self, record):
        return state_mark("open" if record.is_open else "expired")


class InvitationList(ListPage):
    roles = (Role.OFFICE,)
    queryset = Invitation.objects.waiting().select_related("invited_by").prefetch_related("buildings")
    table_class = InvitationTable
    filterset_class = InvitationFilter
    template_name = "sites_registry/invitation_list.html"
    heading = "Open invitations"
    lead_line = "Not taken up yet. An expired link can be replaced by a new one."
    add_url_name = "invitation-create"
    add_word = "Invite somebody"
    empty_text = "Nobody has an open invitation. Invite somebody to give them a log-in."


class InvitationCreate(FormPage):
    form_class = InvitationForm
    heading = "Invite somebody"
    list_url = reverse_lazy("person-list")
    list_word = "People"
    template_name = "sites_registry/invitation_form.html"

    @property
    def verb(self):
        return "Send the invitation" if mail_is_sent() else "Make the link"

    def get_lead_line(self, record):
        if mail_is_sent():
            return "They get a link by e-mail and choose their own password."
        return "This register sends no mail: you are shown a link to hand over, and they choose their own password."

    def get_back_url(self, record):
        return reverse("person-list")

    def form_arguments(self):
        chosen = Building.objects.visible_to(self.request.user).filter(
            slug=self.request.GET.get("building", "").replace("\0", "")
        )
        role = self.request.GET.get("role")
        return {"initial": {"buildings": chosen, "role": role if role in Role.values else Role.MANAGER}}

    def perform(self, form):
        return invite(invited_by=self.request.user, **form.invitation_data())

    def success_url(self, record):
        return reverse("invitation-list")

    def announce(self, record):
        tell_whether_mailed(self.request, record)


def tell_whether_mailed(request, invitation):
    """Say that the link is on its way; else show it to the office, which hands it over itself."""
    if link := getattr(invitation, "link_to_hand_over", ""):
        if invitation.mail_failed:
            reason = f"The mail to {invitation.email} could not be sent. Check the mail settings."
        else:
            reason = "This register sends no mail."
        lasts = f"It works once and for {INVITATION_LASTS.days} days."
        messages.warning(request, link_to_hand_over(reason, link, invitation.full_name, lasts))
    else:
        messages.success(
            request,
            f"The link is on its way to {invitation.email}. It works once and for {INVITATION_LASTS.days} days.",
        )


@for_roles(Role.OFFICE)
@require_POST
def invitation_send_again(request, pk):
    invitation = get_object_or_404(Invitation.objects.visible_to(request.user), pk=pk)
    try:
        sent = send_again(invitation=invitation)
    except NotInvited as refusal:
        messages.error(request, " ".join(refusal.reasons))
    else:
        tell_whether_mailed(request, sent)
    return redirect("invitation-list")


@for_roles(Role.OFFICE)
@require_POST
def invitation_withdraw(request, pk):
    invitation = get_object_or_404(Invitation.objects.visible_to(request.user), pk=pk)
    try:
        withdraw(invitation=invitation)
    except NotInvited as refusal:
        messages.error(request, " ".join(refusal.reasons))
    else:
        messages.success(request, f"Withdrawn. The link for {invitation.email} does not work any more.")
    return redirect("invitation-list")


@login_not_required
@never_cache
@sensitive_post_parameters("password1", "password2")
@require_http_methods(["GET", "HEAD", "POST"])
def invitation_accept(request, token):
    """The page behind the link: a name, a password, and one is in."""
    invitation = invitation_of(token)
    if invitation is None:
        reason = "There is no invitation behind this link. Was it copied whole, or has a newer one been sent since?"
        return _closed(request, reason, status=404)
    if reason := why_closed(invitation):
        if request.user.is_authenticated and request.user == invitation.accepted_by:
            return redirect("home")  # the second of two clicks
        return _closed(request, reason, status=410)
    form = AcceptInvitationForm(request.POST if request.method == "POST" else None, invitation=invitation)
    if request.method == "POST" and form.is_valid():
        try:
            person = accept(
                invitation=invitation,
                full_name=form.cleaned_data["full_name"],
                password=form.cleaned_data["password1"],
            )
        except NotAccepted as refusal:
            form.add_error(None, refusal.reasons)
        else:
            login(request, person, backend="django.contrib.auth.backends.ModelBackend")
            messages.success(request, f"Good day {person.full_name}. Your log-in works from now on.")
            return redirect(settings.LOGIN_REDIRECT_URL)
    context = {"form": form, "invitation": invitation, "buildings": invitation.buildings.all()}
    return render(request, "sites_registry/invitation_accept.html", context, status=422 if form.is_bound else 200)


def _closed(request, reason, status):
    return render(request, "sites_registry/invitation_closed.html", {"reason": reason}, status=status)
