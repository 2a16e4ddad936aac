"""The support pages: for people with support access, to look and to mend a log-in."""

import pytest
from django.apps import apps
from django.contrib import admin
from django.urls import reverse

from sites_registry.access import Role
from sites_registry.models import Person
from tests.builders import (
    make_contact,
    make_handed_over,
    make_instrument,
    make_invitation,
    make_person,
    make_qualification,
    make_variation,
)

MODELS = [
    model
    for model in apps.get_app_config("sites_registry").get_models()
    if not model.__name__.startswith("Historical") and "_" not in model.__name__
]


@pytest.fixture
def support(client, town):
    person = make_person(Role.OFFICE, email="support@tarn.example", is_staff=True, is_superuser=True)
    client.force_login(person, backend="django.contrib.auth.backends.ModelBackend")
    return client


def page_of(model, page, *arguments):
    return reverse(f"admin:sites_registry_{model._meta.model_name}_{page}", args=arguments)


@pytest.fixture
def one_of_everything(town):
    make_contact(town.quay_housing)
    make_variation(town.hall)
    make_handed_over(town.job)
    make_invitation()
    make_instrument()
    make_qualification()


@pytest.mark.parametrize("model", MODELS, ids=lambda model: model.__name__)
def test_every_model_is_listed_and_shown_but_not_added_or_deleted(support, one_of_everything, model):
    assert admin.site.is_registered(model)
    assert support.get(page_of(model, "changelist")).status_code == 200
    assert support.get(page_of(model, "add")).status_code == 403
    if record := model._default_manager.first():
        assert support.get(page_of(model, "change", record.pk)).status_code == 200
        assert support.post(page_of(model, "delete", record.pk), {"post": "yes"}).status_code == 403
        assert model._default_manager.filter(pk=record.pk).exists()


def test_the_history_of_a_record_says_what_it_was(support, town):
    town.hall.name = "Ropewalk House"
    town.hall.save()
    assert support.get(page_of(type(town.hall), "history", town.hall.pk)).status_code == 200
    first = town.hall.history.filter(history_type="+").get()
    page = support.get(page_of(type(town.hall), "simple_history", town.hall.pk, first.pk)).content.decode()
    assert "Ropewalk Hall" in page


def test_support_switches_a_log_in_off_and_changes_nothing_else(support, town):
    engineer = town.people["engineer"]
    form = {"email": engineer.email, "full_name": "Somebody Else", "role": "office", "is_superuser": "on"}
    assert support.post(page_of(Person, "change", engineer.pk), form).status_code == 302
    engineer.refresh_from_db()
    assert (engineer.is_active, engineer.full_name, engineer.role, engineer.is_superuser, engineer.row_version) == (
        False,
        "Edwin Marsh",
        Role.ENGINEER,
        False,
        1,
    )


def test_support_does_not_switch_off_itself(support, town):
    own = Person.objects.get(email="support@tarn.example")
    support.post(page_of(Person, "change", own.pk), {"email": own.email})
    own.refresh_from_db()
    assert own.is_active and own.is_staff


def test_the_hash_of_a_token_is_not_shown(support, town):
    invitation = make_invitation()
    page = support.get(page_of(type(invitation), "change", invitation.pk)).content.decode()
    assert invitation.email in page and invitation.token_hash not in page
