"""Addresses of people, clients, buildings and jobs."""

from django.contrib.auth import views as auth_views
from django.urls import path

from sites_registry.views import invitations, passwords, people
from sites_registry.views.firm import FirmUpdate

urlpatterns = [
    path("firm/", FirmUpdate.as_view(), name="firm-update"),
    # in and out
    path("log-in/", auth_views.LoginView.as_view(redirect_authenticated_user=True), name="log-in"),
    path("log-out/", auth_views.LogoutView.as_view(), name="log-out"),
    path(
        "password/",
        auth_views.PasswordChangeView.as_view(template_name="registration/password_change.html", success_url="/"),
        name="password-change",
    ),
    path("password/forgotten/", passwords.PasswordReset.as_view(), name="password-reset"),
    path("password/forgotten/asked/", passwords.PasswordResetDone.as_view(), name="password-reset-done"),
    path(
        "password/new/<slug:uidb64>/<slug:token>/",
        passwords.PasswordResetConfirm.as_view(),
        name="password-reset-confirm",
    ),
    path("password/new/set/", passwords.PasswordResetComplete.as_view(), name="password-reset-complete"),
    # people
    path("people/", people.PersonList.as_view(), name="person-list"),
    path("people/<int:pk>/", people.PersonUpdate.as_view(), name="person-update"),
    path("invitations/", invitations.InvitationList.as_view(), name="invitation-list"),
    path("invitations/new/", invitations.InvitationCreate.as_view(), name="invitation-create"),
    path("invitations/<int:pk>/send-again/", invitations.invitation_send_again, name="invitation-send-again"),
    path("invitations/<int:pk>/withdraw/", invitations.invitation_withdraw, name="invitation-withdraw"),
    path("invitation/<slug:token>/", invitations.invitation_accept, name="invitation-accept"),
]
