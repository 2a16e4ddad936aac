"""A new password by e-mail. The answer is the same whether or not the e-mail has a log-in."""

from axes.utils import reset as lift_lock
from django.conf import settings
from django.contrib.auth import views as auth_views
from django.urls import reverse_lazy


class PasswordReset(auth_views.PasswordResetView):
    template_name = "registration/password_reset_ask.html"
    email_template_name = "sites_registry/mail/password_reset.txt"
    subject_template_name = "sites_registry/mail/password_reset_subject.txt"
    success_url = reverse_lazy("password-reset-done")

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
