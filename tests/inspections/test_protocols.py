"""Standard protocols: installed once, versioned, never changed when published."""

from decimal import Decimal

import pytest
from django.core.management import call_command

from inspections.models import Protocol, ProtocolCheck, VisitKind
from inspections.services.protocols import (
    ProtocolRefused,
    draft_next_version,
    install_standard_protocols,
    publish_protocol,
    remove_check,
)
from zones.models import DeviceKind

pytestmark = pytest.mark.django_db


def standard(kind):
    install_standard_protocols()
    return Protocol.objects.in_force().get(kind=kind)


def test_every_kind_of_visit_asks_every_kind_of_device():
    install_standard_protocols()
    for kind in VisitKind:
        asked = set(Protocol.objects.in_force().get(kind=kind).checks.values_list("device_kind", flat=True))
        # A junction box is looked at with the cables that meet in it.
        assert asked == set(DeviceKind.values) - {"junction_box"}, kind


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


def test_opening_time_is_sixty_seconds_of_a_standard_to_be_verified():
    for kind in ("inspection", "commissioning"):
        check = standard(kind).checks.get(device_kind="actuator", code="opening-time")
        # Handbook process.md §3 and §4: ≤ 60 s (EN 12101-2), marked [M] = from memory.
        assert (check.lower_limit, check.upper_limit, check.unit) == (None, 60, "s")
        assert check.limit_source == "EN 12101-2, to be verified against the document"


def test_every_limit_names_its_source_and_the_state_of_that_source():
    install_standard_protocols()
    for check in ProtocolCheck.objects.exclude(limit_source=""):
        source = check.limit_source
        assert "common practice" in source or "to be verified against the document" in source, check
    assert not ProtocolCheck.objects.filter(limit_source="").exclude(lower_limit=None, upper_limit=None).exists()


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
