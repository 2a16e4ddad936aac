"""What still stands: one list at the end of a visit, before a certificate and before a job is closed."""

import re

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse
from django.utils import timezone

from inspections.certificates.issue import NotCertifiable, is_intact, issue_certificate
from inspections.models import AcceptedMatter, Certificate
from inspections.standing_matters.acceptances import AcceptanceRefused, accept_matters, take_back_acceptance
from inspections.standing_matters.matters import Matter, what_stands
from tests import builders
from tests.sites_registry.documents.test_base import words_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def visit(town):
    """A finished visit of a job with nothing else to do."""
    job = builders.make_job(town.hall, opened_on=timezone.localdate())
    return builders.make_finished_visit(town.hall, engineer=town.people["engineer"], job=job)


def kinds_of(stands):
    return [one.kind for one in stands.unaccepted]


def issue(visit, town, **changes):
    fields = {"issued_on": timezone.localdate(), "scope": "All of it.", "capacity": "authorised person", **changes}
    return issue_certificate(visit=visit, issued_by=town.people["office"], **fields)


def list_of(page):
    """The rows of the list as a page shows them, without the blanks between."""
    rows = re.findall(r'<ul class="matter-list">(.*?)</ul>', page, re.S)
    words = [re.sub(r"<a .*?</a>|<[^>]+>", " ", row) for row in rows]
    return [" ".join(row.split()) for row in words]


class TestList:
    def test_it_holds_wiring_design_and_settings_with_a_way_in_each(self, town, visit):
        stands = what_stands(visit.job, visit=visit, user=town.people["office"])
        assert {"wiring", "design", "settings"} == set(kinds_of(stands))
        design = next(one for one in stands.unaccepted if one.kind == "design" and "Battery set" in one.words)
        assert reverse("battery-set-create", args=[town.panel.pk]) in design.url
        (settings,) = [one for one in stands.unaccepted if one.kind == "settings"]
        assert re.fullmatch(r"(\d+) of \1 settings of P1 were not compared on visit \d+\.", settings.words)

    def test_a_check_within_its_limit_or_a_mere_question_is_no_matter(self, town, visit):
        states = {one.state for one in what_stands(visit.job, visit=visit).matters if one.kind == "design"}
        assert states <= {"not_met", "not_known"}

    def test_a_finding_on_the_panel_itself_names_the_panel_once(self):
        places = [
            Matter("wiring", about, "", "fault", "fault").place for about in ("P1 P1", "P1 P1 -XL1", "P1 SD1", "P1")
        ]
        assert places == ["P1", "P1 -XL1", "P1 SD1", "P1"]

    def test_an_open_visit_of_the_job_is_a_matter_but_not_the_visit_itself(self, town, visit):
        builders.make_visit(town.hall, job=visit.job)
        words = [one.words for one in what_stands(visit.job, visit=visit).matters if one.kind == "visits"]
        assert words == ["The periodic inspection planned for 2 Mar 2026 is not finished. Finish it, or call it off."]

    def test_remedial_work_is_not_asked_for_its_settings(self, town):
        job = builders.make_job(town.hall, kind="remedial")
        visit = builders.make_finished_visit(town.hall, kind="remedial", job=job)
        assert "settings" not in kinds_of(what_stands(job, visit=visit))

    def test_documents_are_asked_for_only_where_work_ends_with_a_hand_over(self, town, visit):
        assert "documents" not in kinds_of(what_stands(visit.job, visit=visit))
        visit.job.kind = "new"
        assert "documents" in kinds_of(what_stands(visit.job, visit=visit))

    @pytest.mark.parametrize("person", ["office", "engineer"])
    def test_finish_certificate_and_closing_show_the_same_list(self, as_, town, visit, person):
        certificate = as_("office").get(reverse("certificate-issue", args=[visit.pk]))
        assert certificate.status_code == 422
        closing = as_("office").get(reverse("job-close", args=[visit.job.number])).content.decode()
        job = as_(person).get(visit.job.get_absolute_url()).content.decode()
        type(visit).objects.filter(pk=visit.pk).update(state="under_way")
        finish = as_("engineer").get(reverse("visit-finish", args=[visit.pk])).content.decode()
        assert list_of(finish) == list_of(certificate.content.decode()) == list_of(closing) != []
        assert list_of(job) == list_of(closing)


class TestAccepting:
    def test_nothing_is_certified_before_every_matter_is_put_right_or_accepted(self, town, visit):
        with pytest.raises(
            NotCertifiable, match="Put right or accepted first, each with a reason: wiring: 2, design check: "
        ):
            issue(visit, town)
        assert not Certificate.objects.filter(visit=visit).exists()
        builders.accept_what_stands(visit)
        assert issue(visit, town).number

    def test_the_certificate_holds_and_prints_who_accepted_what_and_why(self, as_, town, visit):
        builders.accept_what_stands(visit, by=town.people["engineer"], reason="Panel is changed in May.")
        certificate = issue(visit, town)
        rows = certificate.statement["accepted"]
        assert {row["kind"] for row in rows} == {"wiring", "design check", "settings not compared"}
        assert {(row["by"], row["reason"]) for row in rows} == {("Edwin Marsh", "Panel is changed in May.")}
        text = words_of(as_("manager").get(reverse("certificate-pdf", args=[certificate.number])).content)
        assert "Accepted as it stands" in text and "Panel is changed in May." in text and "Edwin Marsh" in text
        take_back_acceptance(acceptance=AcceptedMatter.objects.first(), by=town.people["office"])
        certificate.refresh_from_db()
        assert is_intact(certificate) and certificate.statement["accepted"] == rows

    def test_an_acceptance_lapses_when_the_matter_changes(self, town, visit):
        builders.accept_what_stands(visit)
        assert what_stands(visit.job, visit=visit).refusal == ""
        builders.make_setting(town.panel)
        assert kinds_of(what_stands(visit.job, visit=visit)) == ["settings"]

    def test_taken_back_it_is_asked_again_and_can_be_accepted_again(self, as_, town, visit):
        builders.accept_what_stands(visit)
        one = AcceptedMatter.objects.filter(kind="design").first()
        as_("office").post(reverse("acceptance-take-back", args=[one.pk]))
        one.refresh_from_db()
        assert one.taken_back_by == town.people["office"] and len(what_stands(visit.job, visit=visit).unaccepted) == 1
        assert len(builders.accept_what_stands(visit)) == 1

    def test_what_was_accepted_once_still_stands_accepted_on_the_next_visit(self, town, visit):
        builders.accept_what_stands(visit)
        later = builders.make_finished_visit(town.hall, engineer=town.people["engineer"])
        assert kinds_of(what_stands(later.job, visit=later)) == ["settings"]

    @pytest.mark.parametrize(
        ("changes", "field", "sentence"),
        [
            ({"reason": "  "}, "reason", "Say why it is accepted"),
            ({"digests": []}, "matters", "Nothing was chosen"),
            ({"digests": ["0" * 64]}, "matters", "1 of what you chose has changed"),
        ],
    )
    def test_it_is_refused_with_a_sentence_and_nothing_is_stored(self, town, visit, changes, field, sentence):
        digests = [one.digest for one in what_stands(visit.job, visit=visit).unaccepted]
        fields = {"digests": digests, "reason": "Agreed.", **changes}
        fields["digests"] = fields["digests"] + digests[:1] if fields["digests"] else []
        with pytest.raises(AcceptanceRefused, match=sentence) as refused:
            accept_matters(job=visit.job, visit=visit, by=town.people["office"], **fields)
        assert refused.value.field == field
        assert not AcceptedMatter.objects.exists()

    def test_a_building_manager_accepts_nothing(self, town, visit):
        with pytest.raises(AcceptanceRefused, match="The office or an engineer"):
            builders.accept_what_stands(visit, by=town.people["manager"])

    def test_answers_that_contradict_each_other_are_put_right_never_accepted(self, town, visit):
        visit.test_points.update(is_contradicted=True)
        (one, *_) = [one for one in what_stands(visit.job, visit=visit).unaccepted if one.kind == "contradictions"]
        with pytest.raises(AcceptanceRefused, match="put right, not accepted"):
            accept_matters(job=visit.job, visit=visit, digests=[one.digest], reason="x", by=town.people["office"])

    def test_the_database_holds_one_standing_acceptance_and_a_reason_for_each(self, town, visit):
        one = builders.accept_what_stands(visit)[0]
        for changes in ({"reason": ""}, {"kind": "contradictions"}, {"taken_back_at": timezone.now()}):
            with pytest.raises(IntegrityError), transaction.atomic():
                AcceptedMatter.objects.filter(pk=one.pk).update(**changes)
        one.pk = None
        with pytest.raises(IntegrityError), transaction.atomic():
            one.save(force_insert=True)

    def test_a_job_is_not_closed_while_a_visit_of_it_is_open_whatever_was_accepted(self, as_, town, visit):
        builders.make_visit(town.hall, job=visit.job)
        builders.accept_what_stands(visit)
        builders.accept_what_stands(job=visit.job)
        page = as_("office").post(reverse("job-close", args=[visit.job.number]), {"closed_on": timezone.localdate()})
        assert page.status_code == 422 and "open visits of the job: 1" in page.content.decode()
        assert "Accept what is ticked" not in page.content.decode()  # nothing of what is left can be ticked


class TestPage:
    def url(self, visit):
        return reverse("job-standing", args=[visit.job.number]) + f"?visit={visit.pk}&next=/buildings/"

    def test_ticked_rows_are_accepted_with_the_typed_reason_and_it_leads_back(self, as_, town, visit):
        digests = [one.digest for one in what_stands(visit.job, visit=visit).unaccepted]
        answer = as_("engineer").post(self.url(visit), {"matters": digests[:2], "reason": "Agreed on site."})
        assert answer.url == "/buildings/"
        assert set(AcceptedMatter.objects.values_list("accepted_by", "reason")) == {
            (town.people["engineer"].pk, "Agreed on site.")
        }

    def test_without_a_reason_the_ticks_stay_and_the_sentence_says_why(self, as_, town, visit):
        digest = what_stands(visit.job, visit=visit).unaccepted[0].digest
        answer = as_("office").post(self.url(visit), {"matters": [digest], "reason": ""})
        page = answer.content.decode()
        assert answer.status_code == 422 and "Say why it is accepted as it stands" in page
        assert re.search(rf'value="{digest}"[^>]* checked', page)

    def test_a_visit_of_another_job_is_not_there(self, as_, town, visit):
        url = reverse("job-standing", args=[town.job.number])
        for key in (visit.pk, "x", "9" * 30):
            assert as_("office").get(url, {"visit": key}).status_code == 404


class TestFoundAndPutRight:
    @pytest.fixture
    def defect(self, town, visit):
        point = visit.test_points.first()
        defect = builders.make_defect(town.hall, visit, position=point.position, description="Lead loose.")
        defect.closed_at, defect.closed_by_result = timezone.now(), point.latest_result
        defect.closing_note = "Fastened."
        defect.save()
        return defect

    def test_it_reads_so_on_visit_report_and_certificate(self, as_, town, visit, defect):
        client = as_("manager")
        assert "found and put right on this visit" in client.get(visit.get_absolute_url()).content.decode()
        report = words_of(client.get(reverse("visit-report", args=[visit.pk])).content)
        assert "found and put right on this visit: Fastened." in report
        builders.accept_what_stands(visit)
        page = client.get(issue(visit, town).get_absolute_url()).content.decode()
        assert "Found and put right on this visit" in page and "Put right since the visit" not in page

    @pytest.mark.parametrize("url_name", ["building-defects", "log-book"])
    def test_it_reads_so_among_the_defects_of_the_building_and_in_the_log_book(self, as_, town, defect, url_name):
        page = as_("manager").get(reverse(url_name, args=[town.hall.slug])).content.decode()
        assert "Found and put right on the same visit" in page and "Lead loose." in page

    def test_what_a_later_visit_put_right_does_not(self, as_, town, visit, defect):
        later = builders.make_result(builders.make_test_point(builders.make_visit(town.hall), town.detector))
        defect.closed_by_result = later
        defect.save()
        page = as_("manager").get(reverse("building-defects", args=[town.hall.slug])).content.decode()
        assert "Found and put right" not in page
        builders.accept_what_stands(visit)
        assert "Put right since the visit" in as_("manager").get(issue(visit, town).get_absolute_url()).content.decode()
