"""Papers drawn up before work: what a visit's checks and the building's record say, and what they do not."""

import pytest
from django.urls import reverse
from django.utils.formats import date_format

from tests import builders
from tests.paper_text import sheets_of, text_of
from tests.zones.floor_plans.plans import add_plan

pytestmark = pytest.mark.django_db


def paper(client, name, key):
    return " ".join(text_of(client.get(reverse(name, args=[key])).content).split())


def test_a_method_statement_names_the_hazards_of_the_tests_with_where_and_what_to_do(as_, town):
    points = town.finished.test_points.all()
    points.update(hazards="none")
    tag = points.first().position.tag
    points.filter(pk=points.first().pk).update(hazards="height")
    text = paper(as_("engineer"), "method-statement", town.finished.pk)
    risks = text.split("Risk assessment")[1].split("Method")[0]
    assert "at height" in risks and tag in risks and "never lean on an opening leaf" in risks
    assert "live work" not in risks and "Nobody has stated" not in risks
    points.filter(pk=points.first().pk).update(hazards="")
    assert f"Nobody has stated what can hurt at tests of {tag}" in paper(
        as_("engineer"), "method-statement", town.finished.pk
    )


def test_before_a_visit_has_tests_every_class_of_hazard_counts(as_, town):
    visit = builders.make_visit(town.hall)
    risks = paper(as_("manager"), "method-statement", visit.pk).split("Risk assessment")[1]
    assert all(words in risks for words in ("live work", "vents move", "at height", "may raise an alarm"))
    assert "not known yet" in risks


def test_the_permit_stands_on_one_sheet_with_its_signatures(as_, town):
    sheets = sheets_of(as_("engineer").get(reverse("method-statement", args=[town.finished.pk])).content)
    (permit,) = (sheet for sheet in sheets if "Permit" in sheet)
    assert any("Taken back, for the building" in line for line in permit)


def test_a_quotation_of_nothing_asks_nobody_to_accept_it(as_, town):
    text = paper(as_("office"), "remedial-quotation-pdf", town.hall.slug)
    assert "No defect is open" in text and "Prices hold until" not in text and "Accepted by" not in text


def test_a_quotation_lists_open_defects_and_leaves_the_prices_to_the_office(as_, town):
    builders.make_defect(town.hall, town.visit, severity="degraded", description="Leaf of V1 bent")
    text = paper(as_("office"), "remedial-quotation-pdf", town.hall.slug)
    assert "Leaf of V1 bent." in text and "To be proposed:" in text and "(30 days)" in text
    assert as_("manager").get(reverse("remedial-quotation-pdf", args=[town.hall.slug])).status_code == 403


def test_the_checklist_names_what_the_record_lacks_and_not_what_it_has(as_, town):
    type(town.hall).objects.filter(pk=town.hall.pk).update(fire_strategy_reference="FS-1", roof_access_notes="")
    text = paper(as_("manager"), "fire-safety-information-pdf", town.hall.slug)
    assert "Access to roofs" in lacking(text) and "Fire strategy" not in lacking(text) and "FS-1" in text


def lacking(text):
    return text.split("Not there")[1].split("What has to be handed over")[0]


def test_the_checklist_tells_what_is_there_in_part_only(as_, town):
    builders.make_vent(builders.make_zone(town.hall), aerodynamic_area_m2=None, geometric_area_m2=None)
    builders.make_defect(town.hall, town.visit, severity="impaired", description="Vent does not open.")
    named = lacking(paper(as_("manager"), "fire-safety-information-pdf", town.hall.slug))
    assert "1 without an area" in named and "1 impairment without a measure meanwhile" in named


def test_a_plan_counts_once_for_its_storey_and_only_with_its_devices(as_, town):
    builders.make_position(town.hall, storey="7")
    add_plan(town, storey="7")
    add_plan(town, storey="7", mark="B")
    text = paper(as_("manager"), "fire-safety-information-pdf", town.hall.slug)
    assert "1 plan" in text and "2 plans" not in text
    assert "without a place" in lacking(text)


def test_the_checklist_dates_a_certificate_and_tells_one_whose_next_inspection_is_overdue(as_, town):
    certificate = builders.make_certificate(town.finished)
    builders.make_certificate_due(certificate, builders.days_ago(1).date())
    text = paper(as_("manager"), "fire-safety-information-pdf", town.hall.slug)
    assert f"{certificate.number} of {date_format(certificate.issued_on, 'j M Y')}" in text
    assert "next inspection was due on" in lacking(text)


def test_an_extract_of_the_log_book_holds_the_days_asked_for(as_, town):
    builders.make_log_entry(town.hall, what="Roof swept.", happened_at=builders.days_ago(1))
    builders.make_log_entry(town.hall, what="Gutter cleared.", happened_at=builders.days_ago(40))
    address = reverse("log-book-pdf", args=[town.hall.slug])
    day = f"{builders.days_ago(10):%Y-%m-%d}"
    text = text_of(as_("manager").get(f"{address}?since={day}").content)
    assert "Roof swept." in text and "Gutter cleared." not in text
    refused = as_("manager").get(f"{address}?until=2026-99-01", follow=True).content.decode()
    assert "2026-99-01" in refused and "is no day" in refused
