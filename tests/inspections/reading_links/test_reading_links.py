"""An insurer or authority reads one paper by a link: until a day, each opening told, withdrawn at any time."""

import hashlib
import io
import re
import zipfile
from datetime import timedelta

import pytest
import time_machine
from django.core.files.storage import default_storage
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from inspections.certificates.issue import revoke_certificate
from inspections.hand_overs.whole_file import keep_whole_file
from inspections.models import ReadingLink
from inspections.reading_links import edits
from inspections.reading_links.edits import ReadingLinkRefused, make_link, withdraw_link
from inspections.visits.edits import call_off_visit
from sites_registry.logs import redacted
from tests import builders

pytestmark = pytest.mark.django_db


def today(days=0):
    return timezone.localdate() + timedelta(days=days)


def made(paper, by, days=30):
    """A link, and the address that its holder opens."""
    link, secret = make_link(paper=paper, reader="Tarn Mutual, surveyor", ends_on=today(days), by=by)
    return link, reverse("read-page", args=[secret])


@pytest.fixture
def hand_over(town):
    return builders.make_hand_over(town.job, town.people["manager"])


class TestMakingOne:
    @pytest.mark.parametrize("who", ["office", "manager"])
    def test_the_link_is_shown_once_and_reads_the_certificate_without_a_log_in(self, as_, town, who):
        form = reverse("certificate-link-create", args=[town.certificate.number])
        typed = {"reader": "Tarn Mutual, surveyor", "ends_on": today(30).isoformat()}
        page = as_(who).post(form, typed, follow=True)
        (address,) = re.findall(r"https?://[^/]+(/read/[\w-]+/)", page.content.decode())
        assert "/read/" not in as_(who).get(page.redirect_chain[-1][0]).content.decode()
        read = Client().get(address)
        assert town.certificate.number in read.content.decode()
        assert Client().get(f"{address}certificate.pdf").content.startswith(b"%PDF")

    def test_of_the_secret_only_a_digest_is_kept(self, town):
        link, address = made(town.certificate, town.people["office"])
        secret = address.split("/")[2]
        assert secret not in str(ReadingLink.objects.filter(pk=link.pk).values().get())

    def test_a_hand_over_is_read_file_by_file_and_as_one(self, town, hand_over):
        _, address = made(hand_over, town.people["manager"])
        page = Client().get(address).content.decode()
        (file,) = re.findall(rf"{address}files/\d+/", page)
        assert Client().get(file).content == default_storage.read_whole(hand_over.files.get().file.name)
        archive = b"".join(Client().get(f"{address}all.zip").streaming_content)
        assert any(name.endswith("note.txt") for name in zipfile.ZipFile(io.BytesIO(archive)).namelist())

    def test_the_file_of_a_hand_over_is_read_once_it_is_made(self, town, hand_over):
        link, address = made(hand_over, town.people["manager"])
        assert "file.pdf" not in Client().get(address).text
        assert Client().get(f"{address}file.pdf").status_code == 404
        keep_whole_file(hand_over)
        assert f"{address}file.pdf" in Client().get(address).text
        assert hashlib.sha256(Client().get(f"{address}file.pdf").content).hexdigest() == hand_over.whole_sha256
        assert link.openings.latest("pk").what == "the hand-over file"

    @pytest.mark.parametrize("days", [-1, 367])
    def test_a_day_that_is_past_or_beyond_a_year_is_refused_with_the_day(self, as_, town, days):
        typed = {"reader": "Surveyor", "ends_on": today(days).isoformat()}
        page = as_("office").post(reverse("certificate-link-create", args=[town.certificate.number]), typed)
        assert page.status_code == 422 and f"{today(days):%-d %b %Y} is not between today" in page.content.decode()
        assert not ReadingLink.objects.exists()

    def test_a_hand_over_that_is_still_put_together_gets_none(self, town):
        begun = builders.make_hand_over(town.job, town.people["manager"], handed_over_at=None)
        with pytest.raises(ReadingLinkRefused, match="still being put together"):
            made(begun, town.people["office"])

    @pytest.mark.parametrize("who", ["engineer", "stranger"])
    def test_who_is_neither_office_nor_manager_of_the_building_makes_none(self, town, who):
        with pytest.raises(ReadingLinkRefused, match="a manager of the building"):
            made(town.certificate, town.people[who])


class TestReading:
    def test_each_opening_is_shown_to_office_and_manager_with_what_was_opened(self, as_, town):
        link, address = made(town.certificate, town.people["office"])
        Client().get(address)
        Client().get(f"{address}certificate.pdf")
        for who in ("office", "manager"):
            page = as_(who).get(link.get_absolute_url()).content.decode()
            assert "the page" in page and f"{town.certificate.number}.pdf" in page
            assert "2 times" in as_(who).get(town.certificate.get_absolute_url()).content.decode()

    def test_looking_whether_it_is_there_is_no_opening(self, town):
        link, address = made(town.certificate, town.people["office"])
        assert Client().head(address).status_code == 200
        assert not link.openings.exists()

    def test_it_says_of_a_revoked_certificate_that_it_is_revoked(self, town):
        _, address = made(town.certificate, town.people["office"])
        revoke_certificate(certificate=town.certificate, revoked_by=town.people["office"], reason="Wrong building.")
        page = Client().get(address).content.decode()
        assert "Do not rely on it" in page and "Wrong building" not in page

    def test_it_sends_nobody_to_a_later_certificate_that_was_revoked_too(self, town):
        office = town.people["office"]
        _, address = made(town.certificate, office)
        call_off_visit(visit=town.visit, reason="The building is closed.", called_off_by=office)
        later = builders.make_certificate(town.finished, office, again=True)
        assert "Ask for that one" in Client().get(address).content.decode()
        revoke_certificate(certificate=later, revoked_by=office, reason="Wrong readings.")
        page = Client().get(address).content.decode()
        assert "no certificate stands in its place" in page and "Ask for that one" not in page

    def test_a_link_to_a_hand_over_reads_no_file_of_another(self, town, hand_over):
        other = builders.make_hand_over(builders.make_job(town.mill), town.people["stranger"])
        _, address = made(hand_over, town.people["office"])
        assert Client().get(f"{address}files/{other.files.get().pk}/").status_code == 404
        assert Client().get(f"{address}certificate.pdf").status_code == 404

    def test_an_unknown_secret_is_not_found(self):
        assert Client().get(reverse("read-page", args=["a" * 32])).status_code == 404

    def test_its_address_goes_to_no_other_site_and_no_search_engine(self, town):
        _, address = made(town.certificate, town.people["office"])
        answer = Client().get(address)
        assert answer["Referrer-Policy"] == "no-referrer" and "noindex" in answer["X-Robots-Tag"]
        assert answer["Cache-Control"] == "no-store" and address not in answer.content.decode().partition("<footer")[2]

    def test_no_log_keeps_its_secret(self, town):
        _, address = made(town.certificate, town.people["office"])
        assert redacted(f"GET {address}certificate.pdf") == "GET /read/…/certificate.pdf"

    def test_a_link_that_a_machine_opens_over_and_over_rests(self, town, monkeypatch):
        monkeypatch.setattr(edits, "OPENINGS_A_DAY", 2)
        link, address = made(town.certificate, town.people["office"])
        assert [Client().get(address).status_code for _ in range(3)] == [200, 200, 429]
        assert link.openings.count() == 2
        with time_machine.travel(timezone.now() + timedelta(hours=25)):
            assert Client().get(address).status_code == 200


class TestItsEnd:
    def test_it_opens_on_its_last_day_and_no_longer(self, town):
        _, address = made(town.certificate, town.people["office"], days=1)
        with time_machine.travel(timezone.now() + timedelta(days=1)):
            assert Client().get(address).status_code == 200
        with time_machine.travel(timezone.now() + timedelta(days=2)):
            page = Client().get(address)
            assert page.status_code == 410 and f"until {today(-1):%-d %b %Y}" in page.content.decode()
            assert Client().get(f"{address}certificate.pdf").status_code == 410

    def test_withdrawn_by_the_manager_it_opens_nothing_from_then_on(self, as_, town):
        link, address = made(town.certificate, town.people["office"])
        as_("manager").post(reverse("reading-link-withdraw", args=[link.pk]))
        page = Client().get(address)
        assert page.status_code == 410 and "withdrawn on" in page.content.decode()
        detail = as_("office").get(link.get_absolute_url()).content.decode()
        assert "by Mara Hollin" in detail and "Withdraw the link" not in detail

    def test_withdrawn_twice_it_keeps_who_did_it_first(self, town):
        link, _ = made(town.certificate, town.people["office"])
        first = withdraw_link(link=link, by=town.people["manager"])
        assert withdraw_link(link=link, by=town.people["office"]).withdrawn_by == first.withdrawn_by
