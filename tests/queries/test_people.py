"""People and invitations: a long list costs what a short one costs."""

from django.urls import reverse

from sites_registry.access import Role
from tests.builders import make_building, make_invitation, make_person


def test_people_list(as_, town, django_assert_num_queries):
    office = as_("office")
    with django_assert_num_queries(5):  # session, person, open invitations, count for the pager, people
        office.get(reverse("person-list"))
    for _ in range(30):
        make_person(Role.MANAGER)
    with django_assert_num_queries(5):
        office.get(reverse("person-list"))


def test_person_page(as_, town, django_assert_num_queries):
    office = as_("office")
    url = reverse("person-update", args=[town.people["manager"].pk])
    with django_assert_num_queries(5):  # session, person, the person to change, the stored name, buildings
        office.get(url)
    for _ in range(10):
        make_building(managers=[town.people["manager"]])
    with django_assert_num_queries(5):
        office.get(url)


def test_invitation_list(as_, town, django_assert_num_queries):
    office = as_("office")
    make_invitation(town.people["office"], buildings=[town.hall])
    with django_assert_num_queries(5):  # session, person, count for the pager, invitations, their buildings
        office.get(reverse("invitation-list"))
    for _ in range(20):
        make_invitation(buildings=[town.hall, town.mill])
    with django_assert_num_queries(5):
        office.get(reverse("invitation-list"))


def test_a_page_past_the_end_or_of_nonsense_shows_rows_instead_of_an_error(as_, town):
    for page in ("999", "0", "-1", "two", "1e999"):
        response = as_("office").get(reverse("person-list"), {"page": page, "sort": "nonsense"})
        assert response.status_code == 200 and "Edwin Marsh" in response.content.decode()
