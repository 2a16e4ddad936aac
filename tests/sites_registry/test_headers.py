"""What every answer carries against scripts and forms of others (OWASP cheat sheets: CSP, CSRF)."""

import pytest
from django.test import Client
from django.urls import reverse

from sites_registry.models import Client as ClientRecord


@pytest.mark.parametrize("url_name", ["log-in", "password-reset", "home", "building-list", "client-create"])
def test_pages_allow_scripts_and_styles_from_here_only(as_, town, url_name):
    policy = as_("office").get(reverse(url_name)).headers.get("Content-Security-Policy")
    if policy is None:  # the log-in page sends on who is logged in
        as_("office").logout()
        policy = as_("office").get(reverse(url_name)).headers["Content-Security-Policy"]
    assert "default-src 'self'" in policy
    assert "object-src 'none'" in policy and "frame-ancestors 'none'" in policy
    assert "unsafe-inline" not in policy and "unsafe-eval" not in policy


def test_pages_are_not_framed_and_types_are_not_guessed(as_, town):
    headers = as_("office").get(reverse("building-list")).headers
    assert headers["X-Frame-Options"] == "DENY"
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "same-origin"  # a link with a token is not told to other sites


def strict_client(town, person):
    client = Client(enforce_csrf_checks=True)
    client.force_login(town.people[person], backend="django.contrib.auth.backends.ModelBackend")
    return client


def test_a_form_without_our_token_is_refused_and_changes_nothing(town):
    client = strict_client(town, "office")
    assert client.post(reverse("client-create"), {"name": "Harbour Trust"}).status_code == 403
    assert not ClientRecord.objects.filter(name="Harbour Trust").exists()


def test_the_same_form_with_our_token_is_taken(town):
    client = strict_client(town, "office")
    client.get(reverse("client-create"))
    token = client.cookies["csrftoken"].value
    response = client.post(reverse("client-create"), {"name": "Harbour Trust", "csrfmiddlewaretoken": token})
    assert response.status_code == 302
    assert ClientRecord.objects.filter(name="Harbour Trust").exists()


def test_the_session_cookie_is_out_of_reach_of_scripts(town, client):
    client.post(reverse("log-in"), {"username": "office@tarn.example", "password": "ropes-and-tar-1907"})
    assert client.cookies["sessionid"]["httponly"]
    assert client.cookies["sessionid"]["samesite"] == "Lax"


def test_pages_hold_no_inline_script_or_style(as_, town):
    for url_name in ("home", "building-list", "client-create", "job-create", "invitation-create"):
        page = as_("office").get(reverse(url_name)).content.decode()
        assert " style=" not in page and "<script>" not in page and " onclick=" not in page, url_name
