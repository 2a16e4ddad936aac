"""Instruments of the firm, and what is said of those that a visit is made with."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from inspections.certificates.statements import statement_of
from inspections.instruments.calibration import instruments_in_words, said_of_instruments
from inspections.instruments.choosing import NotChosen, choose_instruments
from inspections.visits.edits import start_visit
from sites_registry.models import Instrument
from tests import builders
from tests.paper_text import text_of

pytestmark = pytest.mark.django_db
TODAY = timezone.localdate


@pytest.fixture
def started(town):
    """The hall's visit, which asks a voltage at the panel."""
    return start_visit(visit=town.visit, started_by=town.people["engineer"])


def choose(visit, *instruments):
    choose_instruments(visit=visit, instruments=instruments, chosen_by=visit.engineer)
    return visit


def said(visit):
    return [sentence for _, sentence in said_of_instruments(visit)]


def test_a_reading_asks_for_an_instrument_that_takes_it(started):
    assert said(started) == ["Readings in V: no instrument chosen."]
    clamp = builders.make_instrument(name="clamp meter", voltage_to_v=None, current_to_a=40)
    clamp.calibration_due_on = TODAY() + timedelta(days=9)
    clamp.save()
    assert said(choose(started, clamp)) == ["Readings in V: no instrument chosen takes them."]
    meter = builders.make_instrument(calibration_due_on=TODAY() + timedelta(days=9))
    assert said(choose(started, clamp, meter)) == []


def test_calibration_holds_on_its_last_day_and_has_expired_on_the_next(started):
    last_day = builders.make_instrument(own_number="MM-1", calibration_due_on=TODAY())
    assert said(choose(started, last_day)) == []
    expired = builders.make_instrument(own_number="MM-2", calibration_due_on=TODAY() - timedelta(days=1))
    assert said(choose(started, expired))[0].startswith("multimeter MM-2: calibration expired on")


def test_one_without_calibration_on_record_is_said(started):
    assert "no calibration on record" in said(choose(started, builders.make_instrument()))[0]


def test_the_visit_keeps_what_was_chosen_as_it_stood(started):
    due_on = TODAY() - timedelta(days=30)
    meter = builders.make_instrument(serial="4711", own_number="MM-7", calibration_due_on=due_on)
    choose(started, meter)
    meter.calibration_due_on, meter.serial = TODAY() + timedelta(days=300), "other"
    meter.save()
    assert instruments_in_words(choose(started, meter)) == (
        f"multimeter MM-7, serial 4711, calibration expired on {due_on:%-d %b %Y}"
    )


def test_certificate_and_report_name_them_before_what_was_typed(started, as_):
    started.instruments = "Ladder gauge"
    started.save()
    choose(started, builders.make_instrument(own_number="MM-7", calibration_due_on=TODAY() + timedelta(days=9)))
    started.finished_at = timezone.now()
    statement = statement_of(
        started, scope="", exclusions="", capacity="", issued_by=started.engineer, issued_on=TODAY()
    )
    first, last = statement["visit"]["instruments"].split("\n")
    assert first.startswith("multimeter MM-7, calibration due on") and last == "Ladder gauge"
    assert "multimeter MM-7" in as_("manager").get(started.get_absolute_url()).text


def test_what_a_finished_visit_was_made_with_stays(town):
    with pytest.raises(NotChosen, match="is finished"):
        choose(town.finished, builders.make_instrument())
    assert not town.finished.instruments_used.exists()


def test_the_engineer_chooses_on_the_phone_and_is_told_of_an_expired_one(started, as_):
    meter = builders.make_instrument(calibration_due_on=TODAY() - timedelta(days=3))
    url = reverse("visit-instruments", args=[started.pk])
    assert f"{meter}: measures V; calibration expired on" in as_("engineer").get(url).text
    response = as_("engineer").post(url, {"instruments": [meter.pk]}, follow=True)
    assert response.redirect_chain[-1][0] == reverse("visit-field", args=[started.pk])
    assert "calibration expired on" in response.text
    assert started.instruments_used.get().instrument == meter


def test_the_office_adds_an_instrument_and_a_wrong_figure_is_named(as_):
    typed = {"name": "multimeter", "own_number": "MM-9", "voltage_to_v": "0", "calibrated_on": "2026-03-01"}
    refused = as_("office").post(reverse("instrument-create"), typed | {"calibration_due_on": "2026-02-01"})
    assert refused.status_code == 422 and not Instrument.objects.exists()
    assert "A range ends above 0, not at 0" in refused.text
    assert "1 Feb 2026 is not after the day of the calibration" in refused.text
    as_("office").post(reverse("instrument-create"), typed | {"voltage_to_v": "600"})
    again = as_("office").post(reverse("instrument-create"), typed | {"own_number": "mm-9", "voltage_to_v": "600"})
    assert "An instrument has the number mm-9 already" in again.text


def test_the_list_says_which_calibration_expired(as_, django_assert_num_queries):
    builders.make_instrument(calibration_due_on=TODAY() - timedelta(days=1))
    engineer = as_("engineer")
    page = engineer.get(reverse("instrument-list")).text
    assert "calibration expired on" in page
    for _ in range(20):
        builders.make_instrument()
    with django_assert_num_queries(5):  # session, person, count, instruments, the firm's days
        engineer.get(reverse("instrument-list"))


def test_the_calibration_list_counts_and_marks_what_does_not_hold(as_):
    builders.make_instrument(own_number="MM-7", calibration_due_on=TODAY() - timedelta(days=1))
    builders.make_instrument(own_number="MM-8", calibration_due_on=TODAY() + timedelta(days=300))
    builders.make_instrument(own_number="MM-9", retired_on=TODAY())
    text = text_of(as_("engineer").get(reverse("calibration-list")).content)
    assert "2 instruments in use, 1 without a calibration that holds on this day" in text
    assert text.count("▲ calibration expired") == 1 and "MM-8" in text and "MM-9" not in text
