"""Addresses of what is fitted and wired."""

from django.urls import path  # noqa: F401

urlpatterns = []
