"""A new password: by e-mail, with the same answer whether or not it has a log-in; without mail, through the office."""

import logging

from axes.utils import reset as lift_lock
from django.conf import settings
from django.contrib import messages
from django.contrib.auth import views as auth_views
from django.contrib.auth.tokens import default_token_generator
from django.core.exceptions import PermissionDenied
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse, reverse_lazy
from django.utils.encoding import force_bytes
from django.utils.http import urlsafe_base64_encode
from django.views.decorators.http import require_POST

from sites_registry.access import Role, for_roles
from sites_registry.mail import link_to_hand_over, mail_is_sent
from sites_registry.models import Firm, Person

logger = logging.getLogger(__name__)


class PasswordReset(auth_views.PasswordResetView):
    template_name = "registration/password_reset_ask.html"
    email_template_name = "sites_registry/mail/password_reset.txt"
    subject_template_name = "sites_registry/mail/password_reset_subject.txt"
    success_url = reverse_lazy("password-reset-done")

    def get(self, request, *args, **kwargs):
        return super().get(request, *args, **kwargs) if mail_is_sent() else self.whom_to_ask()

    def post(self, request, *args, **kwargs):
        return super().post(request, *args, **kwargs) if mail_is_sent() else self.whom_to_ask()

    def whom_to_ask(self):
        """In place of a mail. The link is never shown here: anybody can type anybody's e-mail."""
        return render(self.request, "registration/password_reset_no_mail.html", {"firm": Firm.current()})

    @property
    def extra_email_context(self):
        # The link leads where people reach the register, never to the host that the request happened to name.
        return {"public_url": settings.PUBLIC_URL}


class PasswordResetDone(auth_views.PasswordResetDoneView):
    template_name = "registration/password_reset_asked.html"


class PasswordResetConfirm(auth_views.PasswordResetConfirmView):
    template_name = "registration/password_reset_choose.html"
    success_url = reverse_lazy("password-reset-complete")

    def form_valid(self, form):
        response = super().form_valid(form)
        lift_lock(username=self.user.email)  # who holds the mailbox need not wait out the wrong guesses
        return response


class PasswordResetComplete(auth_views.PasswordResetCompleteView):
    template_name = "registration/password_reset_chosen.html"


@for_roles(Role.OFFICE)
@require_POST
def password_link(request, pk):
    """A link to a new password, shown to the office person who hands it over. Only where no mail is sent."""
    person = get_object_or_404(Person.objects.visible_to(request.user).filter(is_active=True), pk=pk)
    if not may_hand_over_to(person, request.user):
        raise PermissionDenied
    if mail_is_sent():  # then only who reads the person's mail gets the link
        messages.error(request, f"This register sends mail. {person.full_name} asks for a link on the log-in page.")
        return redirect(person)
    link = settings.PUBLIC_URL + reverse(
        "password-reset-confirm",
        args=[urlsafe_base64_encode(force_bytes(person.pk)), default_token_generator.make_token(person)],
    )
    logger.warning("Person %s made a link to a new password for person %s.", request.user.pk, person.pk)
    lasts = f"It works once and for {settings.PASSWORD_RESET_TIMEOUT // (24 * 3600)} days."
    messages.warning(request, link_to_hand_over("This register sends no mail.", link, person.full_name, lasts))
    return redirect(person)


def may_hand_over_to(person, office_person):
    """Whether this office person may make that link: who has support access is helped by support alone."""
    return office_person.is_superuser or not (person.is_staff or person.is_superuser)
