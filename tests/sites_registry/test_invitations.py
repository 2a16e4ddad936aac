"""People come by a link in an e-mail; the link works once, for a while, until it is withdrawn."""

import re
from datetime import timedelta

import pytest
from django.core import mail
from django.urls import reverse
from django.utils import timezone

from sites_registry.access import Role
from sites_registry.models import Invitation, Person
from tests.builders import make_building, make_invitation, make_person

GOOD_PASSWORD = "seven-gulls-on-a-quay"


@pytest.fixture
def committed(django_capture_on_commit_callbacks):
    return lambda: django_capture_on_commit_callbacks(execute=True)


def invite_form(town, **changes):
    return {
        "full_name": "Nell Arden",
        "email": "Nell@tarn.example",
        "role": "manager",
        "buildings": [town.hall.pk],
        **changes,
    }


def link_in(message):
    return re.search(r"http://\S+/invitation/\S+/", message.body).group()


def path_in(message):
    return "/" + link_in(message).split("/", 3)[3]


def accept_form(**changes):
    return {"full_name": "Nell Arden", "password1": GOOD_PASSWORD, "password2": GOOD_PASSWORD, **changes}


@pytest.fixture
def sent_link(as_, town, committed):
    """The path of a link that the office has just mailed to Nell, manager of Ropewalk Hall."""
    with committed():
        as_("office").post(reverse("invitation-create"), invite_form(town))
    return path_in(mail.outbox[-1])


def test_an_invitation_goes_out_by_mail_with_a_link_to_the_public_address(as_, town, settings, committed):
    settings.PUBLIC_URL = "http://register.tarn.example"
    with committed():
        response = as_("office").post(reverse("invitation-create"), invite_form(town), HTTP_HOST="localhost")
    assert response.status_code == 302
    message = mail.outbox[0]
    assert message.to == ["nell@tarn.example"]
    assert link_in(message).startswith("http://register.tarn.example/invitation/")
    assert "Ropewalk Hall" in message.body and "Mill House" not in message.body


def test_only_the_hash_of_the_token_is_stored(sent_link):
    token = sent_link.strip("/").split("/")[-1]
    assert len(token) >= 40
    assert Invitation.objects.get().token_hash != token
    assert not Invitation.objects.filter(token_hash__contains=token).exists()


def test_nothing_is_mailed_when_the_invitation_is_refused(as_, town, committed):
    with committed():
        response = as_("office").post(reverse("invitation-create"), invite_form(town, buildings=[]))
    assert response.status_code == 422
    assert "Choose at least one" in response.content.decode()
    assert not mail.outbox and not Invitation.objects.exists()


def test_office_staff_are_invited_without_buildings(as_, town, committed):
    with committed():
        as_("office").post(reverse("invitation-create"), invite_form(town, role="office", buildings=[]))
    assert Invitation.objects.get().role == Role.OFFICE


def test_buildings_chosen_for_office_staff_are_told_not_dropped(as_, town):
    response = as_("office").post(reverse("invitation-create"), invite_form(town, role="office"))
    assert response.status_code == 422
    assert "Buildings are chosen for building managers only" in response.content.decode()


def test_somebody_with_a_log_in_is_not_invited_again(as_, town):
    response = as_("office").post(reverse("invitation-create"), invite_form(town, email="MANAGER@tarn.example"))
    assert response.status_code == 422
    assert "manager@tarn.example has a log-in already (Mara Hollin, building manager)." in response.content.decode()


def test_one_open_invitation_per_e_mail(as_, town, sent_link):
    response = as_("office").post(reverse("invitation-create"), invite_form(town))
    assert response.status_code == 422
    assert "has an open invitation already" in response.content.decode()
    assert Invitation.objects.count() == 1


def test_a_second_click_on_send_makes_no_second_invitation(as_, town, committed):
    form = invite_form(town, submission_key="5f0c2b1e-0000-4000-8000-000000000001")
    with committed():
        first = as_("office").post(reverse("invitation-create"), form)
        second = as_("office").post(reverse("invitation-create"), form)
    assert (first.status_code, second.status_code, second.url) == (302, 302, first.url)
    assert Invitation.objects.count() == 1 and len(mail.outbox) == 1


@pytest.mark.django_db(transaction=True)  # the mail leaves after the commit, and the page tells how it went
def test_a_mail_server_that_fails_is_told_and_the_invitation_stays(as_, town, settings):
    settings.EMAIL_BACKEND = "tests.sites_registry.test_invitations.BrokenBackend"
    response = as_("office").post(reverse("invitation-create"), invite_form(town), follow=True)
    page = response.content.decode()
    assert "The mail to nell@tarn.example could not be sent" in page
    assert "/invitation/" in page  # to hand over meanwhile
    assert Invitation.objects.open().count() == 1


class TestWithoutAMailServer:
    """Nothing is said to be on its way: the office is shown the link and hands it over itself."""

    @pytest.fixture(autouse=True)
    def no_mail(self, settings, tmp_path):
        settings.EMAIL_BACKEND = "django.core.mail.backends.filebased.EmailBackend"
        settings.EMAIL_FILE_PATH = tmp_path / "mail"
        settings.PUBLIC_URL = "http://register.tarn.example"

    def shown_link(self, response):
        page = response.content.decode()
        assert "on its way" not in page and "This register sends no mail." in page
        return "/" + re.search(r"http://register.tarn.example/(invitation/\S+?/)<", page).group(1)

    def test_the_form_says_so_before_anything_is_typed(self, as_, town):
        page = as_("office").get(reverse("invitation-create")).content.decode()
        assert "This register sends no mail: you are shown a link to hand over" in page
        assert "Make the link" in page and "Send the invitation" not in page

    @pytest.mark.django_db(transaction=True)
    def test_the_link_is_shown_to_who_invites_and_works(self, as_, client, town):
        link = self.shown_link(as_("office").post(reverse("invitation-create"), invite_form(town), follow=True))
        client.logout()
        assert client.post(link, accept_form()).status_code == 302
        assert Person.objects.get(email="nell@tarn.example").role == Role.MANAGER

    @pytest.mark.django_db(transaction=True)
    def test_it_is_shown_once_and_a_new_one_can_be_made(self, as_, client, town):
        office = as_("office")
        first = self.shown_link(office.post(reverse("invitation-create"), invite_form(town), follow=True))
        page = office.get(reverse("invitation-list")).content.decode()
        assert first not in page and "New link" in page and "Send again" not in page
        again = reverse("invitation-send-again", args=[Invitation.objects.get().pk])
        second = self.shown_link(office.post(again, follow=True))
        client.logout()
        assert (client.get(first).status_code, client.get(second).status_code) == (404, 200)


@pytest.mark.django_db(transaction=True)
def test_where_mail_is_sent_the_link_is_shown_to_nobody_but_its_mailbox(as_, town):
    page = as_("office").post(reverse("invitation-create"), invite_form(town), follow=True).content.decode()
    assert "The link is on its way to nell@tarn.example" in page
    assert link_in(mail.outbox[0]) not in page and "/invitation/" not in page


class BrokenBackend:
    def __init__(self, **options):
        pass

    def send_messages(self, messages):
        raise OSError("no route to the mail server")


def test_the_link_makes_a_manager_of_the_named_buildings_and_logs_in(client, town, sent_link):
    client.logout()
    assert client.get(sent_link).status_code == 200
    response = client.post(sent_link, accept_form())
    assert response.status_code == 302
    person = Person.objects.get(email="nell@tarn.example")
    assert (person.role, list(person.buildings.all())) == (Role.MANAGER, [town.hall])
    assert client.session["_auth_user_id"] == str(person.pk)
    assert Invitation.objects.get().accepted_by == person


def test_the_office_trying_the_link_is_logged_out_of_its_own_log_in(client, sent_link):
    assert "Taking up this invitation logs you out" in client.get(sent_link).content.decode()
    client.post(sent_link, accept_form())
    assert client.session["_auth_user_id"] == str(Person.objects.get(email="nell@tarn.example").pk)


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"password2": "another-one-altogether"}, "didn’t match"),
        ({"password1": "short", "password2": "short"}, "too short"),
        ({"password1": "nell@tarn.example", "password2": "nell@tarn.example"}, "too similar"),
        ({"full_name": ""}, "This field is required"),
        ({"full_name": "N\x00"}, "Null characters are not allowed"),
        ({"full_name": "N" * 121}, "at most 120 characters"),
    ],
)
def test_what_is_wrong_on_the_accept_page_is_told_and_nothing_is_made(client, sent_link, changes, sentence):
    client.logout()
    response = client.post(sent_link, accept_form(**changes))
    assert response.status_code == 422
    assert sentence in response.content.decode()
    assert not Person.objects.filter(email="nell@tarn.example").exists()


def test_a_used_link_says_so(client, sent_link):
    client.post(sent_link, accept_form())
    client.logout()
    for response in (client.get(sent_link), client.post(sent_link, accept_form())):
        assert response.status_code == 410
        assert "This invitation was taken up on" in response.content.decode()
    assert Person.objects.filter(email="nell@tarn.example").count() == 1


def test_an_expired_link_says_so(client, town, sent_link):
    Invitation.objects.update(expires_at=timezone.now() - timedelta(minutes=1))
    response = client.post(sent_link, accept_form())
    assert response.status_code == 410
    assert "This invitation expired on" in response.content.decode()
    assert not Person.objects.filter(email="nell@tarn.example").exists()


def test_a_link_lasts_fourteen_days(sent_link):
    lasts = Invitation.objects.get().expires_at - timezone.now()
    assert timedelta(days=13, hours=23) < lasts <= timedelta(days=14)


def test_a_withdrawn_link_says_so(as_, client, sent_link):
    as_("office").post(reverse("invitation-withdraw", args=[Invitation.objects.get().pk]))
    response = client.post(sent_link, accept_form())
    assert response.status_code == 410
    assert "This invitation was withdrawn on" in response.content.decode()
    assert not Person.objects.filter(email="nell@tarn.example").exists()


def test_an_unknown_link_says_what_may_be_wrong(client, db):
    response = client.get(reverse("invitation-accept", args=["nobody-sent-this"]))
    assert response.status_code == 404
    assert "There is no invitation behind this link" in response.content.decode()


def test_sent_again_the_new_link_works_and_the_old_one_does_not(as_, client, town, sent_link, committed):
    with committed():
        as_("office").post(reverse("invitation-send-again", args=[Invitation.objects.get().pk]))
    new_link = path_in(mail.outbox[-1])
    client.logout()
    assert client.get(sent_link).status_code == 404
    assert client.get(new_link).status_code == 200


def test_an_expired_invitation_sent_again_works_for_another_fourteen_days(as_, town, committed):
    invitation = make_invitation(expires_at=timezone.now() - timedelta(days=3))
    with committed():
        as_("office").post(reverse("invitation-send-again", args=[invitation.pk]))
    invitation.refresh_from_db()
    assert invitation.is_open and len(mail.outbox) == 1


@pytest.mark.parametrize("action", ["invitation-send-again", "invitation-withdraw"])
def test_an_invitation_taken_up_is_neither_sent_again_nor_withdrawn(as_, town, action, committed):
    invitation = make_invitation(accepted_at=timezone.now(), accepted_by=make_person())
    with committed():
        response = as_("office").post(reverse(action, args=[invitation.pk]), follow=True)
    assert "This invitation was taken up on" in response.content.decode()
    invitation.refresh_from_db()
    assert invitation.withdrawn_at is None and not mail.outbox


def test_somebody_who_got_a_log_in_meanwhile_is_told_to_use_it(client, town, sent_link):
    make_person(email="nell@tarn.example")
    client.logout()
    response = client.post(sent_link, accept_form())
    assert response.status_code == 422
    assert "has a log-in already" in response.content.decode()
    assert Invitation.objects.get().accepted_at is None


def test_the_list_shows_open_and_expired_but_not_closed_invitations(as_, town):
    make_invitation(full_name="Open Olga")
    make_invitation(full_name="Late Lars", expires_at=timezone.now() - timedelta(days=1))
    make_invitation(full_name="Gone Greta", withdrawn_at=timezone.now())
    make_invitation(full_name="In Ivo", accepted_at=timezone.now(), accepted_by=make_person())
    page = as_("office").get(reverse("invitation-list")).content.decode()
    assert "Open Olga" in page and "Late Lars" in page
    assert "Gone Greta" not in page and "In Ivo" not in page


def test_the_building_of_the_address_is_ticked_beforehand(as_, town):
    make_building(name="Elsewhere")
    page = as_("office").get(reverse("invitation-create"), {"building": "ropewalk-hall"}).content.decode()
    ticked = re.findall(r"<input[^>]*name=\"buildings\"[^>]*checked[^>]*>", page)
    assert len(ticked) == 1 and f'value="{town.hall.pk}"' in ticked[0]
