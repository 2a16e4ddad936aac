"""The start page of each role: what needs me now."""

from django.shortcuts import render


def home(request):
    return render(request, "inspections/home.html")
