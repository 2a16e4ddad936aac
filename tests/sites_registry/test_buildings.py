"""Buildings: registered with or without their client, found again, managed by named people."""

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse

from sites_registry.models import Building, Client
from sites_registry.services.buildings import propose_slug
from tests.builders import make_building, make_client, make_person


def typed(town, **changes):
    return {
        "client": town.quay_housing.pk,
        "name": "Net Loft",
        "use": "flats",
        "inspection_interval_months": "12",
        **changes,
    }


def add(as_, town, **changes):
    return as_("office").post(reverse("building-create"), typed(town, **changes))


def test_a_building_gets_its_address_from_its_name(as_, town):
    response = add(as_, town)
    assert response.url == reverse("building-detail", args=["net-loft"])
    assert Building.objects.get(slug="net-loft").client == town.quay_housing


def test_an_address_may_be_typed(as_, town):
    add(as_, town, slug="loft")
    assert Building.objects.get(name="Net Loft").slug == "loft"


@pytest.mark.parametrize(
    ("name", "slug"),
    [
        ("Ropewalk Hall", "ropewalk-hall-2"),
        ("New", "new-2"),
        ("Ångström’s Häuser", "angstroms-hauser"),
        ("Школа", "building"),
        ("x" * 120, "x" * 80),
        ("---", "building"),
    ],
)
def test_a_proposed_address_is_free_and_readable(town, name, slug):
    assert propose_slug(name) == slug


def test_proposals_go_on_counting(town):
    make_building(slug="ropewalk-hall-2")
    assert propose_slug("Ropewalk Hall") == "ropewalk-hall-3"


def test_the_address_of_a_page_of_the_register_is_refused(as_, town):
    response = add(as_, town, slug="new")
    assert response.status_code == 422
    assert "‘new’ is a page of the register" in response.content.decode()


def test_after_saving_a_job_and_the_set_up_are_offered(as_, town):
    page = as_("office").post(reverse("building-create"), typed(town), follow=True).content.decode()
    assert f"{reverse('job-create')}?building=net-loft" in page
    assert reverse("building-set-up", args=["net-loft"]) in page


def test_the_country_is_asked_and_may_stay_unknown(as_, town):
    add(as_, town, country="GB-SCT")
    add(as_, town, name="Sail Loft")
    countries = {building.name: building.country for building in Building.objects.filter(name__endswith=" Loft")}
    assert countries == {"Net Loft": "GB-SCT", "Sail Loft": ""}


def test_a_country_that_is_not_in_the_list_is_refused_by_form_and_database(as_, town):
    response = add(as_, town, country="Atlantis")
    assert response.status_code == 422 and "Atlantis is not one of the available choices" in response.content.decode()
    with pytest.raises(IntegrityError, match="building_country_is_one_of_the_list"), transaction.atomic():
        Building.objects.filter(pk=town.hall.pk).update(country="Atlan")


def test_a_client_not_yet_registered_comes_with_the_building(as_, town):
    add(as_, town, client="", new_client_name="Harbour Trust")
    assert Building.objects.get(name="Net Loft").client.name == "Harbour Trust"


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"client": ""}, "Choose a client, or type a new one below."),
        ({"new_client_name": "Harbour Trust"}, "Choose Quay Housing from the list or type a new client, not both."),
        ({"client": "", "new_client_name": "mill TRUST"}, "Mill Trust is registered already."),
        ({"client": "999999"}, "not one of the available choices"),
        ({"client": "9" * 30}, "not one of the available choices"),
        ({"client": "", "new_client_name": "x" * 121}, "at most 120 characters"),
        ({"client": "", "new_client_name": "Harbour Trust", "storeys": "0"}, "greater than or equal to 1"),
    ],
)
def test_without_one_right_client_neither_client_nor_building_is_stored(as_, town, changes, sentence):
    response = add(as_, town, **changes)
    assert response.status_code == 422
    assert sentence in response.content.decode()
    assert (Building.objects.count(), Client.objects.count()) == (2, 2)


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("storeys", "201"),
        ("storeys", "two"),
        ("height_m", "NaN"),
        ("height_m", "1e999"),
        ("height_m", "-3"),
        ("height_m", "12.34"),
        ("inspection_interval_months", "0"),
        ("inspection_interval_months", ""),
        ("use", "castle"),
        ("slug", "with space"),
        ("slug", "ropewalk-hall"),
        ("address", "x" * 401),
        ("name", "\x00"),
    ],
)
def test_nonsense_is_told_at_its_field_and_what_was_typed_is_kept(as_, town, field, value):
    response = add(as_, town, **{"responsible_person": "Ida Thorn", field: value})
    assert response.status_code == 422
    assert list(response.context["form"].errors) == [field]
    assert "Ida Thorn" in response.content.decode()
    assert Building.objects.count() == 2


def test_one_client_has_one_building_of_a_name(as_, town):
    response = add(as_, town, name="ROPEWALK hall")
    assert response.status_code == 422
    assert "This client has a building named ROPEWALK hall already." in response.content.decode()
    assert add(as_, town, name="ROPEWALK hall", client=town.mill_trust.pk).status_code == 302


def test_a_second_click_makes_no_second_building(as_, town):
    key = {"submission_key": "5f0c2b1e-0000-4000-8000-000000000002"}
    first, second = add(as_, town, **key), add(as_, town, **key)
    assert second.url == first.url
    assert Building.objects.filter(name="Net Loft").count() == 1


def test_changing_the_particulars_keeps_the_address(as_, town):
    url = reverse("building-update", args=["ropewalk-hall"])
    response = as_("office").post(url, typed(town, name="Ropewalk House", slug="", seen_version=0))
    assert response.status_code == 302
    town.hall.refresh_from_db()
    assert (town.hall.name, town.hall.slug) == ("Ropewalk House", "ropewalk-hall")


def test_the_second_of_two_people_is_told_and_loses_nothing(as_, town):
    url = reverse("building-update", args=["ropewalk-hall"])
    as_("office").post(url, typed(town, name="Ropewalk Hall", storeys="4", seen_version=0))
    response = as_("office").post(url, typed(town, name="Ropewalk Hall", storeys="5", seen_version=0))
    assert response.status_code == 422
    assert [
        (row["stored"], row["yours"]) for row in response.context["form"].stale_fields if row["label"] == "Storeys"
    ] == [(4, 5)]
    town.hall.refresh_from_db()
    assert town.hall.storeys == 4


def test_the_list_is_filtered_by_text_client_and_use(as_, town):
    make_building(town.mill_trust, name="Net Loft", use="school", address="Salt Lane")
    for query in ({"text": "salt"}, {"use": "school"}, {"text": "net l", "client": town.mill_trust.pk}):
        page = as_("office").get(reverse("building-list"), query).content.decode()
        assert "Net Loft" in page and "Ropewalk Hall" not in page, query


@pytest.mark.parametrize("query", [{"client": "x"}, {"client": "999999"}, {"use": "castle"}, {"text": "\x00"}])
def test_nonsense_in_a_filter_is_told(as_, town, query):
    response = as_("office").get(reverse("building-list"), query)
    assert response.status_code == 200
    assert 'class="message danger"' in response.content.decode()


def test_a_manager_lists_and_filters_own_buildings_only(as_, town):
    page = as_("manager").get(reverse("building-list")).content.decode()
    assert "Ropewalk Hall" in page
    assert "Mill House" not in page and "Mill Trust" not in page
    assert "Add a building" not in page


def test_a_manager_without_a_building_is_told_whom_to_ask(as_, town):
    town.hall.managers.clear()
    assert "Ask the office that invited you" in as_("manager").get(reverse("building-list")).content.decode()


def test_a_manager_is_assigned_and_sees_the_building(as_, town):
    stranger = town.people["stranger"]
    as_("office").post(reverse("building-managers", args=["ropewalk-hall"]), {"person": stranger.pk})
    assert as_("stranger").get(reverse("building-detail", args=["ropewalk-hall"])).status_code == 200


def test_a_manager_who_is_removed_sees_the_building_no_more(as_, town):
    as_("office").post(reverse("building-manager-remove", args=["ropewalk-hall", town.people["manager"].pk]))
    assert as_("manager").get(reverse("building-detail", args=["ropewalk-hall"])).status_code == 404
    assert town.hall.history.first().managers.count() == 0


@pytest.mark.parametrize("who", ["engineer", "manager"])
def test_only_managers_not_yet_assigned_can_be_assigned(as_, town, who):
    url = reverse("building-managers", args=["ropewalk-hall"])
    response = as_("office").post(url, {"person": town.people[who].pk})
    assert response.status_code == 422
    assert list(town.hall.managers.all()) == [town.people["manager"]]


def test_who_is_switched_off_cannot_be_assigned(as_, town):
    gone = make_person("manager", is_active=False)
    response = as_("office").post(reverse("building-managers", args=["ropewalk-hall"]), {"person": gone.pk})
    assert response.status_code == 422


def test_the_client_of_the_address_is_chosen_beforehand(as_, town):
    client = make_client()
    page = as_("office").get(reverse("building-create"), {"client": client.pk}).content.decode()
    assert f'<option value="{client.pk}" selected>' in page


@pytest.mark.parametrize("nonsense", ["x", "-1", "1e9", "9" * 40, "²"])
def test_a_client_that_is_nonsense_is_passed_over(as_, town, nonsense):
    assert as_("office").get(reverse("building-create"), {"client": nonsense}).status_code == 200
