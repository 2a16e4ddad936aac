"""Mails to people: who is told what, how often, and what becomes of each mail."""

from datetime import timedelta

import pytest
from django.core import mail
from django.core.mail.backends.locmem import EmailBackend
from django.urls import reverse
from django.utils import timezone

from inspections.certificates.issue import revoke_certificate
from inspections.certificates.papers import keep_pdf
from inspections.models import Certificate, Defect
from inspections.notices import gathering
from inspections.notices.gathering import gather
from sites_registry.models import Mail, Person
from sites_registry.services.outbox import WAITS, send_waiting
from tests import builders


@pytest.fixture
def quiet(town, monkeypatch):
    """Nobody but the manager of Ropewalk Hall is told anything, at an hour at which digests go."""
    Person.objects.exclude(pk=town.people["manager"].pk).update(mails=Person.Mails.OFF)
    monkeypatch.setattr(gathering, "DIGEST_FROM_HOUR", 0)
    return town


def choose(town, what):
    Person.objects.filter(pk=town.people["manager"].pk).update(mails=what)


def impair(town):
    return builders.make_defect(town.hall, town.finished, severity="impaired")


def test_a_certificate_that_is_there_is_told_once_to_the_manager_of_its_building(quiet):
    assert gather() == 0  # its PDF is not there yet
    keep_pdf(quiet.certificate)
    assert (gather(), gather()) == (1, 0)
    send_waiting()
    (sent,) = mail.outbox
    assert sent.to == ["manager@tarn.example"]
    assert f"Ropewalk Hall: inspection certificate {quiet.certificate.number} is there." in sent.body
    assert Mail.objects.get().state == "sent"


def test_a_certificate_that_was_revoked_meanwhile_is_not_told_as_being_there(quiet):
    keep_pdf(quiet.certificate)
    revoke_certificate(certificate=quiet.certificate, revoked_by=quiet.people["office"], reason="Wrong list")
    assert gather() == 0 and not Mail.objects.exists()


def test_an_impairment_is_told_at_once_and_the_rest_waits_for_the_next_digest(quiet):
    impaired = impair(quiet)
    assert gather() == 1
    told = Mail.objects.get()
    assert (told.kind, told.subject) == ("impaired", "Smoke control is impaired: Ropewalk Hall")
    assert f"smoke control is impaired by defect {impaired.pk}: {impaired.description}" in told.body


def test_who_wants_a_digest_gets_one_a_day(quiet):
    choose(quiet, Person.Mails.DIGEST)
    first = impair(quiet)
    gather()
    impair(quiet)
    assert gather() == 0
    Mail.objects.update(queued_at=timezone.now() - timedelta(days=1))
    assert gather() == 1
    assert f"defect {first.pk}" not in Mail.objects.order_by("-pk").first().body


def test_who_wants_no_mail_gets_none(quiet):
    choose(quiet, Person.Mails.OFF)
    impair(quiet)
    assert gather() == 0 and not Mail.objects.exists()


def test_what_is_no_more_so_before_the_digest_is_not_told(quiet, monkeypatch):
    choose(quiet, Person.Mails.DIGEST)
    monkeypatch.setattr(gathering, "DIGEST_FROM_HOUR", 24)
    impair(quiet)
    gather()
    Defect.objects.update(severity="minor")
    monkeypatch.setattr(gathering, "DIGEST_FROM_HOUR", 0)
    assert gather() == 0


def test_a_manager_is_not_told_of_another_building(quiet):
    impair(quiet)
    quiet.hall.managers.clear()
    assert gather() == 0


def test_an_inspection_that_falls_due_is_told(quiet):
    last = timezone.now() - timedelta(days=350)
    type(quiet.finished).objects.filter(pk=quiet.finished.pk).update(finished_at=last)
    assert gather() == 1
    assert "Ropewalk Hall: the inspection falls due on" in Mail.objects.get().body


def test_a_mail_that_fails_is_tried_again_and_kept_with_its_reason(quiet, monkeypatch):
    def refuse(self, messages):
        raise OSError("the mail server is away")

    impair(quiet)
    gather()
    monkeypatch.setattr(EmailBackend, "send_messages", refuse)
    assert send_waiting() == (0, 1)
    kept = Mail.objects.get()
    assert (kept.state, kept.tries, kept.reason) == ("queued", 1, "OSError: the mail server is away")
    assert send_waiting() == (0, 0)  # its next try is later
    for _ in WAITS:
        Mail.objects.update(next_try_at=timezone.now())
        send_waiting()
    assert Mail.objects.get().state == "failed"


def test_the_office_sends_a_failed_mail_again(quiet, as_):
    impair(quiet)
    gather()
    Mail.objects.update(state="failed", reason="OSError: away")
    one = Mail.objects.get()
    page = as_("office").get(reverse("mail-list") + "?state=failed")
    assert "manager@tarn.example" in page.text and "OSError: away" in page.text
    assert "Send it again" in as_("office").get(reverse("mail-detail", args=[one.pk])).text
    as_("office").post(reverse("mail-try-again", args=[one.pk]))
    assert send_waiting() == (1, 0)


def test_a_person_chooses_which_mails(town, as_):
    as_("manager").post(reverse("my-mails"), {"mails": "off", "seen_version": town.people["manager"].row_version})
    assert Person.objects.get(pk=town.people["manager"].pk).mails == "off"


def test_a_mail_of_an_invitation_is_kept_without_its_link(town, as_, django_capture_on_commit_callbacks):
    told = {"full_name": "New Person", "email": "new@tarn.example", "role": "engineer"}
    with django_capture_on_commit_callbacks(execute=True):
        as_("office").post(reverse("invitation-create"), told)
    kept = Mail.objects.get(kind="invitation")
    (sent,) = mail.outbox
    link = next(line for line in sent.body.splitlines() if line.startswith("http"))
    assert kept.state == "sent" and link not in kept.body and link.split("/")[-2] not in kept.body


def test_gathering_costs_the_same_for_one_impairment_and_for_five(quiet, django_assert_num_queries):
    impair(quiet)
    gather()
    for _ in range(5):
        impair(quiet)
    with django_assert_num_queries(15):
        gather()
    assert Certificate.objects.exists()
