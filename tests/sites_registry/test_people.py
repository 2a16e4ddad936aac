"""The office says what people may do; nobody locks the firm out."""

import pytest
from django.urls import reverse

from sites_registry.access import Role
from sites_registry.models import Person
from sites_registry.services.people import PersonNotChanged, change_person
from tests.builders import make_person


def form_of(person, **changes):
    form = {
        "full_name": person.full_name,
        "email": person.email,
        "phone": person.phone,
        "role": person.role,
        "competence": person.competence,
        "is_active": "on" if person.is_active else "",
        "seen_version": person.row_version,
    }
    return {**form, **changes}


def change(as_, person, **changes):
    return as_("office").post(reverse("person-update", args=[person.pk]), form_of(person, **changes))


def test_competence_is_recorded_with_its_date(as_, town):
    person = town.people["engineer"]
    response = change(as_, person, competence="Level 3 in smoke control", competence_expires_on="2027-05-01")
    assert response.status_code == 302
    person.refresh_from_db()
    assert person.competence == "Level 3 in smoke control"
    assert person.competence_expires_on.isoformat() == "2027-05-01"


def test_who_is_switched_off_is_out_at_once(as_, town, client):
    from django.test import Client

    theirs = Client()
    theirs.force_login(town.people["engineer"], backend="django.contrib.auth.backends.ModelBackend")
    assert theirs.get(reverse("home")).status_code == 200
    change(as_, town.people["engineer"], is_active="")
    assert theirs.get(reverse("home")).status_code == 302


def test_who_stops_being_a_manager_gives_up_the_buildings(as_, town):
    person = town.people["manager"]
    change(as_, person, role="engineer")
    person.refresh_from_db()
    assert (person.role, list(person.buildings.all())) == (Role.ENGINEER, [])


def test_a_manager_whose_name_changes_keeps_the_buildings(as_, town):
    person = town.people["manager"]
    change(as_, person, full_name="Mara Hollin-Wray")
    person.refresh_from_db()
    assert (person.full_name, list(person.buildings.all())) == ("Mara Hollin-Wray", [town.hall])


def test_nobody_changes_the_own_role_or_log_in(as_, town):
    office = town.people["office"]
    make_person(Role.OFFICE)  # so that it is not refused for being the last one
    change(as_, office, role="engineer", is_active="")
    office.refresh_from_db()
    assert (office.role, office.is_active) == (Role.OFFICE, True)
    with pytest.raises(PersonNotChanged, match="You cannot change your own role"):
        change_person(person=office, changed_by=office, role=Role.ENGINEER)


def test_the_last_office_person_stays(town):
    last, other = town.people["office"], make_person(Role.OFFICE)
    change_person(person=other, changed_by=last, is_active=False)
    for changes in ({"role": Role.ENGINEER}, {"is_active": False}):
        with pytest.raises(PersonNotChanged, match="Orla Finch is the last office person who can log in"):
            change_person(person=last, changed_by=other, **changes)
    last.refresh_from_db()
    assert (last.role, last.is_active) == (Role.OFFICE, True)


def test_an_e_mail_in_use_is_told_at_the_field(as_, town):
    response = change(as_, town.people["engineer"], email="MANAGER@tarn.example")
    assert response.status_code == 422
    assert "already" in response.content.decode()
    assert Person.objects.get(pk=town.people["engineer"].pk).email == "engineer@tarn.example"


def test_the_office_cannot_take_over_a_log_in_with_support_access_by_its_e_mail(as_, town):
    support = make_person(Role.OFFICE, email="support@tarn.example", is_staff=True, is_superuser=True)
    change(as_, support, email="office2@tarn.example")
    support.refresh_from_db()
    assert support.email == "support@tarn.example"


def test_the_second_of_two_people_is_told_and_loses_nothing(as_, town):
    person = town.people["engineer"]
    stale = form_of(person, phone="0200")
    change(as_, person, phone="0100")
    response = as_("office").post(reverse("person-update", args=[person.pk]), stale)
    page = response.content.decode()
    assert response.status_code == 422
    assert "0100" in page and "0200" in page
    assert Person.objects.get(pk=person.pk).phone == "0100"


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("role", "owner"),
        ("full_name", ""),
        ("full_name", "x" * 121),
        ("competence_expires_on", "31.02.2026"),
        ("phone", "\x00"),
        ("email", "not an e-mail"),
    ],
)
def test_nonsense_is_told_and_changes_nothing(as_, town, field, value):
    person = town.people["engineer"]
    before = Person.objects.values().get(pk=person.pk)
    response = change(as_, person, **{field: value})
    assert response.status_code == 422
    assert Person.objects.values().get(pk=person.pk) == before


def test_the_list_is_searched_by_name_and_e_mail(as_, town):
    page = as_("office").get(reverse("person-list"), {"text": "marsh"}).content.decode()
    assert "Edwin Marsh" in page and "Mara Hollin" not in page
    page = as_("office").get(reverse("person-list"), {"role": "manager"}).content.decode()
    assert "Mara Hollin" in page and "Edwin Marsh" not in page
