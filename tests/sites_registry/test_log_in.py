"""Logging in: forgotten passwords, too many guesses."""

import re

import pytest
from django.core import mail
from django.urls import reverse

from sites_registry.models import Firm
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


class TestWithoutAMailServer:
    """Nothing is said to be on its way. The office makes a link; who asks at the log-in page is told whom to ask."""

    @pytest.fixture(autouse=True)
    def no_mail(self, settings, tmp_path):
        settings.EMAIL_BACKEND = "django.core.mail.backends.filebased.EmailBackend"
        settings.EMAIL_FILE_PATH = tmp_path / "mail"

    @pytest.fixture
    def firm(self, db):
        Firm.objects.update_or_create(pk=1, defaults={"name": "Tarn Vents", "phone": "0000 555 001"})

    @pytest.mark.parametrize("email", ["manager@tarn.example", "nobody@tarn.example"])
    def test_who_asks_is_told_whom_to_ask_and_is_shown_no_link(self, client, town, firm, email, tmp_path):
        for response in (client.get(reverse("password-reset")), ask(client, email)):
            page = response.content.decode()
            assert "This register sends no mail" in page
            assert "Tarn Vents" in page and "0000 555 001" in page
            assert "/password/new/" not in page and "on its way" not in page
        assert not (tmp_path / "mail").exists()

    def test_the_office_makes_a_link_for_somebody_and_it_sets_a_new_password(self, as_, client, town):
        person = town.people["manager"]
        assert "Make a link to a new password" in as_("office").get(person.get_absolute_url()).content.decode()
        response = as_("office").post(reverse("password-link", args=[person.pk]), follow=True)
        page = response.content.decode()
        assert "Hand this link to Mara Hollin yourself" in page and "It works once and for 3 days" in page
        link = "/" + re.search(r"http://[^/]+/(password/new/\S+?/)<", page).group(1)
        client.logout()
        form_url = client.get(link, follow=True).redirect_chain[-1][0]
        client.post(form_url, {"new_password1": NEW_PASSWORD, "new_password2": NEW_PASSWORD})
        assert log_in(client, "manager@tarn.example", NEW_PASSWORD).url == reverse("home")
        assert "This link does not work any more" in client.get(link, follow=True).content.decode()

    def test_who_has_support_access_is_helped_by_support_alone(self, as_, town):
        support = make_person(is_staff=True)
        assert as_("office").post(reverse("password-link", args=[support.pk])).status_code == 403
        assert "Make a link" not in as_("office").get(support.get_absolute_url()).content.decode()

    def test_who_is_switched_off_gets_no_link_from_the_office_either(self, as_, town):
        off = make_person(is_active=False)
        assert as_("office").post(reverse("password-link", args=[off.pk])).status_code == 404


def test_where_mail_is_sent_the_office_makes_no_link_for_others(as_, town):
    person = town.people["manager"]
    assert "Make a link" not in as_("office").get(person.get_absolute_url()).content.decode()
    page = as_("office").post(reverse("password-link", args=[person.pk]), follow=True).content.decode()
    assert "/password/new/" not in page and "asks for a link on the log-in page" in page
