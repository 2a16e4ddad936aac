"""Where a certificate stands: withdrawn, or when the next inspection is or was due, by the latest that counts."""

from datetime import date, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone
from django.utils.html import strip_tags

from inspections.certificates.issue import revoke_certificate
from inspections.certificates.standing import certificates_after, next_inspection, standing_of, with_standing
from inspections.models import Certificate
from tests import builders
from tests.evidence import rewrite

TODAY = date(2026, 3, 2)


@pytest.mark.parametrize(
    ("due_on", "state", "words"),
    [
        (date(2026, 3, 3), "next_ahead", "not withdrawn; next inspection due on 3 Mar 2026"),
        (date(2026, 3, 2), "next_ahead", "not withdrawn; next inspection due on 2 Mar 2026"),
        (date(2026, 3, 1), "next_past", "not withdrawn; next inspection was due on 1 Mar 2026, 1 day ago"),
        (date(2025, 3, 2), "next_past", "not withdrawn; next inspection was due on 2 Mar 2025, 365 days ago"),
        (None, "next_unknown", "not withdrawn; no date of the next inspection on record"),
    ],
)
def test_a_certificate_is_past_its_date_from_the_day_after_it(due_on, state, words):
    standing = next_inspection(due_on, TODAY)
    assert (standing.state, standing.words) == (state, words)


@pytest.fixture
def chain(db):
    """Commissioned 800 days ago, inspected 400 and 10 days ago; certificates in that order."""
    building, office = builders.make_building(name="Chain House"), builders.make_person()
    job = builders.make_job(building)
    return [
        builders.make_certificate(
            builders.make_finished_visit(building, kind=kind, finished_at=builders.days_ago(days), job=job),
            office,
            issued_on=timezone.localdate() - timedelta(days - 1),
        )
        for kind, days in (("commissioning", 800), ("inspection", 400), ("inspection", 10))
    ]


def read(certificate):
    return with_standing(Certificate.objects).get(pk=certificate.pk)


def test_the_date_of_the_latest_counts_for_the_commissioning_too(chain):
    commissioned, _, last = chain
    standing = standing_of(read(commissioned))
    assert standing.state == "next_ahead" and f"{last.next_due_on:%-d %b %Y}" in standing.words


def test_a_limited_certificate_is_not_shown_as_good(chain):
    rewrite(Certificate.objects.filter(pk=chain[2].pk), is_limited=True)
    assert [standing_of(read(one)).state for one in (chain[0], chain[2])] == ["next_ahead_limited"] * 2


def test_superseded_stays_superseded_whatever_the_date(chain):
    assert standing_of(read(chain[1])).state == "superseded"


def test_a_revoked_certificate_does_not_count_for_the_others(chain):
    commissioned, _, last = chain
    revoke_certificate(certificate=last, revoked_by=last.issued_by, reason="Wrong building.")
    assert standing_of(read(last)).state == "revoked"
    assert standing_of(read(commissioned)).state == "next_past"


def test_another_building_does_not_count(chain):
    builders.make_certificate(builders.make_finished_visit())
    revoke_certificate(certificate=chain[2], revoked_by=chain[2].issued_by, reason="Wrong building.")
    assert standing_of(read(chain[0])).state == "next_past"


def test_the_certificates_after_it_come_in_the_order_of_their_visits(chain):
    assert [[one.number for one in certificates_after(each)] for each in chain] == [
        [chain[1].number, chain[2].number],
        [chain[2].number],
        [],
    ]


def test_one_issued_again_stands_once_in_the_chain(chain):
    again = builders.make_certificate(chain[2].visit, chain[2].issued_by, again=True)
    assert [one.number for one in certificates_after(chain[0])] == [chain[1].number, again.number]


@pytest.fixture
def late(town):
    due_on = timezone.localdate() - timedelta(19)
    builders.make_certificate_due(town.certificate, due_on)
    return f"not withdrawn; next inspection was due on {due_on:%-d %b %Y}, 19 days ago"


def test_the_papers_of_a_building_tell_it_beside_each_certificate(as_, town, late):
    page = as_("manager").get(reverse("schedule-list", args=[town.hall.slug])).content.decode()
    assert late in page.split("<h2>Certificates</h2>")[1].split("</ul>")[0]


@pytest.mark.parametrize("person", ["office", "engineer", "manager"])
def test_list_and_page_say_that_the_next_inspection_is_past_its_date(as_, town, late, person):
    client = as_(person)
    for address in (reverse("certificate-list"), town.certificate.get_absolute_url()):
        page = strip_tags(client.get(address).content.decode())
        assert late in page, address
        assert "in force" not in page


def test_the_page_tells_how_the_building_stands_now_beside_what_was_certified(as_, town):
    builders.make_defect(town.hall, town.finished, severity="impaired")
    page = as_("manager").get(town.certificate.get_absolute_url()).content.decode()
    assert "smoke control impaired" in page.split("<dt>The building now</dt>")[1].split("</dd>")[0]


def test_the_list_can_be_narrowed_to_those_past_their_date(as_, town, late):
    client, address = as_("office"), reverse("certificate-list")
    assert town.certificate.number in client.get(address, {"state": "next_past"}).content.decode()
    rewrite(Certificate.objects, next_due_on=timezone.localdate())
    assert town.certificate.number not in client.get(address, {"state": "next_past"}).content.decode()


def test_the_list_sorts_limited_certificates_to_its_top_and_can_be_narrowed_to_them(as_, town):
    client, address = as_("office"), reverse("certificate-list")
    limited = builders.make_certificate()
    rewrite(Certificate.objects.filter(pk=limited.pk), is_limited=True)
    rewrite(Certificate.objects.filter(pk=town.certificate.pk), is_limited=False)

    def order(**query):
        page = client.get(address, query).content.decode().split("<tbody>")[1]
        return [number for number in sorted((limited.number, town.certificate.number), key=page.find) if number in page]

    assert order(sort="is_limited") == [limited.number, town.certificate.number]
    assert order(sort="-is_limited") == [town.certificate.number, limited.number]
    assert order(limited="True") == [limited.number]
    assert order(limited="False") == [town.certificate.number]
