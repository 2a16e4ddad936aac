"""A new register: its office finds the first steps as a list until they are done, instead of rows of zeros."""

import re

import pytest
from django.urls import reverse

from sites_registry.access import Role
from sites_registry.models import Firm
from tests import builders


@pytest.fixture
def home(client, db):
    """What the office of a new register sees on its start page."""
    client.force_login(builders.make_person(Role.OFFICE), backend="django.contrib.auth.backends.ModelBackend")
    return lambda: client.get("/").content.decode()


def states(html):
    """The state of each step by its title."""
    rows = re.findall(r'<div class="step-head"><h2>\d\. (.*?)</h2>.*?</span>([a-z ]+)</span>', html)
    return {re.sub("<.*?>", "", title): state for title, state in rows}


def next_link(html):
    """Where the marked step leads."""
    return re.search(
        r'class="step is-next".*?<div class="actions"><a class="button small" href="(.*?)"', html, re.S
    ).group(1)


def name_the_firm():
    Firm.objects.update_or_create(pk=1, defaults={"name": "Tarn Vents"})


def test_an_empty_register_shows_five_steps_and_no_zeros(home):
    html = home()
    assert states(html) == {
        "The firm": "to do",
        "People": "to do",
        "Client and building": "to do",
        "Devices": "to do",
        "First visit": "to do",
    }
    assert "figure-box" not in html and "Plan a visit" not in html


def test_the_next_step_is_marked_and_leads_back_to_this_page(home):
    assert next_link(home()) == f"{reverse('firm-update')}?next=/"
    name_the_firm()
    assert next_link(home()) == f"{reverse('invitation-create')}?role=engineer&amp;next=/"
    builders.make_person(Role.ENGINEER)
    assert next_link(home()) == f"{reverse('client-create')}?next=/"


def test_the_engineers_invitation_begins_the_second_step_and_the_log_in_ends_it(home):
    builders.make_invitation(role=Role.ENGINEER)
    html = home()
    assert states(html)["People"] == "incomplete" and "invitation is not taken up yet" in html
    builders.make_person(Role.ENGINEER)
    assert states(home())["People"] == "done"


def test_the_form_to_invite_an_engineer_is_filled_in_so(home, client):
    html = client.get(reverse("invitation-create"), {"role": "engineer"}).content.decode()
    ticked = re.findall(r'<input type="radio"[^>]*checked[^>]*>', html)
    assert len(ticked) == 1 and 'value="engineer"' in ticked[0]


def test_a_client_without_a_building_is_half_a_step(home):
    name_the_firm()
    builders.make_person(Role.ENGINEER)
    builders.make_client()
    html = home()
    assert states(html)["Client and building"] == "incomplete" and "no building yet" in html
    assert next_link(html) == f"{reverse('building-create')}?next=/"


def main_action(html):
    return re.search(r'<a class="button primary" href="([^"]*)"', html).group(1)


def test_the_one_main_action_is_the_next_step(home):
    """Whoever is invited answers in own time: the office is not held up by it."""
    name_the_firm()
    builders.make_invitation(role=Role.ENGINEER)
    builders.make_client()
    assert main_action(home()) == f"{reverse('building-create')}?next=/"
    building = builders.make_building()
    assert main_action(home()) == f"{reverse('building-set-up', args=[building.slug])}?next=/"
    builders.make_position(building)
    builders.make_visit(building)
    assert main_action(home()) == reverse("visit-create")


def test_with_the_first_building_the_steps_stand_above_what_needs_the_office(home):
    building = builders.make_building()
    html = home()
    assert html.index("First steps") < html.index("Buildings that need somebody")
    assert "figure-box" not in html and "Every finished visit" not in html
    assert states(html)["Client and building"] == "done"
    assert f"{reverse('building-set-up', args=[building.slug])}?next=/" in html


def test_once_all_is_done_the_list_is_gone(home):
    name_the_firm()
    engineer, building = builders.make_person(Role.ENGINEER), builders.make_building()
    panel = builders.make_panel(building)
    builders.make_position(building, panel=panel)
    html = home()
    assert list(states(html).values()) == ["done", "done", "done", "done", "to do"]
    assert f"{reverse('visit-create')}?building={building.slug}&amp;next=/" in html
    builders.make_visit(building, engineer=engineer)
    assert states(home()) == {} and "First steps" not in home()


def test_the_steps_cost_one_query_whatever_is_there(client, db, django_assert_num_queries):
    client.force_login(builders.make_person(), backend="django.contrib.auth.backends.ModelBackend")
    with django_assert_num_queries(3):  # session, person, the steps
        client.get("/")
    for _ in range(5):
        builders.make_client()
    with django_assert_num_queries(3):
        client.get("/")


def test_an_engineer_is_told_that_the_register_is_empty_and_where_the_calculator_is(client, db):
    client.force_login(builders.make_person(Role.ENGINEER), backend="django.contrib.auth.backends.ModelBackend")
    html = client.get("/").content.decode()
    assert "The register is empty: no building is entered yet." in html
    assert f'href="{reverse("calculator")}">Calculator</a></p>' in html


def test_a_manager_without_a_building_reads_how_the_firm_is_reached(client, db):
    Firm.objects.update_or_create(pk=1, defaults={"name": "Tarn Vents", "phone": "0000 555 001"})
    client.force_login(builders.make_person(Role.MANAGER), backend="django.contrib.auth.backends.ModelBackend")
    html = client.get("/").content.decode()
    assert "No building is assigned to you yet" in html and "Tarn Vents" in html and "0000 555 001" in html


def test_a_nameless_firm_is_not_named(client, db):
    client.force_login(builders.make_person(Role.MANAGER), backend="django.contrib.auth.backends.ModelBackend")
    assert "The contracting firm" not in client.get("/").content.decode()
