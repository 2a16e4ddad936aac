"""Data links: the panel's list entered as a whole, and call points confirmed by serial or by operating."""

import pytest
from django.urls import reverse

from tests import builders
from zones.models import DataLink, LinkEntry
from zones.panels.data_links import LinkRefused, ListedUnit, confirm_by_operating, confirm_by_serial, set_list

pytestmark = pytest.mark.django_db


@pytest.fixture
def link(town):
    """A data link with two call points, each with its unit: CP11 'TC-01', CP12 'TC-02'."""
    link = builders.make_data_link(town.panel, number=1)
    model = builders.make_product_model("manual_call_point")
    for n in (1, 2):
        position = builders.make_position(
            town.hall, "manual_call_point", tag=f"CP1{n}", data_link=link, order_on_line=n, smoke_zone=town.zone
        )
        builders.fit(position, builders.make_unit(model, serial=f"TC-0{n}"))
    return link


def at(link, tag):
    return link.positions.get(tag=tag)


def text_of(response):
    return " ".join(response.content.decode().split())


def typed(link, *rows):
    """A whole list as the table of the page sends it."""
    cells = {"seen_version": " ".join(f"{one.pk}.{one.row_version}" for one in link.entries.order_by("place"))}
    for number, row in enumerate(rows, start=1):
        names = [f"{column}-{number}" for column in ("place", "serial", "number", "zone")]
        cells |= dict(zip(names, row, strict=True))
    return cells


def test_a_data_link_is_added_with_what_it_does_when_broken(as_, town):
    as_("engineer").post(
        reverse("data-link-create", args=[town.panel.pk]), {"number": 1, "name": "stairs", "when_broken": "opens"}
    )
    page = text_of(as_("manager").get(DataLink.objects.get().get_absolute_url()))
    assert "Fault shown, and the vents of the zones behind the break open" in page
    assert "The panel's list is not recorded." in page


def test_the_whole_list_is_typed_at_once(as_, town, link):
    rows = typed(link, ("1", "TC-01", "11", "1"), ("", "TC-02", "12", ""))
    page = text_of(as_("engineer").post(reverse("link-list", args=[link.pk]), rows, follow=True))
    assert "List saved: 2 new." in page
    entries = list(link.entries.values_list("place", "serial", "number_given", "zone_assigned"))
    assert entries == [(1, "TC-01", 11, town.zone.pk), (2, "TC-02", 12, None)]


@pytest.mark.parametrize(
    ("rows", "sentence"),
    [
        ([("1", "A", "x", "")], "&#x27;x&#x27; is not possible. Write a whole number from 1."),
        ([("1", "A", "", "9")], "9 is no zone of this building. Its zones: 1."),
        ([("1", "A", "", ""), ("1", "B", "", "")], "Place 1 stands in the list twice."),
        ([("1", "A", "7", ""), ("2", "B", "7", "")], "Number 7 stands in the list twice."),
        ([("1", "A", "", ""), ("2", "a", "", "")], "stands in the list twice."),
        ([("99999", "A", "", "")], "&#x27;99999&#x27; is not possible."),
        ([("1", "A\x07", "", "")], "invisible control character"),
    ],
)
def test_a_list_that_cannot_be_is_told_and_nothing_is_changed(as_, link, rows, sentence):
    response = as_("engineer").post(reverse("link-list", args=[link.pk]), typed(link, *rows))
    assert response.status_code == 422
    assert sentence in text_of(response)
    assert not link.entries.exists()


def test_a_list_that_somebody_else_changed_meanwhile_is_not_overwritten(as_, link):
    rows = typed(link, ("1", "TC-01", "", ""))
    set_list(link=link, rows=[ListedUnit(1, "TC-09")])
    response = as_("engineer").post(reverse("link-list", args=[link.pk]), rows)
    assert "Somebody changed this list meanwhile" in text_of(response)
    assert link.entries.get().serial == "TC-09"


def test_a_serial_read_on_the_device_finds_its_entry_and_its_position(as_, town, link):
    set_list(link=link, rows=[ListedUnit(1, "TC-02"), ListedUnit(2, "TC-01")])
    page = as_("engineer").post(reverse("link-confirm-serial", args=[link.pk]), {"serial": "tc-01"}, follow=True)
    assert "CP11 is place 2 of the list, confirmed by serial TC-01." in text_of(page)
    entry = link.entries.get(place=2)
    assert (entry.position, entry.confirmed_how, entry.confirmed_by) == (
        at(link, "CP11"),
        "serial",
        town.people["engineer"],
    )
    assert "serial read on the device" in text_of(as_("manager").get(entry.position.get_absolute_url()))


def test_a_serial_that_is_not_listed_or_not_fitted_is_refused_with_the_remedy(town, link):
    set_list(link=link, rows=[ListedUnit(1, "TC-77")])
    with pytest.raises(LinkRefused, match="'TC-01' is not in the panel's list"):
        confirm_by_serial(link=link, serial="TC-01", by=town.people["engineer"])
    with pytest.raises(LinkRefused, match="No unit with serial 'TC-77' is on record in Ropewalk Hall"):
        confirm_by_serial(link=link, serial="TC-77", by=town.people["engineer"])
    model = builders.make_product_model("manual_call_point")
    builders.fit(town.call_point, builders.make_unit(model, serial="TC-77"))
    with pytest.raises(LinkRefused, match="CP1 is not on P1 data link 1"):
        confirm_by_serial(link=link, serial="TC-77", by=town.people["engineer"])
    assert not LinkEntry.objects.exclude(position=None).exists()


def test_a_call_point_is_confirmed_by_operating_it(as_, link):
    set_list(link=link, rows=[ListedUnit(1, number=11), ListedUnit(2, number=12)])
    entry = link.entries.get(place=1)
    url = reverse("link-confirm-operating", args=[entry.pk])
    assert "Moving vents crush and shear" in text_of(as_("engineer").get(url))
    as_("engineer").post(url, {"position": at(link, "CP12").pk})
    entry.refresh_from_db()
    assert (entry.position.tag, entry.confirmed_how) == ("CP12", "operating")
    offered = as_("engineer").get(reverse("link-confirm-operating", args=[link.entries.get(place=2).pk]))
    assert [one.tag for one in offered.context["form"].fields["position"].queryset] == ["CP11"]


def test_one_position_is_confirmed_for_one_entry(town, link):
    set_list(link=link, rows=[ListedUnit(1), ListedUnit(2)])
    first, second = link.entries.order_by("place")
    confirm_by_operating(entry=first, position=at(link, "CP11"), by=town.people["engineer"])
    with pytest.raises(LinkRefused, match="CP11 is confirmed as place 1 of the list already"):
        confirm_by_operating(entry=second, position=at(link, "CP11"), by=town.people["engineer"])


def test_a_confirmation_goes_along_with_its_serial(town, link):
    set_list(link=link, rows=[ListedUnit(1, "TC-01", 11), ListedUnit(2, "TC-02", 12)])
    confirm_by_serial(link=link, serial="TC-01", by=town.people["engineer"])
    change = set_list(link=link, rows=[ListedUnit(1, "TC-02", 11), ListedUnit(2, "TC-01", 12)])
    assert not change.unconfirmed
    assert link.entries.get(place=2).position.tag == "CP11"
    assert link.entries.get(place=1).position is None


def test_another_serial_at_a_place_is_to_be_confirmed_anew_and_that_is_said(town, link):
    set_list(link=link, rows=[ListedUnit(1, "TC-01")])
    entry = confirm_by_serial(link=link, serial="TC-01", by=town.people["engineer"])
    change = set_list(link=link, rows=[ListedUnit(1, "TC-55")])
    assert "To be confirmed anew: CP11" in change.said
    assert link.entries.get().position is None
    gone = LinkEntry.history.get(id=entry.pk, history_type="-")
    assert gone.history_change_reason == "No longer in the panel's list"


def test_a_confirmation_is_taken_back_and_the_history_keeps_it(as_, town, link):
    set_list(link=link, rows=[ListedUnit(1, "TC-01")])
    entry = confirm_by_serial(link=link, serial="TC-01", by=town.people["engineer"])
    as_("office").post(reverse("link-entry-free", args=[entry.pk]))
    entry.refresh_from_db()
    assert (entry.position, entry.confirmed_how) == (None, "")
    assert entry.history.all()[1].position.tag == "CP11"
    assert entry.history.first().history_change_reason == "Confirmation taken back"


def test_a_link_that_has_call_points_is_not_removed(as_, link):
    page = as_("engineer").post(reverse("data-link-remove", args=[link.pk]), follow=True)
    assert "stays: 2 positions use it (CP11, CP12)" in text_of(page)
    assert DataLink.objects.filter(pk=link.pk).exists()
