"""Clients and the people there."""

import pytest
from django.urls import reverse

from sites_registry.models import Client, Contact
from tests.builders import make_client, make_contact


def test_a_client_is_added_and_its_page_offers_a_building(as_, town):
    response = as_("office").post(
        reverse("client-create"), {"name": "Harbour Trust", "call_out_hours": "4"}, follow=True
    )
    page = response.content.decode()
    added = Client.objects.get(name="Harbour Trust")
    assert response.redirect_chain[-1][0] == added.get_absolute_url()
    assert f"{reverse('building-create')}?client={added.pk}" in page
    assert "4 h" in page


def test_a_name_in_use_is_told_whatever_its_case(as_, town):
    response = as_("office").post(reverse("client-create"), {"name": "QUAY housing"})
    assert response.status_code == 422
    assert "A client of this name exists." in response.content.decode()
    assert Client.objects.filter(name__iexact="quay housing").count() == 1


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("name", ""),
        ("name", "x" * 121),
        ("name", "a\x00b"),
        ("email", "nobody"),
        ("call_out_hours", "-1"),
        ("call_out_hours", "NaN"),
        ("call_out_hours", "1e999"),
        ("call_out_hours", "9" * 40),
        ("notes", "x" * 4001),
    ],
)
def test_nonsense_is_told_at_its_field_and_what_was_typed_is_kept(as_, town, field, value):
    typed = {"name": "Harbour Trust", "address": "1 Mole Road", **{field: value}}
    response = as_("office").post(reverse("client-create"), typed)
    assert response.status_code == 422
    assert list(response.context["form"].errors) == [field]
    assert "1 Mole Road" in response.content.decode()
    assert Client.objects.count() == 2


def test_the_search_finds_name_address_and_contact(as_, town):
    make_contact(make_client(name="Harbour Trust", address="1 Mole Road"), name="Ida Thorn", email="ida@tarn.example")
    for typed in ("harbour", "mole", "ida th", "IDA@"):
        page = as_("office").get(reverse("client-list"), {"text": typed}).content.decode()
        assert "Harbour Trust" in page and "Quay Housing" not in page, typed


def test_a_search_without_a_match_says_so(as_, town):
    assert "Nothing matches" in as_("office").get(reverse("client-list"), {"text": "zzz"}).content.decode()


def test_the_page_shows_contacts_buildings_and_notes_to_the_firm(as_, town):
    Client.objects.filter(pk=town.quay_housing.pk).update(notes="Pays late.")
    make_contact(town.quay_housing, name="Ida Thorn", function="facilities manager")
    page = as_("engineer").get(reverse("client-detail", args=[town.quay_housing.pk])).content.decode()
    for text in ("Pays late.", "Ida Thorn", "facilities manager", "Ropewalk Hall"):
        assert text in page
    assert "Mill House" not in page


def test_a_contact_is_added_changed_and_taken_out(as_, town):
    office = as_("office")
    office.post(reverse("contact-create", args=[town.quay_housing.pk]), {"name": "Ida Thorn"})
    contact = Contact.objects.get(name="Ida Thorn")
    assert contact.client == town.quay_housing
    office.post(reverse("contact-update", args=[contact.pk]), {"name": "Ida Thorn-Wray", "seen_version": 0})
    contact.refresh_from_db()
    assert contact.name == "Ida Thorn-Wray"
    office.post(reverse("contact-delete", args=[contact.pk]))
    assert not Contact.objects.exists()
    assert Contact.history.filter(name="Ida Thorn-Wray", history_type="-").exists()
