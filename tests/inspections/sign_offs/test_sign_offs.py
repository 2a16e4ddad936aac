"""The end of a visit on site: who was shown what was found and signed for it, or that nobody was there."""

import json

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse

from inspections.models import SignOff
from inspections.sign_offs.taking import take_sign_off
from inspections.visits.edits import start_visit
from tests import builders

SIGNATURE = {"width": 358, "height": 160, "strokes": [[[10, 20, 0, 0.5], [90, 40, 16, 0.5]]]}


@pytest.fixture
def visit(town):
    visit = start_visit(visit=town.visit, started_by=town.people["engineer"])
    for point in visit.test_points.all():
        builders.make_result(point, recorded_by=town.people["engineer"])
    return visit


@pytest.fixture
def finish(as_, visit):
    def finish(**fields):
        visit.refresh_from_db()
        fields = {"is_restored": "on", "seen_version": visit.row_version} | fields
        return as_("engineer").post(reverse("visit-finish", args=[visit.pk]), fields)

    return finish


def impair(town, visit, **fields):
    return builders.make_defect(
        town.hall, visit, severity="impaired", interim_measure="Fire watch", told_to="M. Hollin", **fields
    )


def test_a_signature_on_glass_is_kept_with_the_name_and_how_the_visit_stood(finish, visit, town):
    signed = {"how": "glass", "witness": "Ada Wray, caretaker", "signature": json.dumps(SIGNATURE)}
    assert finish(**signed).status_code == 302
    sign_off = visit.sign_off
    assert (sign_off.name, sign_off.signature, sign_off.taken_by) == (
        "Ada Wray, caretaker",
        SIGNATURE,
        town.people["engineer"],
    )
    assert sign_off.stood["outcomes"] == {"pass": 3}


@pytest.mark.parametrize(
    ("fields", "says"),
    [
        ({}, "Choose how the visit was signed off, or that nobody was there."),
        ({"how": "glass", "witness": "Ada Wray"}, "Sign in the field above"),
        ({"how": "paper"}, "Enter who signed, and as what"),
        ({"how": "nobody", "why_nobody": " "}, "Say why nobody signed, and who was told"),
    ],
)
def test_what_the_sign_off_lacks_is_said_and_the_visit_goes_on(finish, visit, fields, says):
    response = finish(**fields)
    visit.refresh_from_db()
    assert response.status_code == 422 and says in response.content.decode()
    assert (visit.state, SignOff.objects.count()) == ("under_way", 0)


def test_what_is_out_of_service_now_is_shown_before_anybody_signs(as_, visit, town):
    what = "Zone 1 off while the roof is repaired."
    builders.make_log_entry(town.hall, kind="disablement", what=what)
    page = as_("engineer").get(reverse("visit-finish", args=[visit.pk])).content.decode()
    assert "Out of service now" in page
    assert what in page and "Hourly patrol." in page


def test_nobody_there_is_a_sign_off_with_its_reason(finish, visit):
    finish(how="nobody", why_nobody="Locked up by noon; office told by telephone", witness="left over")
    assert (visit.sign_off.name, visit.sign_off.why_nobody) == ("", "Locked up by noon; office told by telephone")


def test_with_an_impaired_point_the_visit_ends_only_when_its_notice_was_handed_over(finish, visit, town):
    impair(town, visit)
    signed = {"how": "paper", "witness": "Ada Wray"}
    assert "1 impaired point left open" in finish(**signed).content.decode()
    finish(**signed, notice_given="Ada Wray, on paper")
    assert visit.sign_off.notice_given == "Ada Wray, on paper"
    assert visit.sign_off.stood["open_defects"][0]["interim_measure"] == "Fire watch"


def test_the_form_sent_twice_is_taken_once(finish, visit):
    for _ in range(2):
        finish(how="paper", witness="Ada Wray")
    assert SignOff.objects.count() == 1


def test_a_sign_off_is_never_changed(finish, visit):
    finish(how="paper", witness="Ada Wray")
    visit.sign_off.name = "Somebody else"
    with pytest.raises(ValueError, match="never changed"):
        visit.sign_off.save()


@pytest.mark.parametrize("fields", [{"how": "paper"}, {"how": "nobody"}, {"how": "glass", "name": "Ada Wray"}])
def test_the_database_takes_no_sign_off_that_says_too_little(visit, town, fields):
    with pytest.raises(IntegrityError), transaction.atomic():
        SignOff.objects.create(visit=visit, taken_by=town.people["engineer"], stood={}, **fields)


@pytest.mark.parametrize("name", ["office", "manager"])
def test_the_page_of_the_visit_shows_who_signed(as_, visit, town, name):
    take_sign_off(
        visit=visit, taken_by=town.people["engineer"], how="glass", name="Ada Wray, caretaker", signature=SIGNATURE
    )
    page = as_(name).get(visit.get_absolute_url()).content.decode()
    assert "Signature of Ada Wray, caretaker" in page
    assert "signed on the engineer's phone" in page
    assert "M10 20L90 40" in page


def test_the_notice_lists_the_impaired_points_and_is_none_without_them(as_, visit, town):
    notice = reverse("impairment-notice", args=[visit.pk])
    assert as_("manager").get(notice).status_code == 404
    impair(town, visit, description="Vent stays shut")
    response = as_("manager").get(notice)
    assert (response.status_code, response["Content-Type"]) == (200, "application/pdf")
