"""Certificates: numbered without gaps, frozen at issue, superseded or revoked, never changed."""

import re
from datetime import date, timedelta

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse
from django.utils import timezone

from inspections.certificates.issue import (
    NotCertifiable,
    NotRevocable,
    digest_of,
    is_intact,
    issue_certificate,
    revoke_certificate,
)
from inspections.models import Certificate, Severity
from tests import builders
from tests.evidence import rewrite


@pytest.fixture
def visit(town):
    return builders.make_finished_visit(town.hall, engineer=town.people["engineer"], job=town.job)


def issue(visit, town, **changes):
    fields = {"issued_on": timezone.localdate(), "scope": "All of it.", "capacity": "authorised person", **changes}
    builders.accept_what_stands(visit, by=town.people["office"])
    return issue_certificate(visit=visit, issued_by=town.people["office"], **fields)


def test_numbers_of_a_year_follow_each_other_without_a_gap(town):
    first = issue(builders.make_finished_visit(town.hall), town)
    with pytest.raises(NotCertifiable):
        issue(town.visit, town)
    second = issue(builders.make_finished_visit(town.mill), town)
    year, number = first.number.split("-")
    assert second.number == f"{year}-{int(number) + 1:04}"


def test_a_failure_after_the_number_was_taken_leaves_no_gap(town, visit):
    with pytest.raises(ZeroDivisionError), transaction.atomic():
        taken = issue(visit, town).number
        raise ZeroDivisionError
    assert issue(visit, town).number == taken


def test_a_second_click_gives_the_certificate_that_the_first_one_issued(town, visit):
    assert issue(visit, town) == issue(visit, town)


def test_a_visit_not_finished_is_refused_with_the_reason(town):
    with pytest.raises(NotCertifiable) as refused:
        issue(town.visit, town)
    assert "The visit is planned. Finish it first." in refused.value.reasons


def test_a_certificate_cannot_be_dated_ahead_or_before_the_visit(town, visit):
    for wrong, words in ((timedelta(1), "lies ahead"), (timedelta(-400), "before the visit was finished")):
        with pytest.raises(NotCertifiable, match=words):
            issue(visit, town, issued_on=timezone.localdate() + wrong)
    assert not Certificate.objects.filter(visit=visit).exists()


def test_a_new_certificate_supersedes_the_one_in_force(town, visit):
    certificate = issue(visit, town)
    town.certificate.refresh_from_db()
    assert (town.certificate.state, certificate.state) == ("superseded", "in_force")
    assert certificate.supersedes == town.certificate
    assert certificate.statement["supersedes"] == town.certificate.number


def test_an_earlier_visit_cannot_supersede_the_certificate_of_a_later_one(town, visit):
    issue(visit, town)
    old = builders.make_finished_visit(town.hall, finished_at=builders.days_ago(700))
    with pytest.raises(NotCertifiable, match="later visit is in force"):
        issue(old, town)


def test_the_database_refuses_two_certificates_in_force_for_one_building_and_kind(town, visit):
    issue(visit, town)
    with pytest.raises(IntegrityError), transaction.atomic():
        rewrite(Certificate.objects.filter(pk=town.certificate.pk), state="in_force")


def test_the_statement_says_what_was_recorded(town, visit):
    statement = issue(visit, town).statement
    assert statement["building"]["name"] == "Ropewalk Hall"
    assert statement["client"]["name"] == "Quay Housing"
    rows = {row["kind"]: row for row in statement["tested"]}
    assert (rows["smoke detector"]["positions"], rows["smoke detector"]["pass"]) == (1, 1)
    assert [row["name"] for row in statement["signatures"]] == ["Edwin Marsh", "Orla Finch"]


def test_the_standard_of_the_job_is_named_by_the_client_where_no_check_cites_it(town, visit, as_):
    town.job.standard = "BS 7346-8:2013"
    town.job.save()
    visit.test_points.update(limit_source="BS 5839-1:2017 cl. 45.3, second-hand")
    certificate = issue(visit, town)
    page = as_("office").get(certificate.get_absolute_url()).content.decode()
    assert "BS 7346-8:2013 (cited by no check of this visit)" in page and "Standard worked to" not in page
    assert "BS 5839-1:2017 cl. 45.3, second-hand: Function" in page


def test_a_statement_frozen_before_standards_were_listed_stays_readable(town, as_):
    old = {key: value for key, value in town.certificate.statement.items() if "standard" not in key}
    old |= {"statement_version": 1, "standard": "BS 7346-8:2013", "exclusions": ""}
    rewrite(Certificate.objects.filter(pk=town.certificate.pk), statement=old, digest_sha256=digest_of(old))
    page = as_("office").get(town.certificate.get_absolute_url()).content.decode()
    assert "BS 7346-8:2013" in page and "cited by no check" not in page and "Standards that checks cite" not in page
    assert "nothing excluded" not in page.lower() and "not stated" in page


def test_typed_names_stand_as_recorded_and_issued_and_not_as_signatures(town, visit, as_):
    page = as_("office").get(issue(visit, town).get_absolute_url()).content.decode()
    assert re.search(r"<dt>Recorded, issued</dt>.*Orla Finch, authorised person, .*for the issue of this", page, re.S)
    assert "Edwin Marsh, inspecting engineer, " in page
    assert "nobody has signed by hand" in page.replace("\n", " ") and "Signature not recorded." in page


def test_nothing_that_changes_later_changes_what_a_certificate_says(town, visit, as_):
    certificate = issue(visit, town)
    before = as_("office").get(certificate.get_absolute_url()).content.decode()
    statement_before = re.search(r'<section class="sheet statement".*?</section>', before, re.S).group()
    town.hall.name, town.hall.address = "Renamed Hall", "Elsewhere"
    town.hall.save()
    town.detector.tag = "SD99"
    town.detector.save()
    builders.make_defect(town.hall, visit, severity=Severity.IMPAIRED, description="Vent stuck.")
    after = as_("office").get(certificate.get_absolute_url()).content.decode()
    assert re.search(r'<section class="sheet statement".*?</section>', after, re.S).group() == statement_before
    certificate.refresh_from_db()
    assert is_intact(certificate)


def test_an_open_impairing_defect_makes_the_certificate_limited_and_is_named(town, visit):
    builders.make_defect(town.hall, visit, severity=Severity.IMPAIRED, description="Vent V1 stuck half open.")
    certificate = issue(visit, town)
    assert certificate.is_limited
    assert certificate.statement["defects"][0]["text"] == "Vent V1 stuck half open."
    assert certificate.statement["limited_because"][0] == "1 open defect impairing smoke control"


def test_a_minor_defect_is_listed_and_does_not_limit(town, visit):
    builders.make_defect(town.hall, visit, severity=Severity.MINOR, description="Lamp broken.")
    certificate = issue(visit, town)
    assert len(certificate.statement["defects"]) == 1
    assert "defect" not in certificate.statement["conclusion"]["sentence"]


def test_a_point_not_accessible_limits_the_certificate_and_is_listed_with_its_reason(town):
    visit = builders.make_visit(
        town.hall, state="under_way", started_at=builders.days_ago(2), engineer=town.people["engineer"]
    )
    point = builders.make_test_point(visit, town.detector)
    builders.make_result(point, outcome="not_accessible", reason="Flat locked.")
    visit.state, visit.finished_at = "finished", builders.days_ago(1)
    visit.save()
    certificate = issue(visit, town)
    assert certificate.is_limited
    assert [(row["tag"], row["reason"]) for row in certificate.statement["not_tested"]] == [("SD1", "Flat locked.")]


def test_standing_variations_are_repeated_and_removed_ones_are_not(town, visit):
    common = {"building": town.hall, "agreed_by": "fire officer", "agreed_on": date(2025, 1, 1), "why": "Old stair."}
    town.hall.variations.create(**{**common, "what": "No detector in the loft."})
    town.hall.variations.create(**{**common, "what": "Old one.", "removed_on": date(2025, 6, 1)})
    assert [row["what"] for row in issue(visit, town).statement["variations"]] == ["No detector in the loft."]


def test_issued_again_it_takes_the_records_as_they_stand_and_supersedes_the_first(town, visit):
    defect = builders.make_defect(town.hall, visit, severity=Severity.IMPAIRED, description="Vent stuck.")
    first = issue(visit, town)
    closing = builders.make_result(builders.make_test_point(builders.make_visit(town.hall), town.detector))
    defect.closed_at, defect.closed_by_result = timezone.now(), closing
    defect.save()
    second = issue(visit, town, again=True)
    first.refresh_from_db()
    assert (first.state, second.supersedes) == ("superseded", first)
    assert first.statement["conclusion"]["because"] == ["1 open defect impairing smoke control"]
    assert second.statement["conclusion"]["because"] == []
    assert second.statement["put_right"][0]["text"] == "Vent stuck."


def test_a_revoked_certificate_keeps_its_text_and_its_reason(town):
    before = town.certificate.statement
    revoke_certificate(certificate=town.certificate, revoked_by=town.people["office"], reason="Wrong building.")
    town.certificate.refresh_from_db()
    assert (town.certificate.state, town.certificate.revoked_reason) == ("revoked", "Wrong building.")
    assert town.certificate.statement == before


def test_a_superseded_certificate_cannot_be_revoked(town, visit):
    issue(visit, town)
    with pytest.raises(NotRevocable, match="superseded already"):
        revoke_certificate(certificate=town.certificate, revoked_by=town.people["office"], reason="x")


def test_a_tampered_statement_is_told_from_the_one_that_was_issued(town, client):
    statement = {**town.certificate.statement, "scope": "More than was tested."}
    rewrite(Certificate.objects.filter(pk=town.certificate.pk), statement=statement)
    page = client.get(reverse("certificate-check", args=[town.certificate.token])).content.decode()
    assert "not genuine" in page


@pytest.mark.parametrize("change", [{"next_due_on": date(2099, 1, 1)}, {"is_limited": False}, {"number": "2026-9999"}])
def test_what_is_shown_beside_the_statement_cannot_be_changed_unseen(town, client, change):
    rewrite(Certificate.objects.filter(pk=town.certificate.pk), **change)
    page = client.get(reverse("certificate-check", args=[town.certificate.token])).content.decode()
    assert "not genuine" in page and "not withdrawn;" not in page


def test_the_digest_does_not_depend_on_the_order_of_keys():
    assert digest_of({"a": 1, "b": "ü"}) == digest_of({"b": "ü", "a": 1})


class TestPublicCheck:
    def page(self, client, certificate):
        return client.get(reverse("certificate-check", args=[certificate.token])).content.decode()

    def test_it_says_genuine_and_not_withdrawn_with_the_next_date_and_shows_the_digest(self, client, town):
        page = self.page(client, town.certificate)
        due_on = town.certificate.next_due_on
        assert f"genuine, not withdrawn; next inspection due on {due_on:%-d %b %Y}" in page
        assert town.certificate.digest_sha256 in page and "in force" not in page

    def test_past_its_date_it_is_told_with_the_days_and_not_in_green(self, client, town):
        due_on = timezone.localdate() - timedelta(19)
        builders.make_certificate_due(town.certificate, due_on)
        page = self.page(client, town.certificate)
        assert f"genuine, not withdrawn; next inspection was due on {due_on:%-d %b %Y}, 19 days ago" in page
        assert "state attention" in page and "state good" not in page

    def test_a_commissioning_certificate_is_followed_by_its_inspections(self, client, town):
        building = builders.make_building()
        common = {"building": building, "job": builders.make_job(building)}
        first = builders.make_finished_visit(kind="commissioning", finished_at=builders.days_ago(800), **common)
        commissioned = builders.make_certificate(first, issued_on=timezone.localdate() - timedelta(799))
        before = self.page(client, commissioned)
        inspected = builders.make_certificate(builders.make_finished_visit(**common))
        after = self.page(client, commissioned)
        assert "next inspection was due" in before and "No later certificate of this building" in before
        assert f"next inspection due on {inspected.next_due_on:%-d %b %Y}" in after and inspected.number in after
        assert "next inspection was due" not in after and building.name not in after

    def test_past_the_date_of_a_later_certificate_it_does_not_deny_that_one(self, client, town):
        building = builders.make_building()
        common = {"building": building, "job": builders.make_job(building)}
        first = builders.make_finished_visit(kind="commissioning", finished_at=builders.days_ago(900), **common)
        commissioned = builders.make_certificate(first, issued_on=timezone.localdate() - timedelta(899))
        second = builders.make_finished_visit(finished_at=builders.days_ago(500), **common)
        inspected = builders.make_certificate(second, issued_on=timezone.localdate() - timedelta(499))
        page = self.page(client, commissioned)
        assert "The register holds no certificate of that inspection" in page
        assert "followed by 1 later one" in page and inspected.number in page

    def test_it_says_superseded_and_by_which(self, client, town, visit):
        newer = issue(visit, town)
        page = self.page(client, town.certificate)
        assert "superseded" in page and newer.number in page

    def test_superseded_by_one_that_was_revoked_since_it_says_that_nothing_stands(self, client, town, visit):
        newer = issue(visit, town)
        revoke_certificate(certificate=newer, revoked_by=town.people["office"], reason="Secret reason.")
        page = self.page(client, town.certificate)
        assert "superseded" in page and "was revoked since" in page and "Ask for that one" not in page

    def test_it_says_revoked_and_not_why(self, client, town):
        revoke_certificate(certificate=town.certificate, revoked_by=town.people["office"], reason="Secret reason.")
        page = self.page(client, town.certificate)
        assert "revoked" in page and "Secret reason." not in page

    def test_it_reveals_no_building_client_or_person(self, client, town):
        page = self.page(client, town.certificate)
        for secret in ("Ropewalk", "Quay Housing", "Edwin Marsh", "Orla Finch"):
            assert secret not in page

    def test_a_guessed_address_shows_nothing(self, client, town):
        for guess in (town.certificate.number, str(town.certificate.pk), "x" * 22):
            assert client.get(reverse("certificate-check", args=[guess])).status_code == 404


class TestIssuePage:
    @pytest.fixture(autouse=True)
    def nothing_stands_unaccepted(self, visit):
        builders.accept_what_stands(visit)

    def post(self, client, visit, again=False, page=None, **changes):
        """Read the page (or have `page` before one from earlier on), fill in its form and send it."""
        address = reverse("certificate-issue", args=[visit.pk]) + ("?again=1" if again else "")
        page = page or client.get(address)
        hidden = {"read": page.context["read"]} | ({"instead_of": page.context["in_force"].number} if again else {})
        fields = {
            **hidden,
            "submission_key": re.search(r'name="submission_key" value="([^"]+)"', page.content.decode()).group(1),
            "issued_on": timezone.localdate().isoformat(),
            "capacity": "authorised person",
            "scope": "All of it.",
            "exclusions": "",
            "is_nothing_excluded": "on",
            "has_read": "on",
            **changes,
        }
        return client.post(address, fields)

    def test_the_office_reads_the_text_ticks_and_issues(self, as_, visit):
        assert (
            "The text as it will stand"
            in as_("office").get(reverse("certificate-issue", args=[visit.pk])).content.decode()
        )
        response = self.post(as_("office"), visit)
        assert response.url == Certificate.objects.get(visit=visit).get_absolute_url()

    def test_without_the_tick_nothing_is_issued_and_the_typing_stays(self, as_, visit):
        response = self.post(as_("office"), visit, has_read="", scope="Only the stair.")
        assert response.status_code == 422
        assert "Only the stair." in response.content.decode()
        assert not Certificate.objects.filter(visit=visit).exists()

    def test_what_is_not_included_is_asked_and_never_guessed(self, as_, visit):
        response = self.post(as_("office"), visit, is_nothing_excluded="")
        assert response.status_code == 422
        assert "Write what the certificate does not cover, or tick" in response.content.decode()
        assert not Certificate.objects.filter(visit=visit).exists()

    def test_ticked_that_nothing_is_excluded_it_says_so_and_keeps_it_when_issued_again(self, as_, visit):
        self.post(as_("office"), visit)
        assert Certificate.objects.get(visit=visit).statement["exclusions"] == "Nothing is excluded."
        again = as_("office").get(reverse("certificate-issue", args=[visit.pk]), {"again": 1})
        assert again.context["form"].initial["is_nothing_excluded"] and not again.context["form"].initial["exclusions"]

    def test_a_tick_beside_a_typed_exclusion_is_a_contradiction(self, as_, visit):
        response = self.post(as_("office"), visit, exclusions="The cellar.")
        assert response.status_code == 422 and "Keep one of the two." in response.content.decode()

    def test_a_typed_exclusion_stands_as_typed(self, as_, visit):
        self.post(as_("office"), visit, exclusions="The cellar.", is_nothing_excluded="")
        assert Certificate.objects.get(visit=visit).statement["exclusions"] == "The cellar."

    def test_three_clicks_on_issue_give_one_certificate(self, as_, visit):
        page = as_("office").get(reverse("certificate-issue", args=[visit.pk]))
        answers = [self.post(as_("office"), visit, page=page) for _ in range(3)]
        assert {answer.url for answer in answers} == {Certificate.objects.get(visit=visit).get_absolute_url()}

    def test_three_clicks_on_issue_again_give_one_more_and_all_lead_to_it(self, as_, visit, town):
        first = issue(visit, town)
        page = as_("office").get(reverse("certificate-issue", args=[visit.pk]), {"again": 1})
        answers = [self.post(as_("office"), visit, again=True, page=page) for _ in range(3)]
        second = Certificate.objects.get(visit=visit, supersedes=first)
        assert {answer.url for answer in answers} == {second.get_absolute_url()}
        assert Certificate.objects.filter(visit=visit).count() == 2

    def test_the_form_sent_again_after_its_certificate_was_revoked_leads_to_that_one(self, as_, visit, town):
        page = as_("office").get(reverse("certificate-issue", args=[visit.pk]))
        self.post(as_("office"), visit, page=page)
        certificate = Certificate.objects.get(visit=visit)
        revoke_certificate(certificate=certificate, revoked_by=town.people["office"], reason="Wrong day.")
        assert self.post(as_("office"), visit, page=page).url == certificate.get_absolute_url()
        assert Certificate.objects.get(visit=visit) == certificate

    def test_a_disk_that_takes_no_file_hinders_no_issue(self, as_, visit, settings):
        settings.MEDIA_ROOT = "/dev/null/nowhere"
        assert self.post(as_("office"), visit).url == Certificate.objects.get(visit=visit).get_absolute_url()

    def test_a_text_that_changed_since_it_was_read_is_read_again_before_it_is_issued(self, as_, visit, town):
        page = as_("office").get(reverse("certificate-issue", args=[visit.pk]))
        builders.make_defect(town.hall, visit, severity="impaired", description="Vent V3 stays shut.")
        response = self.post(as_("office"), visit, page=page)
        assert response.status_code == 422
        assert "The records have changed since you read the text." in response.content.decode()
        assert "Vent V3 stays shut." in response.content.decode()
        assert not response.context["form"]["has_read"].value()
        assert not Certificate.objects.filter(visit=visit).exists()
        assert self.post(as_("office"), visit, page=response).status_code == 302

    def test_a_date_ahead_gets_a_sentence_at_the_form(self, as_, visit):
        response = self.post(as_("office"), visit, issued_on="2199-01-01")
        assert "lies ahead" in response.content.decode()
