"""Pages of protocols: read, draft, edit, publish; published versions never change."""

import pytest
from django.urls import reverse

from inspections.models import Protocol, ProtocolCheck
from inspections.protocols.edits import draft_next_version


@pytest.fixture
def draft(town):
    return draft_next_version(protocol=town.protocol)


def add(client, protocol, **fields):
    fields = {
        "device_kind": "indicator",
        "code": "lamps",
        "order": 1,
        "asked_of": "every",
        "interval": "yearly",
        "done_by": "engineer",
        "title": "Lamps",
        "expected": "All lit",
        "hazards": ["none"],
        **fields,
    }
    return client.post(reverse("protocol-check-create", args=[protocol.pk]), fields)


def test_the_office_makes_a_new_version_and_publishes_it(as_, town):
    client = as_("office")
    response = client.post(reverse("protocol-draft", args=[town.protocol.pk]))
    draft = Protocol.objects.get(kind="inspection", version=2)
    assert response.url == draft.get_absolute_url()
    client.post(reverse("protocol-publish", args=[draft.pk]))
    states = dict(Protocol.objects.filter(kind="inspection").values_list("version", "state"))
    assert states == {1: "withdrawn", 2: "published"}


def test_a_check_is_added_to_a_draft(as_, draft):
    response = add(as_("office"), draft)
    assert response.status_code == 302
    assert draft.checks.get(code="lamps", device_kind="indicator").hazards == "none"


def test_the_hazards_of_a_check_are_ticked_and_shown_with_sign_and_words(as_, draft):
    add(as_("office"), draft, hazards=["alarm", "live"], caution="Live. Receiving centre told.")
    assert draft.checks.get(code="lamps").hazards == "live,alarm"
    page = as_("office").get(draft.get_absolute_url()).content.decode()
    assert "live work" in page and "may raise an alarm" in page
    form = as_("office").get(reverse("protocol-check-update", args=[draft.checks.get(code="lamps").pk]))
    assert form.context["form"]["hazards"].value() == ["live", "alarm"]


def test_nothing_is_added_to_a_published_version(as_, town):
    response = add(as_("office"), town.protocol)
    assert response.status_code == 422
    assert "never changes" in response.content.decode()
    assert not town.protocol.checks.filter(code="lamps").exists()


def test_a_check_of_a_published_version_is_not_changed(as_, town):
    check = town.protocol.checks.get(code="charger-voltage")
    response = as_("office").post(
        reverse("protocol-check-update", args=[check.pk]),
        {
            "device_kind": check.device_kind,
            "code": check.code,
            "order": 1,
            "asked_of": "every",
            "interval": "yearly",
            "done_by": "engineer",
            "title": "Other",
            "expected": "x",
            "quantity": "float voltage",
            "seen_version": check.row_version,
        },
    )
    check.refresh_from_db()
    assert response.status_code == 422
    assert check.title == "Charger voltage"


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"device_kind": "control_panel", "code": "charger-voltage"}, "has a check of the code 'charger-voltage'"),
        (
            {"quantity": "time", "lower_limit": "9", "upper_limit": "3", "limit_source": "x"},
            "3 is below the lower limit",
        ),
        ({"unit": "V"}, "need the name of the reading"),
        ({"quantity": "time", "upper_limit": "60"}, "A limit needs its source"),
        ({"quantity": "time", "upper_limit": "NaN", "limit_source": "x"}, "Enter a number."),
        ({"quantity": "time", "upper_limit": "1e999", "limit_source": "x"}, "1e999"),
        ({"order": "-1"}, "greater than or equal to 0"),
        ({"order": "99999999999"}, "at most"),
        ({"code": "two words"}, "letters, numbers, underscores or hyphens"),
        ({"hazards": []}, "Tick what can hurt at this check, or 'none of these'."),
        ({"hazards": ["live", "none"]}, "'None of these' stands beside a hazard."),
        ({"hazards": ["fire"]}, "fire is not one of the available choices"),
        ({"device_kind": "toaster"}, "not one of the available choices"),
    ],
)
def test_a_check_that_cannot_be_is_told_at_its_field(as_, draft, fields, sentence):
    count = ProtocolCheck.objects.count()
    response = add(as_("office"), draft, **fields)
    assert response.status_code == 422
    assert sentence in response.content.decode().replace("&#x27;", "'")
    assert ProtocolCheck.objects.count() == count


def test_a_check_is_taken_out_of_a_draft_only(as_, town, draft):
    client = as_("office")
    for protocol in (town.protocol, draft):
        client.post(reverse("protocol-check-remove", args=[protocol.checks.get(code="charger-voltage").pk]))
    assert town.protocol.checks.filter(code="charger-voltage").exists()
    assert not draft.checks.filter(code="charger-voltage").exists()


def test_the_standard_protocols_are_installed_from_the_page(as_, town):
    as_("office").post(reverse("protocol-install"))
    assert set(Protocol.objects.in_force().values_list("kind", flat=True)) == {
        "commissioning",
        "inspection",
        "remedial",
    }
    assert Protocol.objects.get(kind="inspection").title == "Checks for tests"
