"""What README says of who opens what, held against the tables of access; and what else it counts."""

import re
from pathlib import Path

from django.conf import settings

from inspections.demo.scenario import SITES
from tests.access.test_urls import EXPECTED
from tests.conftest import PEOPLE

ROOT = Path(settings.BASE_DIR)
README = (ROOT / "README.md").read_text(encoding="utf-8")
OPENS = dict(re.findall(r"^\| \*\*([\w ]+)\*\* \|.*\| (.+) \|$", README, re.MULTILINE))

# The noun that an address begins with → how README calls what only the office does to it.
LEFT_TO_THE_OFFICE = {
    "as": "approving revisions",
    "attachment": "withdrawing files",
    "building": "buildings",
    "certificate": "issuing certificates",
    "client": "clients",
    "contact": "clients",
    "device": "importing device schedules",
    "firm": "the firm",
    "import": "importing device schedules",
    "instrument": "instruments",
    "invitation": "people",
    "job": "jobs",
    "mail": "mails",
    "password": "people",
    "person": "people",
    "plate": "product models",
    "practice": "common practice",
    "product": "product models",
    "protocol": "protocols",
    "qualification": "people",
    "verification": "the evidence",
    "visit": "planning visits",
}
READING_LINKS = "make and withdraw reading links"
WRITTEN_BY_MANAGERS = {
    "log": "write in the log book",
    "hand": "confirm a receipt",
    "reading": READING_LINKS,
    "certificate": READING_LINKS,
}


def opened_by(*people):
    """Addresses that these may use."""
    columns = [PEOPLE.index(one) for one in people]
    return {name for name, row in EXPECTED.items() if all(row[k] in ("open", "elsewhere") for k in columns)}


def first_words(names):
    return {name.split("-")[0] for name in names}


def test_what_the_engineer_leaves_to_the_office_is_named_whole():
    _, _, left = OPENS["service engineer"].partition("left to the office: ")
    by_managers_too = opened_by("manager")
    closed = {
        LEFT_TO_THE_OFFICE[noun] for noun in first_words(opened_by("office") - opened_by("engineer") - by_managers_too)
    }
    assert [words for words in sorted(closed) if words not in left] == []
    said = re.split(r", | and ", re.sub(r"registering |changing ", "", left))
    assert set(said) == closed


def test_the_engineer_opens_buildings_panels_and_jobs():
    assert {"building-detail", "panel-detail", "panel-update", "job-detail"} <= opened_by("engineer")


def test_the_office_opens_everything_but_answering_on_a_visit_and_a_receipt():
    closed = opened_by("engineer") | opened_by("manager")
    assert first_words(closed - opened_by("office")) == {"visit", "hand"}
    assert OPENS["office staff"] == "everything but answering on a visit and confirming a receipt"


def test_a_manager_writes_in_the_log_book_confirms_a_receipt_and_reads_the_rest():
    own = opened_by("manager") - opened_by("anonymous")
    acts = {
        name
        for name in own
        if name.endswith(("-create", "-update", "-correct", "-end", "-receipt", "-remove", "-withdraw"))
    }
    assert {WRITTEN_BY_MANAGERS[noun] for noun in first_words(acts)} == set(WRITTEN_BY_MANAGERS.values())
    assert all(words in OPENS["building manager"] for words in WRITTEN_BY_MANAGERS.values())


def test_nobody_without_a_log_in_opens_more_than_the_check_of_a_certificate_and_what_a_link_reads():
    # The worker, the page without a network and what is asked by a watcher are of the program, not of a register.
    of_the_program = ("field-worker", "without-network", "health", "ready")
    ways_in = ("log-in", "invitation-accept", "password-reset", *of_the_program)
    links = {"read-page", "read-certificate", "read-whole-file", "read-archive", "read-file", "calendar-read"}
    opened = {name for name in opened_by("anonymous") if not name.startswith(ways_in)}
    asked_of_a_paper = {"certificate-check", "certificate-check-file", "certificate-check-building"}
    assert opened == {*asked_of_a_paper, "certificate-schema", "building-records-schema"} | links


def test_the_demo_has_as_many_buildings_as_are_promised():
    (promised,) = re.findall(r"an invented firm with (\d+) buildings", README)
    assert int(promised) == len(SITES)
