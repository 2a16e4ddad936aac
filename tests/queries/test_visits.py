"""Pages of visits, field work, defects and protocols cost the same number of queries for few rows and for many."""

import pytest
from django.db import connection, transaction
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from inspections.photos.keeping import withdraw_photo
from inspections.protocols.edits import draft_next_version, install_standard_protocols
from inspections.visits.edits import add_positions, start_visit
from tests import builders
from zones.models import DeviceKind, Position

pytestmark = pytest.mark.django_db


def fill(town, count, prefix):
    """Add `count` visits, positions with results and last year's readings, open and closed defects, protocols."""
    engineer = town.people["engineer"]
    for number in range(count):
        builders.make_visit(town.hall, engineer=engineer)
        position = builders.make_position(town.hall, "manual_call_point", storey=f"{number}")
        builders.fit(position)
        add_positions(visit=town.started)
        point = town.started.test_points.get(position=position)
        builders.make_result(point, recorded_by=builders.make_person("engineer"), outcome="remark", remark="Dusty.")
        earlier = builders.make_test_point(town.earlier, position)
        builders.make_result(earlier, reading=5, seen_at=builders.days_ago(300))
        for visit in (town.earlier, town.started):
            builders.make_defect(town.hall, visit, position=position, found_by=engineer)
            builders.make_defect(town.hall, visit, position=town.call_point, found_by=engineer)
        for of in ({"test_point": point}, {"position": position}, {"defect": town.defect}, {}):
            builders.make_photo(town.started, **of)
        withdraw_photo(photo=builders.make_photo(town.started), by=builders.make_person(), reason="Dark")
        # Further checks at one position.
        extra = builders.make_test_point(town.started, town.call_point, code=f"{prefix}-extra-{number}")
        builders.make_result(extra, recorded_by=builders.make_person("engineer"))
        builders.make_test_point(town.started, town.call_point, code=f"{prefix}-open-{number}")
        builders.make_setting(town.panel)
        panel = builders.make_panel(town.hall)
        for answer in ("as_left", "differs"):
            found = {"found": "2"} if answer == "differs" else {}
            builders.make_setting_found(
                town.started,
                panel,
                key=f"setting-{number}{prefix}-value-{answer}",
                answer=answer,
                recorded_by=builders.make_person("engineer"),
                **found,
            )
        town.defect.description = f"{prefix} {number}"
        town.defect.save()
        check = town.draft.checks.first()
        check.pk, check.code, check._state.adding = None, f"{prefix}-copy-{number}", True
        check.save()


def two_rows(town):
    fill(town, 2, "few")


def ten_rows_more(town):
    fill(town, 10, "more")


@pytest.fixture
def busy_town(town, shared):
    return shared.built(visits_under_way, town)


def visits_under_way(town):
    install_standard_protocols()
    town.started = start_visit(visit=town.visit, started_by=town.people["engineer"])
    town.earlier = builders.make_visit(
        town.hall, state="finished", started_at=builders.days_ago(300), finished_at=builders.days_ago(300)
    )
    town.defect = builders.make_defect(town.hall, town.started, position=town.detector)
    town.draft = draft_next_version(protocol=town.protocol)
    return town


PAGES = {
    "visit-list": ("office", lambda town: []),
    "visit-detail": ("office", lambda town: [town.started.pk]),
    "visit-finish": ("engineer", lambda town: [town.started.pk]),
    "visit-field": ("engineer", lambda town: [town.started.pk]),
    "visit-find": ("engineer", lambda town: [town.started.pk]),
    "visit-field-position": ("engineer", lambda town: [town.started.pk, town.call_point.pk]),
    "visit-settings": ("engineer", lambda town: [town.started.pk, town.panel.pk]),
    "visit-report-spreadsheet": ("engineer", lambda town: [town.started.pk]),
    "defect-list": ("manager", lambda town: []),
    "defect-detail": ("office", lambda town: [town.defect.pk]),
    "protocol-list": ("office", lambda town: []),
    "protocol-detail": ("office", lambda town: [town.draft.pk]),
}


def queries_of(client, url):
    with CaptureQueriesContext(connection) as queries:
        assert client.get(url).status_code == 200
    return [query["sql"] for query in queries]


@pytest.mark.parametrize("url_name", PAGES)
def test_page_costs_the_same_for_two_rows_and_for_twelve(as_, shared, busy_town, url_name):
    person, arguments = PAGES[url_name]
    url = reverse(url_name, args=arguments(busy_town))
    shared.built(two_rows, busy_town)
    with transaction.atomic():
        shared.built(ten_rows_more, busy_town)
        many = queries_of(as_(person), url)
        transaction.set_rollback(True)
    few = queries_of(as_(person), url)
    assert len(many) == len(few), "\n".join(sql[:150] for sql in many)
    # The end of a visit reads the whole record of the building, for what stands of it.
    # The end asks what stands of the record; a position tells what is known of it, by the rules of its panel too.
    most = {"visit-finish": 60, "visit-field-position": 28, "visit-detail": 24}.get(url_name, 23)
    assert len(many) <= most


def test_the_field_form_of_three_hundred_positions_reads_the_walk_in_one_query(as_, busy_town):
    Position.objects.bulk_create(
        Position(
            building=busy_town.hall,
            kind=DeviceKind.MANUAL_CALL_POINT,
            tag=f"CP-{i}",
            tag_key=f"CP-{i:08}",
            storey=str(i // 60),
            walking_order=i,
        )
        for i in range(300)
    )
    add_positions(visit=busy_town.started)
    url = reverse("visit-field-position", args=[busy_town.started.pk, busy_town.call_point.pk])
    queries = queries_of(as_("engineer"), url)
    assert len(queries) <= 28  # 10 of the walk and the tests, the others of what is known at the position
