"""Logging in: forgotten passwords, too many guesses."""

import re

import pytest
from django.core import mail
from django.urls import reverse

from tests.builders import PASSWORD, make_person

NEW_PASSWORD = "seven-gulls-on-a-quay"


def log_in(client, email, password=PASSWORD):
    return client.post(reverse("log-in"), {"username": email, "password": password})


def ask(client, email, **headers):
    return client.post(reverse("password-reset"), {"email": email}, **headers)


def path_in(message):
    return "/" + re.search(r"http://\S+", message.body).group().split("/", 3)[3]


@pytest.mark.parametrize("typed", ["engineer@tarn.example", "Engineer@Tarn.Example", " engineer@tarn.example "])
def test_the_e_mail_opens_in_whatever_case_it_is_typed(client, town, typed):
    assert log_in(client, typed).url == reverse("home")


def test_a_wrong_password_does_not_log_in(client, town):
    response = log_in(client, "engineer@tarn.example", "a-wrong-one")
    assert response.status_code == 200 and "_auth_user_id" not in client.session


def test_after_eight_wrong_passwords_the_right_one_is_locked_out_too(client, town, settings):
    for attempt in range(settings.AXES_FAILURE_LIMIT):
        # In another case each time: it is the same e-mail.
        response = log_in(client, ["engineer@tarn.example", "ENGINEER@tarn.example"][attempt % 2], "a-wrong-one")
    assert response.status_code == 429
    response = log_in(client, "engineer@tarn.example")
    assert response.status_code == 429
    assert "Too many wrong passwords" in response.content.decode()
    assert "_auth_user_id" not in client.session


def test_the_lock_of_one_person_leaves_others_alone(client, town, settings):
    for _ in range(settings.AXES_FAILURE_LIMIT):
        log_in(client, "engineer@tarn.example", "a-wrong-one")
    assert log_in(client, "manager@tarn.example").status_code == 302


def test_the_answer_is_the_same_for_a_known_and_an_unknown_e_mail(client, town):
    known, unknown = ask(client, "manager@tarn.example"), ask(client, "nobody@tarn.example")
    assert (known.status_code, known.url) == (unknown.status_code, unknown.url)
    assert len(mail.outbox) == 1 and mail.outbox[0].to == ["manager@tarn.example"]


def test_the_link_leads_to_the_public_address_whatever_host_was_asked(client, town, settings):
    settings.PUBLIC_URL = "http://register.tarn.example"
    ask(client, "manager@tarn.example", HTTP_HOST="localhost")
    assert "http://register.tarn.example/password/new/" in mail.outbox[0].body
    assert "localhost" not in mail.outbox[0].body


def test_the_link_sets_a_new_password_once_and_lifts_the_lock(client, town, settings):
    for _ in range(settings.AXES_FAILURE_LIMIT):
        log_in(client, "manager@tarn.example", "a-wrong-one")
    ask(client, "manager@tarn.example")
    form_page = client.get(path_in(mail.outbox[0]), follow=True)
    form_url = form_page.redirect_chain[-1][0]
    response = client.post(form_url, {"new_password1": NEW_PASSWORD, "new_password2": NEW_PASSWORD})
    assert response.url == reverse("password-reset-complete")
    assert log_in(client, "manager@tarn.example", NEW_PASSWORD).url == reverse("home")
    again = client.get(path_in(mail.outbox[0]), follow=True)
    assert "This link does not work any more" in again.content.decode()


def test_who_is_switched_off_gets_no_link(client, town):
    make_person(email="off@tarn.example", is_active=False)
    assert ask(client, "off@tarn.example").status_code == 302
    assert not mail.outbox
