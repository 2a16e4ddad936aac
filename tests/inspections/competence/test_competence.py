"""What the engineer of a visit is trained for: said where the visit needs it and it lacks, never a bar."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from inspections.competence.needs import said_of_competence
from inspections.visits.edits import start_visit
from sites_registry.models import Qualification
from tests import builders
from tests.paper_text import text_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def started(town):
    """The hall's visit, with a check near live parts."""
    return start_visit(visit=town.visit, started_by=town.people["engineer"])


def said(visit):
    return [sentence for _, sentence in said_of_competence(visit)]


def test_what_the_kind_of_visit_and_its_hazards_need_is_asked(started):
    assert said(started) == [
        "Edwin Marsh: nothing on record for inspection and service of smoke control.",
        "Edwin Marsh: nothing on record for work near live parts.",
    ]
    builders.make_qualification(started.engineer, subject="service")
    builders.make_qualification(started.engineer, subject="live")
    assert said(started) == []


def test_a_training_for_something_else_is_none(started):
    builders.make_qualification(started.engineer, subject="commissioning")
    assert "nothing on record for inspection and service" in said(started)[0]


def test_it_holds_on_its_last_day_and_has_lapsed_on_the_next(started):
    builders.make_qualification(started.engineer, subject="live")
    held = builders.make_qualification(started.engineer, valid_until=timezone.localdate())
    assert said(started) == []
    held.valid_until = timezone.localdate() - timedelta(days=1)
    held.save()
    assert said(started) == [
        f"Edwin Marsh, inspection and service of smoke control: lapsed on {held.valid_until:%-d %b %Y}."
    ]


def test_one_that_begins_after_the_visit_does_not_count(started):
    for subject in ("service", "live"):
        builders.make_qualification(
            started.engineer, subject=subject, obtained_on=timezone.localdate() + timedelta(days=1)
        )
    assert len(said(started)) == 2


def test_starting_says_it_and_starts_all_the_same(town, as_):
    response = as_("engineer").post(reverse("visit-start", args=[town.visit.pk]), follow=True)
    assert "nothing on record for inspection and service" in response.text
    town.visit.refresh_from_db()
    assert town.visit.state == "under_way"


def test_the_page_of_a_person_shows_each_with_its_standing(town, as_):
    engineer = town.people["engineer"]
    builders.make_qualification(engineer, valid_until=timezone.localdate() - timedelta(days=1))
    page = as_("engineer").get(reverse("person-competence", args=[engineer.pk])).text
    assert "Course in two days" in page and "lapsed on" in page


def test_the_office_adds_one_and_days_the_wrong_way_round_are_named(town, as_):
    url = reverse("qualification-create", args=[town.people["engineer"].pk])
    typed = {"subject": "height", "title": "Rope course", "obtained_on": "2026-03-01", "valid_until": "2025-03-01"}
    refused = as_("office").post(url, typed)
    assert "1 Mar 2025 is before the day it was obtained" in refused.text and not Qualification.objects.exists()
    as_("office").post(url, typed | {"valid_until": "2028-03-01"})
    assert Qualification.objects.get().person == town.people["engineer"]


def test_the_training_record_marks_what_has_lapsed(as_, town):
    person = town.people["engineer"]
    builders.make_qualification(person, subject="height", valid_until=timezone.localdate() - timedelta(days=1))
    builders.make_qualification(person, subject="live", title="Appointed by the firm")
    text = text_of(as_("office").get(reverse("training-record", args=[person.pk])).content)
    assert "Edwin Marsh" in text and "Appointed by the firm" in text and "does not lapse" in text
    assert text.count("▲ lapsed") == 1
