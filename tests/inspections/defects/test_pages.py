"""Defects: the list, worst first; one defect; what is changed is kept with its reason."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from inspections.models.defects import age_state
from tests import builders


@pytest.fixture
def defect(town):
    return builders.make_defect(town.hall, town.visit, position=town.detector, severity="degraded")


def change(client, defect, **fields):
    fields = {
        "severity": defect.severity,
        "description": defect.description,
        "interim_measure": "",
        "told_to": "",
        "told_at": "",
        "reason": "Looked at again.",
        "seen_version": defect.row_version,
        **fields,
    }
    return client.post(reverse("defect-update", args=[defect.pk]), fields)


def test_the_list_shows_the_worst_first(as_, town, defect):
    worse = builders.make_defect(town.hall, town.visit, severity="impaired", description="Zone stays shut.")
    page = as_("office").get(reverse("defect-list")).content.decode()
    assert page.index(worse.get_absolute_url()) < page.index(defect.get_absolute_url())


def test_the_list_shows_open_defects_unless_asked_otherwise(as_, town, defect):
    result = builders.make_result(builders.make_test_point(town.visit, town.detector))
    type(defect).objects.filter(pk=defect.pk).update(closed_at=timezone.now(), closed_by_result=result)
    client, url = as_("office"), reverse("defect-list")
    assert defect.get_absolute_url() not in client.get(url).content.decode()
    assert defect.get_absolute_url() in client.get(url, {"state": "closed"}).content.decode()
    assert defect.get_absolute_url() in client.get(url, {"state": "all"}).content.decode()


@pytest.mark.parametrize(
    ("query", "is_shown"),
    [
        ({"severity": "degraded"}, True),
        ({"severity": "advice"}, False),
        ({"age": "1"}, False),
        ({"building": "rope"}, True),
        ({"building": "mill"}, False),
    ],
)
def test_the_list_shows_what_is_asked_for(as_, town, defect, query, is_shown):
    page = as_("office").get(reverse("defect-list"), query).content.decode()
    assert (defect.get_absolute_url() in page) is is_shown


def test_a_manager_sees_defects_of_own_buildings_only(as_, town, defect):
    elsewhere = builders.make_defect(town.mill)
    page = as_("manager").get(reverse("defect-list")).content.decode()
    assert defect.get_absolute_url() in page and elsewhere.get_absolute_url() not in page


def test_a_change_is_kept_with_its_reason(as_, town, defect):
    change(as_("office"), defect, severity="impaired", reason="Second vent stays shut too.")
    page = as_("manager").get(defect.get_absolute_url()).content.decode()
    assert "degraded → impaired" in page and "Second vent stays shut too." in page and "Orla Finch" in page


def test_a_change_without_a_reason_is_refused(as_, town, defect):
    assert change(as_("office"), defect, severity="impaired", reason="").status_code == 422
    defect.refresh_from_db()
    assert defect.severity == "degraded"


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"told_to": "Porter", "told_at": "2999-01-01T10:00"}, "lies ahead"),
        ({"told_at": "2026-01-01T10:00"}, "nobody named"),
        ({"description": ""}, "This field is required"),
        ({"description": "x" * 601}, "at most 600 characters"),
        ({"severity": "awful"}, "not one of the available choices"),
    ],
)
def test_what_cannot_be_is_told_at_its_field(as_, town, defect, fields, sentence):
    response = change(as_("engineer"), defect, **fields)
    assert response.status_code == 422
    assert sentence in response.content.decode()


def test_telling_somebody_takes_the_time(as_, town, defect):
    change(as_("engineer"), defect, told_to="Porter")
    defect.refresh_from_db()
    assert defect.told_at is not None


def test_a_closed_defect_is_not_changed(as_, town, defect):
    result = builders.make_result(builders.make_test_point(town.visit, town.detector))
    type(defect).objects.filter(pk=defect.pk).update(closed_at=timezone.now(), closed_by_result=result)
    assert change(as_("office"), defect, severity="minor").status_code == 422
    defect.refresh_from_db()
    assert defect.severity == "degraded"


@pytest.mark.parametrize(
    ("severity", "days", "state"),
    [
        ("impaired", 0.9, "open"),
        ("impaired", 1.1, "overdue"),
        ("degraded", 27, "open"),
        ("degraded", 29, "overdue"),
        ("minor", 360, "open"),
        ("minor", 370, "overdue"),
        ("advice", 900, "open"),
    ],
)
def test_a_defect_is_overdue_by_its_severity(town, severity, days, state):
    # Common practice, handbook process.md §4: within a day, in weeks, by the next service.
    now = timezone.now()
    defect = builders.make_defect(town.hall, town.visit, severity=severity, found_at=now - timedelta(days=days))
    assert age_state(defect, now) == state


def test_the_page_shows_when_a_day_has_passed_since_it_was_found(as_, town, defect):
    page = as_("office").get(defect.get_absolute_url()).content.decode()
    assert "24 h after finding" in page and "SI 2022/547 reg. 7" in page


class TestEnglishHighRise:
    """The 24 h report to the fire authority (SI 2022/547 reg. 7) is told where it is due, and nowhere else."""

    def page(self, as_, town, defect, **facts):
        for name, value in {"use": "flats", "storeys": 9, **facts}.items():
            setattr(town.hall, name, value)
        town.hall.save()
        return as_("office").get(defect.get_absolute_url()).content.decode()

    def test_a_high_rise_in_england_is_told(self, as_, town, defect):
        page = self.page(as_, town, defect, country="GB-ENG")
        assert "High-rise residential building in England" in page and "24 h after finding" in page

    @pytest.mark.parametrize("facts", [{"country": "GB-SCT"}, {"country": "GB-ENG", "storeys": 2, "height_m": 6}])
    def test_a_building_elsewhere_or_low_is_not(self, as_, town, defect, facts):
        page = self.page(as_, town, defect, **facts)
        assert "fire authority" not in page and "24 h after finding" not in page

    def test_where_the_country_is_not_known_it_says_if_and_leads_to_the_record(self, as_, town, defect):
        page = self.page(as_, town, defect, country="")
        assert "If this building is in England, the responsible person" in page
        assert reverse("building-update", args=[town.hall.slug]) in page
