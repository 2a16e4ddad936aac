"""Addresses of visits, defects, certificates and log books, and of the pages that need all three apps."""

from django.urls import path

from inspections.views import home, overview

urlpatterns = [
    path("", home.home, name="home"),
    path("buildings/<slug:slug>/", overview.building_detail, name="building-detail"),
]
