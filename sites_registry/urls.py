"""Addresses of the register; the only file of this app that names the others."""

from django.contrib import admin
from django.urls import include, path

urlpatterns = [
    path("support/", admin.site.urls),
    path("", include("sites_registry.addresses")),
    path("", include("sites_registry.documents.addresses")),
    path("", include("zones.addresses")),
    path("", include("inspections.addresses")),
]

handler400 = "sites_registry.views.errors.bad_request"
handler403 = "sites_registry.views.errors.permission_denied"
handler404 = "sites_registry.views.errors.not_found"
handler500 = "sites_registry.views.errors.server_error"
