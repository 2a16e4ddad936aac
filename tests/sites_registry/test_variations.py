"""Variations stand until they are removed; nobody takes them out of sight."""

import pytest
from django.urls import reverse
from django.utils import timezone

from sites_registry.models import Variation
from tests.builders import make_job, make_variation

TYPED = {"what": "No vent over stair 2.", "why": "Listed roof.", "agreed_by": "Fire officer", "agreed_on": "2025-04-01"}


def test_a_variation_is_added_and_stands(as_, town):
    as_("engineer").post(reverse("variation-create", args=["ropewalk-hall"]), {**TYPED, "job": town.job.pk})
    variation = Variation.objects.standing().get()
    assert (variation.building, variation.job, variation.what) == (town.hall, town.job, "No vent over stair 2.")


def test_a_job_of_another_building_is_not_a_choice(as_, town):
    response = as_("office").post(
        reverse("variation-create", args=["ropewalk-hall"]), {**TYPED, "job": make_job(town.mill).pk}
    )
    assert response.status_code == 422 and not Variation.objects.exists()


@pytest.mark.parametrize(("field", "value"), [("agreed_on", "2999-01-01"), ("what", ""), ("why", "x" * 401)])
def test_nonsense_is_told_at_its_field(as_, town, field, value):
    response = as_("office").post(reverse("variation-create", args=["ropewalk-hall"]), {**TYPED, field: value})
    assert response.status_code == 422
    assert list(response.context["form"].errors) == [field]


def test_removed_it_no_longer_stands_but_stays_in_sight(as_, town):
    variation = make_variation(town.hall)
    today = timezone.localdate().isoformat()
    as_("office").post(reverse("variation-end", args=[variation.pk]), {"removed_on": today, "seen_version": 0})
    assert not Variation.objects.standing().exists()
    assert variation.what in as_("office").get(reverse("variation-list", args=["ropewalk-hall"])).content.decode()


@pytest.mark.parametrize(
    ("removed_on", "sentence"),
    [
        ("2024-05-01", "1 May 2024 is before the day on which it was agreed."),
        ("2999-01-01", "1 Jan 2999 is still to come"),
        ("", "This field is required."),
    ],
)
def test_it_cannot_end_before_it_was_agreed_nor_in_days_to_come(as_, town, removed_on, sentence):
    variation = make_variation(town.hall)  # agreed on 2024-05-02
    response = as_("office").post(
        reverse("variation-end", args=[variation.pk]), {"removed_on": removed_on, "seen_version": 0}
    )
    assert response.status_code == 422
    assert sentence in response.content.decode()
    assert Variation.objects.standing().exists()


def test_the_manager_reads_them_without_the_buttons(as_, town):
    make_variation(town.hall)
    page = as_("manager").get(reverse("variation-list", args=["ropewalk-hall"])).content.decode()
    assert "Call point at the second stair left out." in page
    assert "Remove" not in page and "Add a variation" not in page
