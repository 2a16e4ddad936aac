"""Addresses of people, clients, buildings and jobs."""

from django.contrib.auth import views as auth_views
from django.urls import path

from sites_registry.forms.people import LogInForm
from sites_registry.views import (
    buildings,
    clients,
    invitations,
    jobs,
    mails,
    offline,
    passwords,
    people,
    variations,
    watching,
)
from sites_registry.views.firm import FirmUpdate

urlpatterns = [
    path("firm/", FirmUpdate.as_view(), name="firm-update"),
    # for what watches over the register
    path("health/", watching.health, name="health"),
    path("ready/", watching.ready, name="ready"),
    # without a network
    path("field-worker.js", offline.field_worker, name="field-worker"),
    path("without-network/", offline.without_network, name="without-network"),
    # in and out
    path(
        "log-in/",
        auth_views.LoginView.as_view(redirect_authenticated_user=True, authentication_form=LogInForm),
        name="log-in",
    ),
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
    path("people/<int:pk>/password-link/", passwords.password_link, name="password-link"),
    path("invitations/", invitations.InvitationList.as_view(), name="invitation-list"),
    path("invitations/new/", invitations.InvitationCreate.as_view(), name="invitation-create"),
    path("invitations/<int:pk>/send-again/", invitations.invitation_send_again, name="invitation-send-again"),
    path("invitations/<int:pk>/withdraw/", invitations.invitation_withdraw, name="invitation-withdraw"),
    path("invitation/<slug:token>/", invitations.invitation_accept, name="invitation-accept"),
    # clients
    path("clients/", clients.ClientList.as_view(), name="client-list"),
    path("clients/new/", clients.ClientCreate.as_view(), name="client-create"),
    path("clients/<int:pk>/", clients.ClientDetail.as_view(), name="client-detail"),
    path("clients/<int:pk>/change/", clients.ClientUpdate.as_view(), name="client-update"),
    path("clients/<int:pk>/contacts/new/", clients.ContactCreate.as_view(), name="contact-create"),
    path("contacts/<int:pk>/", clients.ContactUpdate.as_view(), name="contact-update"),
    path("contacts/<int:pk>/delete/", clients.contact_delete, name="contact-delete"),
    # mails
    path("mails/", mails.MailList.as_view(), name="mail-list"),
    path("mails/to-you/", mails.MyMails.as_view(), name="my-mails"),
    path("mails/<int:pk>/", mails.mail_detail, name="mail-detail"),
    path("mails/<int:pk>/again/", mails.mail_try_again, name="mail-try-again"),
    # buildings; the page of one is in inspections, which knows what is fitted, tested and due
    path("buildings/new/", buildings.BuildingCreate.as_view(), name="building-create"),
    path("buildings/<slug:slug>/change/", buildings.BuildingUpdate.as_view(), name="building-update"),
    path("buildings/<slug:slug>/managers/", buildings.building_managers, name="building-managers"),
    path(
        "buildings/<slug:slug>/managers/<int:pk>/remove/",
        buildings.building_manager_remove,
        name="building-manager-remove",
    ),
    path("buildings/<slug:slug>/variations/", variations.variation_list, name="variation-list"),
    path("buildings/<slug:slug>/variations/new/", variations.VariationCreate.as_view(), name="variation-create"),
    path("variations/<int:pk>/", variations.VariationUpdate.as_view(), name="variation-update"),
    path("variations/<int:pk>/end/", variations.VariationEnd.as_view(), name="variation-end"),
    # jobs; the page of one and its closing are in inspections
    path("jobs/", jobs.JobList.as_view(), name="job-list"),
    path("jobs/new/", jobs.JobCreate.as_view(), name="job-create"),
    path("jobs/<slug:number>/change/", jobs.JobUpdate.as_view(), name="job-update"),
    path("jobs/<slug:number>/receipt/", jobs.JobReceipt.as_view(), name="job-receipt"),
    path("jobs/<slug:number>/open-again/", jobs.job_open_again, name="job-open-again"),
    path("jobs/<slug:number>/handed-over/new/", jobs.HandedOverCreate.as_view(), name="handed-over-create"),
    path("handed-over/<int:pk>/", jobs.HandedOverUpdate.as_view(), name="handed-over-update"),
]
