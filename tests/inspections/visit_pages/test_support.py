"""Support pages of visits, defects and protocols: looked up, never added or deleted, results never changed."""

import pytest
from django.urls import reverse

from inspections.models import Defect, Protocol, Result, TestPoint, Visit
from tests import builders


@pytest.fixture
def support(client, town):
    builders.make_result(builders.make_test_point(town.visit, town.detector))
    builders.make_defect(town.hall, town.visit)
    person = builders.make_person(is_staff=True, is_superuser=True)
    client.force_login(person, backend="django.contrib.auth.backends.ModelBackend")
    return client


def page_of(model, page, *arguments):
    return reverse(f"admin:inspections_{model._meta.model_name}_{page}", args=arguments)


@pytest.mark.parametrize("model", [Visit, Defect, Protocol, TestPoint, Result], ids=lambda model: model.__name__)
def test_a_record_is_listed_and_shown_but_not_added_or_deleted(support, model):
    record = model._default_manager.first()
    assert support.get(page_of(model, "changelist")).status_code == 200
    assert support.get(page_of(model, "change", record.pk)).status_code == 200
    assert support.get(page_of(model, "add")).status_code == 403
    assert support.post(page_of(model, "delete", record.pk), {"post": "yes"}).status_code == 403
    assert model._default_manager.filter(pk=record.pk).exists()


@pytest.mark.parametrize("model", [Protocol, TestPoint, Result], ids=lambda model: model.__name__)
def test_what_was_recorded_is_not_changed_by_support(support, model):
    record = model._default_manager.first()
    assert support.post(page_of(model, "change", record.pk), {"title": "x", "outcome": "fail"}).status_code == 403
