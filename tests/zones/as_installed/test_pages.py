"""As-installed revisions: taken when a job closes, compared on screen and on paper."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from tests import builders
from tests.paper_text import text_of
from zones.as_installed.revisions import take_revision
from zones.models import AsInstalledRevision


def today():
    return timezone.localdate()


@pytest.fixture
def revision(town):
    return take_revision(building=town.hall, taken_by=town.people["office"], reason="Checked on site.")


def changes_page(as_, town, person="engineer", **query):
    return as_(person).get(reverse("as-installed-changes", args=[town.hall.slug]), query)


def close(as_, job):
    return as_("office").post(reverse("job-close", args=[job.number]), {"closed_on": f"{today()}"}, follow=True)


@pytest.fixture
def service_job(town):
    job = builders.make_job(town.hall, kind="service", opened_on=today() - timedelta(days=3))
    builders.accept_what_stands(job=job)
    return job


def test_closing_a_job_takes_a_revision_of_it(as_, town, service_job):
    close(as_, service_job)
    revision = AsInstalledRevision.objects.get(building=town.hall)
    assert (revision.job, revision.number) == (service_job, 1)
    assert revision.reason == f"service {service_job.number} closed"
    page = as_("office").get(service_job.get_absolute_url()).content.decode()
    assert "Revision 1: changes since" in page


def test_a_job_with_an_open_visit_does_not_close_and_takes_no_revision(as_, town, service_job):
    visit = builders.make_visit(town.hall, job=service_job)
    page = close(as_, service_job).content.decode()
    service_job.refresh_from_db()
    assert f"planned for {visit.planned_on:%-d %b %Y} is not finished. Finish it, or call it off." in page
    assert service_job.closed_on is None
    assert not AsInstalledRevision.objects.exists()


def test_the_page_of_a_job_names_its_open_visits_before_it_can_be_closed(as_, town, service_job):
    builders.make_visit(town.hall, job=service_job)
    page = as_("office").get(service_job.get_absolute_url()).content.decode()
    assert "Finish it, or call it off." in page


def test_without_a_revision_the_page_says_what_to_do(as_, town):
    assert "No revision to compare with yet" in changes_page(as_, town).content.decode()


def test_the_changes_are_two_steps_from_the_building_and_lead_to_the_revisions(as_, town, revision):
    papers = as_("manager").get(reverse("schedule-list", args=[town.hall.slug])).content.decode()
    assert f'href="{reverse("as-installed-changes", args=[town.hall.slug])}"' in papers
    changes = changes_page(as_, town, person="manager").content.decode()
    assert f'href="{reverse("as-installed-list", args=[town.hall.slug])}"' in changes


def test_a_later_device_stands_as_added(as_, town, revision):
    builders.make_position(town.hall, tag="SD9")
    page = changes_page(as_, town).content.decode()
    assert "<strong>1</strong> added" in page
    assert "SD9" in page


def test_two_revisions_are_compared_in_the_order_of_their_numbers(as_, town, revision):
    builders.make_position(town.hall, tag="SD9")
    take_revision(building=town.hall, taken_by=town.people["office"], reason="After the extension.")
    builders.make_position(town.hall, tag="SD10")
    for query in ({"from": 1, "to": 2}, {"from": 2, "to": 1}):
        page = changes_page(as_, town, **query).content.decode()
        assert "SD9" in page
        assert "SD10" not in page


@pytest.mark.parametrize("query", [{"from": "9"}, {"from": "one"}, {"to": "9"}, {"from": "99999999999999999999"}])
def test_a_revision_that_is_not_there_is_not_found(as_, town, revision, query):
    assert changes_page(as_, town, **query).status_code == 404


def test_a_manager_reads_the_changes_of_an_own_building(as_, town, revision):
    assert changes_page(as_, town, "manager").status_code == 200


def test_a_revision_is_taken_by_hand_with_a_reason(as_, town):
    url = reverse("as-installed-create", args=[town.hall.slug])
    assert as_("engineer").post(url, {"reason": "Taken over."}).status_code == 302
    assert AsInstalledRevision.objects.get(building=town.hall).reason == "Taken over."


def test_a_revision_without_a_reason_is_refused(as_, town):
    response = as_("engineer").post(reverse("as-installed-create", args=[town.hall.slug]), {"reason": ""})
    assert response.status_code == 422
    assert not AsInstalledRevision.objects.exists()


def test_the_paper_names_revisions_and_changes(as_, town, revision):
    builders.make_position(town.hall, tag="SD9")
    response = as_("manager").get(reverse("as-installed-changes-pdf", args=[town.hall.slug]))
    text = text_of(response.content)
    assert "revision 1 to now" in text
    assert "SD9" in text
    assert "changes-since-revision-1" in response["Content-Disposition"]
