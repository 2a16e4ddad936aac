"""Standard protocols: installed once, versioned, never changed when published."""

from decimal import Decimal

import pytest
from django.core.management import call_command

from inspections.models import Protocol, ProtocolCheck, VisitKind
from inspections.protocols.edits import (
    ProtocolRefused,
    draft_next_version,
    install_standard_protocols,
    publish_protocol,
    remove_check,
)
from inspections.protocols.standards import citations_in
from zones.engineering.editions import DOCUMENTS
from zones.models.kinds import kinds_where

pytestmark = pytest.mark.django_db


def standard(kind):
    install_standard_protocols()
    return Protocol.objects.in_force().get(kind=kind)


def test_every_kind_of_visit_asks_every_kind_of_device():
    install_standard_protocols()
    for kind in VisitKind:
        asked = set(Protocol.objects.in_force().get(kind=kind).checks.values_list("device_kind", flat=True))
        # A junction box is looked at with the cables that meet in it.
        assert asked == set(kinds_where(lambda facts: facts.has_unit)), kind


def test_installing_twice_changes_nothing(capsys):
    call_command("install_protocols")
    before = list(ProtocolCheck.objects.values_list("pk", "protocol", "title"))
    call_command("install_protocols")
    assert list(ProtocolCheck.objects.values_list("pk", "protocol", "title")) == before
    assert "Nothing was changed" in capsys.readouterr().out


def test_charger_limits_are_those_of_the_handbook_and_marked_as_common_practice():
    check = standard("inspection").checks.get(device_kind="control_panel", code="charger-voltage")
    # Handbook process.md §4: 27.0–27.6 V for a 24 V lead set at 20–25 °C, marked [P].
    assert (check.lower_limit, check.upper_limit, check.unit) == (Decimal("27.0"), Decimal("27.6"), "V")
    assert "common practice" in check.limit_source
    assert check.is_reading_required


def test_opening_time_is_sixty_seconds_of_a_standard_seen_second_hand():
    for kind in ("inspection", "commissioning"):
        check = standard(kind).checks.get(device_kind="actuator", code="opening-time")
        # Handbook calculations.md §4: ≤ 60 s (EN 12101-2), [S2] = second-hand; the clause is not known.
        assert (check.lower_limit, check.upper_limit, check.unit) == (None, 60, "s")
        assert check.limit_source == "EN 12101-2:2017 (open within 60 s; clause not known), second-hand"


# Each standard that a check of the standard protocols cites, as the handbook knows it: process.md §3 and §4,
# calculations.md §2, §3, §4 and §10. [S2] = second-hand, [M] = from memory. A clause that is not here was invented.
IN_THE_HANDBOOK = {
    ("BS 5839-1:2017 cl. 45.3", "second-hand"),
    ("BS 5839-1:2017 cl. 45.4", "second-hand"),
    ("BS 5839-1", "from memory"),  # batteries replaced at about four years
    ("EN 12101-2:2017", "second-hand"),
    ("EN 12101-10:2005", "second-hand"),
    ("EN 12101-10:2005 cl. 6.2.2", "second-hand"),
    ("EN 54-2:1997", "from memory"),
    ("EN 54-2:1997 annex A", "from memory"),
    ("EN 54-5:2017", "second-hand"),
    ("IEEE 1188", "from memory"),
    ("IEC 60364-6:2016", "second-hand"),
}


def test_every_check_names_a_standard_of_the_handbook_or_common_practice():
    install_standard_protocols()
    for check in ProtocolCheck.objects.all():
        cited = {(one.words, one.how_known) for one in citations_in(check.limit_source)}
        assert cited <= IN_THE_HANDBOOK, check
        editions = {(one.name, one.edition) for one in citations_in(check.limit_source) if one.edition}
        assert editions <= set(DOCUMENTS), check
        assert cited or check.limit_source.startswith("common practice"), check


def test_a_standard_without_a_clause_says_that_the_clause_is_not_known():
    install_standard_protocols()
    for check in ProtocolCheck.objects.all():
        without = [one for one in citations_in(check.limit_source) if not one.clause]
        assert check.limit_source.count("clause not known") == len(without), check


def test_readings_keep_their_code_from_commissioning_to_inspection():
    codes = {
        kind: set(standard(kind).checks.exclude(quantity="").values_list("device_kind", "code"))
        for kind in ("commissioning", "inspection")
    }
    shared = codes["commissioning"] & codes["inspection"]
    assert {("actuator", "opening-time"), ("control_panel", "charger-voltage")} <= shared


def test_a_new_version_is_a_draft_with_the_same_checks():
    published = standard("inspection")
    draft = draft_next_version(protocol=published)
    assert (draft.state, draft.version) == ("draft", 2)
    assert draft.checks.count() == published.checks.count()
    assert draft_next_version(protocol=published) == draft


def test_publishing_withdraws_the_version_before():
    published = standard("inspection")
    draft = publish_protocol(protocol=draft_next_version(protocol=published))
    published.refresh_from_db()
    assert (published.state, draft.state) == ("withdrawn", "published")
    assert published.history.first().history_change_reason == f"Version {draft.version} published"


def test_a_withdrawn_version_is_not_published_again():
    published = standard("inspection")
    publish_protocol(protocol=draft_next_version(protocol=published))
    with pytest.raises(ProtocolRefused, match="was withdrawn"):
        publish_protocol(protocol=published)


def test_a_draft_without_checks_is_not_published():
    draft = draft_next_version(protocol=standard("inspection"))
    draft.checks.all().delete()
    with pytest.raises(ProtocolRefused, match="has no checks"):
        publish_protocol(protocol=draft)
    assert Protocol.objects.in_force().get(kind="inspection").version == 1


def test_a_check_of_a_published_version_cannot_be_removed():
    check = standard("inspection").checks.first()
    with pytest.raises(ProtocolRefused, match="never changes"):
        remove_check(check=check)
    assert ProtocolCheck.objects.filter(pk=check.pk).exists()


def test_a_check_of_a_draft_can_be_removed():
    check = draft_next_version(protocol=standard("inspection")).checks.first()
    remove_check(check=check)
    assert not ProtocolCheck.objects.filter(pk=check.pk).exists()
