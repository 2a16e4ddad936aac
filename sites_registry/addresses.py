"""Addresses of people, clients, buildings and jobs."""

from django.contrib.auth import views as auth_views
from django.urls import path

from sites_registry.views.firm import FirmUpdate

urlpatterns = [
    path("firm/", FirmUpdate.as_view(), name="firm-update"),
    path("log-in/", auth_views.LoginView.as_view(redirect_authenticated_user=True), name="log-in"),
    path("log-out/", auth_views.LogoutView.as_view(), name="log-out"),
    path(
        "password/",
        auth_views.PasswordChangeView.as_view(template_name="registration/password_change.html", success_url="/"),
        name="password-change",
    ),
]
