"""An as-installed revision is checked and then approved, by name; papers say so only while the record equals it."""

import pytest
from django.db import IntegrityError, models, transaction
from django.urls import reverse
from django.utils import timezone

from inspections.approvals.acts import approve_revision, check_revision, withdraw_last_act
from inspections.models import LedgerEntry
from inspections.verification.running import verify_register
from tests import builders
from tests.evidence import evidence_lifted, rewrite
from tests.paper_text import text_of
from zones.as_installed.on_paper import revisions_of
from zones.as_installed.revisions import take_revision
from zones.models import AsInstalledRevision, RevisionAct


@pytest.fixture
def revision(town):
    return take_revision(building=town.hall, taken_by=town.people["office"], reason="Checked on site.")


@pytest.fixture
def approved(town, revision):
    check_revision(revision=revision, by=town.people["engineer"], remark="Walked all storeys.")
    approve_revision(revision=revision, by=town.people["office"])
    return revision


def address(revision, word):
    return reverse(f"as-installed-{word}", args=[revision.building.slug, revision.number])


def states_it(as_, person, revision, word, **typed):
    """What the page answers, and which statements there are then."""
    response = as_(person).post(address(revision, word), typed)
    kinds = list(RevisionAct.objects.filter(revision=revision).values_list("kind", flat=True))
    return response.content.decode(), kinds


def by_hand(revision, **changes):
    """Changed as by somebody who owns the database: the register itself refuses it."""
    with evidence_lifted(AsInstalledRevision._meta.db_table):
        models.QuerySet(AsInstalledRevision).filter(pk=revision.pk).update(**changes)


def on_paper(town):
    found = revisions_of(town.hall, timezone.now())
    return found.drawn, found.checked, found.approved


def test_one_checks_and_the_office_approves_with_name_capacity_and_competence_of_that_day(as_, town, revision):
    engineer = town.people["engineer"]
    engineer.competence, engineer.competence_expires_on = "Level 3", builders.days_ago(9).date()
    engineer.save()
    assert states_it(as_, "engineer", revision, "check", remark="Walked.")[1] == ["check"]
    assert states_it(as_, "office", revision, "approve")[1] == ["check", "approval"]
    page = as_("manager").get(address(revision, "revision")).content.decode()
    assert "Walked." in page and "checked and approved" in page
    assert "service engineer; Level 3 (lapsed on " in page


def test_who_took_the_revision_does_not_check_it_without_a_reason(as_, town, revision):
    page, kinds = states_it(as_, "office", revision, "check", remark="Fine.")
    assert "somebody else checks it" in page and kinds == []
    _, kinds = states_it(as_, "office", revision, "check", why_alone="Firm of one person.")
    assert kinds == ["check"] and on_paper(town)[1].endswith(", who drew it")


def test_nothing_is_approved_that_nobody_checked(as_, revision):
    page, kinds = states_it(as_, "office", revision, "approve")
    assert "Have it checked first." in page and kinds == []


def test_what_is_checked_or_approved_is_not_so_a_second_time(as_, town, approved):
    page, kinds = states_it(as_, "engineer", approved, "check")
    assert "It is approved by" in page and len(kinds) == 2
    page, kinds = states_it(as_, "office", approved, "approve")
    assert "already." in page and len(kinds) == 2


def test_a_withdrawal_is_a_further_row_with_its_reason_and_takes_back_the_last_statement(as_, town, approved):
    page, kinds = states_it(as_, "office", approved, "withdraw", remark="")
    assert "Say why it is withdrawn." in page and len(kinds) == 2
    page, kinds = states_it(as_, "engineer", approved, "withdraw", remark="Wrong panel.")
    assert "An approval is withdrawn by the office." in page and len(kinds) == 2
    _, kinds = states_it(as_, "office", approved, "withdraw", remark="Wrong panel.")
    assert kinds == ["check", "approval", "withdrawal"]
    assert on_paper(town)[1].startswith(town.people["engineer"].full_name) and on_paper(town)[2] == "not approved"
    withdraw_last_act(revision=approved, by=town.people["engineer"], remark="The check too.")
    assert on_paper(town)[1:] == ("not checked", "not approved")
    assert AsInstalledRevision.objects.get(pk=approved.pk).state == "not_checked"
    page, kinds = states_it(as_, "office", approved, "withdraw", remark="Once more.")
    assert "nothing to withdraw" in page and len(kinds) == 4


def test_papers_name_who_drew_checked_and_approved_until_something_changes(as_, town, approved):
    office, engineer = town.people["office"].full_name, town.people["engineer"].full_name
    day = f"{timezone.localdate():%-d %b %Y}"
    assert on_paper(town) == (f"{office}, {day}", f"{engineer}, {day}", f"{office}, {day}")
    builders.make_position(town.hall, tag="SD9")
    assert on_paper(town) == ("–", "not checked", "not approved")


@pytest.mark.parametrize("name", ["zone-schedule-pdf", "panel-cause-and-effect-pdf", "device-schedule-pdf"])
def test_schedules_print_the_three_names_and_the_revision_index(as_, town, approved, name):
    of = town.panel.pk if name.startswith("panel") else town.hall.slug
    words = " ".join(text_of(as_("manager").get(reverse(name, args=[of])).content).split())
    assert words.count(f"{town.people['engineer'].full_name}, {timezone.localdate():%-d %b %Y}")
    assert "Changes as installed" in words and "first record" in words and "not approved" not in words


def test_a_revision_that_was_altered_is_neither_checked_nor_shown_as_approved(as_, town, approved):
    by_hand(approved, digest="0" * 64)
    assert on_paper(town)[1:] == ("not checked", "not approved")
    page, kinds = states_it(as_, "office", approved, "withdraw", remark="Altered.")
    assert "Restore it from a backup." in page and len(kinds) == 2


def test_statements_are_evidence_held_by_the_database_and_told_by_the_ledger(town, approved):
    with pytest.raises(IntegrityError, match="are evidence"), transaction.atomic():
        RevisionAct.objects.filter(revision=approved).update(remark="Never mind.")
    assert LedgerEntry.objects.filter(kind="revision_act").count() == 2 and not verify_register().faults
    rewrite(RevisionAct.objects.filter(kind="check"), remark="Not walked.")
    (fault,) = map(str, verify_register().faults)
    assert "Statement 1 on as-installed revision 1: remark is not as entered" in fault
