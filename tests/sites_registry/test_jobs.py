"""Jobs: numbered without gaps, closed when handed over, kept as they were receipted."""

from datetime import date, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from sites_registry.models import HandedOverDocument, Job
from sites_registry.services.jobs import JobRefused, open_job
from tests.builders import accept_what_stands, make_handed_over, make_job, make_person


def today():
    return timezone.localdate()


def typed(town, **changes):
    return {"building": town.hall.pk, "kind": "new", "scope": "Two zones.", "opened_on": "2024-03-04", **changes}


def open_one(as_, town, **changes):
    return as_("office").post(reverse("job-create"), typed(town, **changes))


def make_closable(town, **fields):
    """A new installation with everything that its end asks for, except what `fields` take away."""
    fields = {
        "kind": "new",
        "opened_on": today() - timedelta(days=30),
        "label_language": "English",
        "receipt_signed_by": "Mara Hollin",
        "receipt_signed_on": today(),
        **fields,
    }
    job = make_job(town.hall, **fields)
    make_handed_over(job)
    accept_what_stands(job=job)
    return job


def close(as_, job, closed_on=None):
    return as_("office").post(reverse("job-close", args=[job.number]), {"closed_on": f"{closed_on or today()}"})


def test_jobs_of_a_year_are_numbered_one_after_the_other(as_, town):
    urls = [open_one(as_, town, opened_on=day).url for day in ("2024-01-05", "2025-01-05", "2024-02-05")]
    assert urls == ["/jobs/J-2024-001/", "/jobs/J-2025-001/", "/jobs/J-2024-002/"]


def test_a_job_that_fails_leaves_no_gap(as_, town):
    fields = {"building": town.hall, "kind": "new", "opened_on": date(2024, 1, 5)}
    with pytest.raises(Exception, match="scope"):
        open_job(scope="", **fields)
    assert open_job(scope="Two zones.", **fields).number == "J-2024-001"


def test_a_second_click_opens_no_second_job(as_, town):
    key = {"submission_key": "5f0c2b1e-0000-4000-8000-000000000003"}
    first, second = open_one(as_, town, **key), open_one(as_, town, **key)
    assert second.url == first.url
    assert open_one(as_, town).url == "/jobs/J-2024-002/"


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("building", ""),
        ("building", "999999"),
        ("kind", "party"),
        ("scope", ""),
        ("scope", "x" * 2001),
        ("scope", "\x00"),
        ("opened_on", "yesterday"),
        ("opened_on", "1989-12-31"),
        ("opened_on", "2999-01-01"),
        ("lead", "999999"),
    ],
)
def test_nonsense_is_told_at_its_field_and_what_was_typed_is_kept(as_, town, field, value):
    response = open_one(as_, town, **{"standard": "BS 7346-8:2013", field: value})
    assert response.status_code == 422
    assert list(response.context["form"].errors) == [field]
    assert "BS 7346-8:2013" in response.content.decode()
    assert list(Job.objects.all()) == [town.job]


def test_an_engineer_who_left_cannot_lead_a_new_job_but_keeps_the_old_one(as_, town):
    gone = make_person("engineer", is_active=False)
    assert open_one(as_, town, lead=gone.pk).status_code == 422
    job = make_job(town.hall, lead=gone)
    form = typed(town, lead=gone.pk, opened_on=job.opened_on.isoformat(), seen_version=0)
    assert as_("office").post(reverse("job-update", args=[job.number]), form).status_code == 302


def test_the_building_of_the_address_is_chosen_beforehand(as_, town):
    page = as_("office").get(reverse("job-create"), {"building": "ropewalk-hall"}).content.decode()
    assert f'<option value="{town.hall.pk}" selected>' in page
    assert as_("office").get(reverse("job-create"), {"building": "\x00"}).status_code == 200


def test_a_job_stays_in_the_year_of_its_number(as_, town):
    job = make_job(town.hall, opened_on=date(2019, 2, 1), number="J-2019-900")
    form = typed(town, opened_on="2018-12-31", seen_version=0)
    response = as_("office").post(reverse("job-update", args=[job.number]), form)
    assert response.status_code == 422
    assert "J-2019-900 belongs to 2019." in response.content.decode()


def test_a_new_installation_with_its_receipt_is_closed(as_, town):
    job = make_closable(town)
    assert close(as_, job).status_code == 302
    job.refresh_from_db()
    assert job.closed_on == today()
    assert job.history.first().history_change_reason == "closed"


@pytest.mark.parametrize(
    ("missing", "sentence"),
    [
        ({"receipt_signed_by": "", "receipt_signed_on": None}, "there is no receipt"),
        ({"label_language": ""}, "The language of the labels is not noted."),
    ],
)
def test_a_new_installation_is_not_closed_before_it_is_handed_over(as_, town, missing, sentence):
    job = make_closable(town, **missing)
    response = close(as_, job)
    assert response.status_code == 422
    assert sentence in response.content.decode()
    assert sentence in as_("office").get(job.get_absolute_url()).content.decode()
    job.refresh_from_db()
    assert job.closed_on is None


def test_a_new_installation_without_any_document_is_not_closed(as_, town):
    job = make_closable(town)
    HandedOverDocument.objects.all().delete()
    response = close(as_, job)
    assert response.status_code == 422
    assert "No document is noted as handed over for this new installation." in response.content.decode()


def test_a_service_needs_no_receipt(as_, town):
    job = make_job(town.hall, kind="service", opened_on=today())
    accept_what_stands(job=job)
    assert close(as_, job).status_code == 302


@pytest.mark.parametrize(("days", "sentence"), [(-31, "Give that day or later."), (1, "that day is still to come.")])
def test_a_job_closes_between_its_start_and_today(as_, town, days, sentence):
    job = make_closable(town)  # opened 30 days ago
    response = close(as_, job, today() + timedelta(days=days))
    assert response.status_code == 422
    assert sentence in response.content.decode()
    job.refresh_from_db()
    assert job.closed_on is None


def test_closed_twice_it_keeps_its_first_day(as_, town):
    job = make_closable(town)
    close(as_, job, today() - timedelta(days=1))
    assert close(as_, job, today()).status_code == 302
    job.refresh_from_db()
    assert job.closed_on == today() - timedelta(days=1)


def test_a_closed_job_is_left_as_it_was_receipted_until_it_is_opened_again(as_, town):
    job = make_closable(town)
    document = job.handed_over.get()
    close(as_, job)
    job.refresh_from_db()
    office, version = as_("office"), job.row_version
    receipt = {"receipt_signed_by": "", "receipt_signed_on": "", "seen_version": version}
    paper = {
        "kind": "other",
        "title": "Late",
        "language": "English",
        "handed_over_on": "2026-03-02",
        "handed_over_to": "M",
        "seen_version": 0,
    }
    refused = [
        office.post(reverse("job-receipt", args=[job.number]), receipt),
        office.post(reverse("handed-over-create", args=[job.number]), paper),
        office.post(reverse("handed-over-update", args=[document.pk]), paper),
        office.post(
            reverse("job-update", args=[job.number]), typed(town, opened_on=job.opened_on, seen_version=version)
        ),
    ]
    for response in refused:
        assert response.status_code == 422
        assert "Open it again to change it." in response.content.decode()
    office.post(reverse("job-open-again", args=[job.number]))
    assert office.post(reverse("handed-over-create", args=[job.number]), paper).status_code == 302


def test_a_document_handed_over_is_noted_with_its_language(as_, town):
    url = reverse("handed-over-create", args=[town.job.number])
    form = {
        "kind": "drawings",
        "title": "As-installed plan",
        "language": "Welsh",
        "handed_over_on": "2026-03-02",
        "handed_over_to": "Mara Hollin",
    }
    page = as_("engineer").post(url, form, follow=True).content.decode()
    for text in ("As-installed plan", "as-installed drawings", "Welsh", "Mara Hollin"):
        assert text in page


def test_a_document_is_not_handed_over_in_days_to_come(as_, town):
    form = {
        "kind": "drawings",
        "title": "Plan",
        "language": "English",
        "handed_over_on": "2999-01-01",
        "handed_over_to": "Mara Hollin",
    }
    response = as_("office").post(reverse("handed-over-create", args=[town.job.number]), form)
    assert response.status_code == 422 and not HandedOverDocument.objects.exists()


@pytest.mark.parametrize(
    ("by", "on", "field", "sentence"),
    [
        ("Mara Hollin", "", "receipt_signed_on", "A receipt has a name and a day."),
        ("", "2026-03-02", "receipt_signed_by", "A receipt has a name and a day."),
        ("Mara Hollin", "2999-01-01", "receipt_signed_on", "1 Jan 2999 is still to come."),
        ("Mara Hollin", "2026-01-31", "receipt_signed_on", "is before the job was opened (1 Feb 2026)."),
    ],
)
def test_a_receipt_has_a_name_and_a_possible_day(as_, town, by, on, field, sentence):
    job = make_job(town.hall, opened_on=date(2026, 2, 1))
    form = {"receipt_signed_by": by, "receipt_signed_on": on, "seen_version": 0}
    response = as_("engineer").post(reverse("job-receipt", args=[job.number]), form)
    assert response.status_code == 422
    assert sentence in str(response.context["form"].errors[field])


def test_the_list_is_filtered_by_state_kind_and_text(as_, town):
    other = make_job(town.mill, kind="remedial", closed_on=today(), opened_on=today(), scope="Mend the rain sensor.")
    for query in ({"state": "closed"}, {"kind": "remedial"}, {"text": "mill trust"}, {"text": "RAIN"}):
        page = as_("engineer").get(reverse("job-list"), query).content.decode()
        assert other.number in page and town.job.number not in page, query
    page = as_("office").get(reverse("job-list"), {"state": "open"}).content.decode()
    assert town.job.number in page and other.number not in page


@pytest.mark.parametrize("number", ["J-2026-999", "nonsense", "J-" + "9" * 300])
def test_an_unknown_number_is_not_found(as_, town, number):
    assert as_("office").get(reverse("job-detail", args=[number])).status_code == 404


def test_opening_a_job_names_the_day_that_is_out_of_range(town):
    with pytest.raises(JobRefused, match="Opened on 1 Jan 1970: give a day between 1 Jan 1990") as refused:
        open_job(building=town.hall, kind="new", scope="Two zones.", opened_on=date(1970, 1, 1))
    assert refused.value.field == "opened_on"
