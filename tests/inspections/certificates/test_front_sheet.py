"""The first sheet of a certificate: what the records said at issue, and what is missing said as missing."""

import pytest
from django.utils import timezone

from inspections.certificates.document import certificate_pdf
from inspections.certificates.front_sheet import front_sheet
from sites_registry.models import Firm
from tests import builders
from tests.paper_text import sheets_of


@pytest.fixture
def issue(town):
    """Issues a certificate of a new finished visit; `during(visit)` may do something first."""

    def made(during=lambda visit: None):
        visit = builders.make_finished_visit(
            town.hall, engineer=town.people["engineer"], job=builders.make_job(town.hall)
        )
        during(visit)
        return builders.make_certificate(visit, town.people["office"])

    return made


def facts_of(certificate):
    return {heading: " ".join(lines) for heading, lines in front_sheet(certificate.statement).facts}


def test_what_is_not_recorded_is_said_and_no_fact_is_blank(issue):
    facts = facts_of(issue())
    assert all(facts.values())
    assert facts["As installed"] == "Revision not recorded."
    assert facts["Signed on site"] == "Signature not recorded."
    assert facts["Instruments"] == "None recorded."
    assert facts["Out of service at issue"] == "Nothing, by the log book."
    assert facts["Settings compared"].endswith("not compared")


def test_settings_that_were_not_compared_stand_beside_those_that_were(issue):
    """A few that are as left must not read as all of them. A certificate of before says what it said."""
    left = {"kind": "settings not compared", "words": "75 of 95 settings of P1 were not compared on visit 2."}
    compared = [{"panel": "P1", "counts": [["as left", 18], ["not seen", 2]]}]
    new = issue().statement | {"accepted": [left], "settings_compared": compared}
    assert dict(front_sheet(new).facts)["Settings compared"] == ["P1: 18 as left, 2 not seen", f"▲ {left['words']}"]
    old = new | {"statement_version": 5}
    assert dict(front_sheet(old).facts)["Settings compared"] == ["P1: 18 as left, 2 not seen"]


def test_what_is_out_of_service_at_issue_impairs_and_is_named(issue, town):
    builders.make_log_entry(
        town.hall,
        town.people["office"],
        kind="disablement",
        what="Zone off for painting.",
        interim_measure="Patrol each hour.",
        planned_end_at=timezone.now() + timezone.timedelta(days=3),
    )
    certificate = issue()
    sheet = front_sheet(certificate.statement)
    assert (sheet.state, sheet.measures, certificate.is_limited) == ("impaired", ["Patrol each hour."], True)
    assert "Zone off for painting." in facts_of(certificate)["Out of service at issue"]


def test_an_expired_instrument_takes_the_good_sentence_away(issue, town):
    def use(visit):
        day = timezone.localdate() - timezone.timedelta(days=100)
        instrument = builders.make_instrument(calibration_due_on=day)
        visit.instruments_used.create(
            instrument=instrument,
            name=instrument.name,
            own_number=instrument.own_number,
            calibration_due_on=day,
            chosen_by=town.people["office"],
        )

    certificate = issue(use)
    sheet = front_sheet(certificate.statement)
    assert sheet.state == "limited" and "calibration expired" in sheet.sentence
    assert "calibration expired" in facts_of(certificate)["Instruments"]


def test_telephone_and_address_of_the_firm_stand_there(issue):
    firm = Firm.current()
    firm.address, firm.phone = "4 Slip Way\nSkellmere", "01632 960 021"
    firm.save()
    assert (
        facts_of(issue())["Firm"]
        == f"{firm.name}, 4 Slip Way, Skellmere Telephone: 01632 960 021 · E-mail: not recorded"
    )


def test_all_of_it_stands_on_the_first_sheet(issue, town):
    builders.make_defect(town.hall, town.finished, severity="impaired", description="Vent V1 stuck half open.")
    certificate = issue()
    first = " ".join(" ".join(sheets_of(certificate_pdf(certificate))[0]).split())
    sheet = front_sheet(certificate.statement)
    words = [
        sheet.sentence,
        "Vent V1 stuck half open.",
        "Next inspection due",
        *(heading for heading, _ in sheet.facts),
    ]
    assert [one for one in words if one not in first] == []


@pytest.mark.parametrize(("is_limited", "said"), [(True, "Limited: 1 vent stuck."), (False, "without a conclusion")])
def test_a_statement_of_before_says_that_it_has_no_conclusion(issue, is_limited, said):
    """Version 4 froze neither conclusion nor what it rests on; nothing of today stands in its place."""
    old = issue().statement | {"statement_version": 4, "is_limited": is_limited, "limited_because": ["1 vent stuck"]}
    for key in ("conclusion", "out_of_service", "as_installed", "settings_compared", "instruments", "sign_off"):
        del old[key]
    sheet = front_sheet(old)
    assert sheet.state == "" and said in sheet.sentence
    assert dict(sheet.facts)["As installed"] == ["not recorded on certificates of this date"]
