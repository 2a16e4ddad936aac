"""The list of buildings: the same answers as on the page of each, as marks, for the rows that are shown."""

import pytest
from django.urls import reverse

from inspections.models import Outcome, VisitKind
from inspections.overview import answers
from inspections.overview.marks import limits_of, marks_of
from sites_registry.models import Building
from tests import builders
from tests.zones.installations import make_installation
from zones.design_check.checked import checked_building
from zones.models import DeviceKind

pytestmark = pytest.mark.django_db


@pytest.fixture
def building():
    return builders.make_building()


def marks(building):
    return marks_of([building])[building.pk]


def page_says(building):
    """What the page of the building says of its last test."""
    test = answers.last_test(building.visits.all())
    return answers.proven(test, answers.not_tested_lately(building.positions.all())).state


def test_an_empty_building_has_nothing_fitted_measured_or_tested(building):
    found = marks(building)
    assert (found.fitted, found.limits, found.tested) == (("missing", "no position"), None, ("untested", "not tested"))


def test_units_are_counted_against_the_positions_that_have_a_place_for_one(building):
    builders.fit(builders.make_position(building))
    assert marks(building).fitted == ("fitted", "1 of 1")
    builders.make_position(building)
    builders.make_position(building, DeviceKind.JUNCTION_BOX)
    assert marks(building).fitted == ("missing", "1 of 2")


def read(visit, *readings):
    """Readings of a finished visit whose upper limit is 60."""
    for number, reading in enumerate(readings):
        point = builders.make_test_point(visit, code=f"voltage-{number}", upper_limit=60)
        builders.make_result(point, visit.engineer, reading=reading, seen_at=visit.finished_at)


def test_of_what_is_within_limits_the_list_says_at_once_only_that_readings_are_not(building):
    read(builders.make_finished_visit(building), 50, 75)
    assert marks(building).limits == ("fail", "1 outside")
    builders.make_finished_visit(building, finished_at=builders.days_ago(1))
    assert marks(building).limits is None


def of_all():
    return limits_of(Building.objects.all())


def page_says_of_limits(building):
    """What the page of the building says of design and readings."""
    return answers.within_limits(checked_building(building), answers.last_test(building.visits.all())).state


def test_design_and_readings_of_a_list_are_marked_as_the_page_of_each_building_says_them():
    nothing, failing, designed, read_well, read_ill = (builders.make_building() for _ in range(5))
    made = make_installation(failing)
    for building in (designed, read_well, read_ill):
        make_installation(building, models=made.models)
    failing.cables.update(length_m=900)
    read(builders.make_finished_visit(read_well), 50)
    read(builders.make_finished_visit(read_ill), 50, 75)
    found = of_all()
    assert found.pop(failing.slug)[0] == "fail"
    assert found == {
        nothing.slug: ("not_known", "no panel"),
        designed.slug: ("not_known", "nothing measured"),
        read_well.slug: ("meets", "design and readings within the entered limits"),
        read_ill.slug: ("fail", "1 outside"),
    }
    for building in Building.objects.all():
        assert of_all()[building.slug][0] == page_says_of_limits(building)


def asked_of(client, *slugs):
    return client.get(reverse("building-limits"), {"building": slugs})


def test_the_marks_are_given_for_the_buildings_that_are_asked_for_and_that_the_person_sees(as_, town):
    other = builders.make_building()
    assert set(asked_of(as_("office"), other.slug, "nowhere", "\0").json()) == {other.slug}
    assert set(asked_of(as_("manager"), other.slug, town.hall.slug).json()) == {town.hall.slug}


def test_a_mark_is_given_with_its_words(as_, town):
    mark = asked_of(as_("office"), builders.make_building().slug).json()
    assert "no panel" in "".join(mark.values()) and 'class="state unknown"' in "".join(mark.values())


def test_more_buildings_than_a_page_has_are_refused_with_their_number(as_, town):
    answer = asked_of(as_("office"), *(f"building-{number}" for number in range(51)))
    assert answer.status_code == 400
    assert answer.json()["sentence"] == "51 marks are asked for; ask for 50 at most."


def test_without_script_the_list_leads_to_the_design_check_and_marks_nothing_as_good(as_, town):
    page = as_("office").get(reverse("building-list")).content.decode()
    cell = page.split(f'data-limits-of="{town.hall.slug}"')[1].split("</td>")[0]
    assert reverse("building-design-check", args=[town.hall.slug]) in cell
    assert 'class="state quiet"' in cell


def test_the_last_test_is_marked_as_the_page_of_the_building_says_it(building):
    visit = builders.make_finished_visit(building)
    assert (marks(building).tested[0], page_says(building)) == ("pass", "pass")
    point = builders.make_test_point(visit, code="opening")
    builders.make_result(point, visit.engineer, outcome=Outcome.FAIL, seen_at=visit.finished_at)
    assert (marks(building).tested, page_says(building)) == (("fail", "1 point failed"), "fail")
    remedial = VisitKind.REMEDIAL
    builders.make_finished_visit(building, kind=remedial, finished_at=builders.days_ago(2))
    assert (marks(building).tested[0], page_says(building)) == ("fail", "fail")
    builders.make_finished_visit(building, finished_at=builders.days_ago(1))
    assert (marks(building).tested[0], page_says(building)) == ("pass", "pass")


def test_a_position_that_nobody_tested_for_a_year_is_marked(building):
    builders.make_finished_visit(building)
    builders.make_position(building)
    assert marks(building).tested == ("not_accessible", "1 not in 12 months")


def test_one_building_is_not_marked_by_what_another_has(building):
    other = builders.make_building()
    builders.fit(builders.make_position(other))
    builders.make_finished_visit(other)
    found = marks_of([building, other])
    assert found[building.pk] == marks(building)
    assert found[other.pk].tested[0] == "pass"


def test_the_words_of_a_mark_are_there_to_be_read_out(as_, town):
    page = as_("office").get(reverse("building-list")).content.decode()
    (words,) = {one.fitted[1] for one in marks_of([town.hall]).values()}
    assert words in page
