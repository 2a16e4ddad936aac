"""Two cores exchanged at a device in one act: page and service, and the same act takes it back."""

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse

from tests import builders
from tests.zones.wiring.test_edits import text_of
from zones.models import CoreEnd
from zones.wiring.edits import put_core, tick
from zones.wiring.exchange import exchange_cores

pytestmark = pytest.mark.django_db


@pytest.fixture
def wired(town):
    """W12.1 joins P1 -X3:1 and SD1 -X1:1, W12.2 P1 -X3:2 and SD1 -X1:2; nothing is on P1 -X3:3."""
    cable = builders.make_cable(town.hall, tag="W12", cores_count=2, from_place="P1", to_place="SD1")
    for number in "123":
        setattr(town, f"p{number}", builders.make_terminal(town.panel, block="X3", number=number))
        setattr(town, f"d{number}", builders.make_terminal(position=town.detector, block="X1", number=number))
    for number, colour in ((1, "BN"), (2, "BU")):
        core = builders.make_core(cable, number=number, colour=colour)
        builders.connect(core, getattr(town, f"p{number}"), getattr(town, f"d{number}"))
    return town


def on_terminals():
    ends = CoreEnd.objects.order_by("core__number", "-end")
    return [str(end.terminal) for end in ends.select_related("terminal")]


BEFORE = ["-X3:1", "-X1:1", "-X3:2", "-X1:2"]
AFTER = ["-X3:2", "-X1:1", "-X3:1", "-X1:2"]


def exchange_on_page(client, wired, **changes):
    page = client.get(reverse("core-exchange", args=[wired.p1.pk]))
    (value, _), *_ = page.context["form"].fields["other"].choices[1][1]
    typed = {"other": value, "on_it": page.context["form"]["on_it"].value(), **changes}
    return client.post(reverse("core-exchange", args=[wired.p1.pk]), typed, follow=True)


def test_two_cores_change_places_in_one_act_and_the_page_says_where_they_are(client, wired):
    client.force_login(wired.people["engineer"])
    assert "W12.2 BU on -X3:2" in text_of(client.get(reverse("core-exchange", args=[wired.p1.pk])))
    page = exchange_on_page(client, wired)
    assert "W12.1 BN is on P1 -X3:2 now, W12.2 BU on P1 -X3:1" in text_of(page)
    assert on_terminals() == AFTER


def test_the_same_act_takes_it_back(wired):
    for _ in range(2):
        exchange_cores(terminal=wired.p1, other=wired.p2)
    assert on_terminals() == BEFORE


def test_the_row_of_a_core_leads_to_it(client, wired):
    client.force_login(wired.people["engineer"])
    page = text_of(client.get(reverse("panel-wiring", args=[wired.panel.pk])))
    assert reverse("core-exchange", args=[wired.p1.pk]) in page
    assert reverse("core-exchange", args=[wired.p3.pk]) not in page


def test_the_two_terminals_are_no_longer_seen_as_recorded(wired):
    for terminal in (wired.p1, wired.d1):
        tick(terminal=terminal, by=wired.people["engineer"], is_checked=True)
    exchange_cores(terminal=wired.p1, other=wired.p2)
    wired.p1.refresh_from_db()
    wired.d1.refresh_from_db()
    assert wired.p1.checked_at is None
    assert wired.d1.checked_at is not None


@pytest.mark.parametrize("of", ["this terminal", "the other"])
def test_a_core_that_was_moved_meanwhile_is_not_exchanged(client, wired, of):
    client.force_login(wired.people["engineer"])
    seen = {"other": f"{wired.p2.pk}-{CoreEnd.objects.get(terminal=wired.p2).core_id}"}
    seen["on_it"] = CoreEnd.objects.get(terminal=wired.p1).core_id
    put_core(terminal=wired.p1 if of == "this terminal" else wired.p2, text="")
    before = on_terminals()
    response = client.post(reverse("core-exchange", args=[wired.p1.pk]), seen)
    assert response.status_code == 422
    assert "meanwhile" in text_of(response)
    assert on_terminals() == before


def test_cores_at_two_devices_or_on_a_free_terminal_do_not_change_places(wired):
    for other, sentence in ((wired.d2, "at another device"), (wired.p3, "No core is on P1 -X3:3")):
        with pytest.raises(ValidationError, match=sentence):
            exchange_cores(terminal=wired.p1, other=other)
    assert on_terminals() == BEFORE


def test_without_a_core_the_page_says_so(client, wired):
    client.force_login(wired.people["engineer"])
    response = client.post(reverse("core-exchange", args=[wired.p3.pk]), {"other": "1-1", "on_it": "1"})
    assert response.status_code == 422
    assert "No core is on this terminal" in text_of(response)
