"""Find anything from one box, and nothing that is not yours."""

import pytest

from tests import builders


def find(as_, name, text):
    return as_(name).get("/find/", {"q": text})


@pytest.mark.parametrize("text", ["ropewalk", "Quay", "SD", "AK-00"])
def test_the_office_finds_by_building_client_tag_and_part_of_a_serial(as_, town, text):
    html = find(as_, "office", text).content.decode()
    assert "Nothing found" not in html and "plain-list" in html


def test_the_office_finds_by_part_of_a_certificates_number(as_, town):
    year_and_half_a_number = town.certificate.number[:7]
    html = find(as_, "office", year_and_half_a_number).content.decode()
    assert "Nothing found" not in html and "plain-list" in html


def test_the_only_exact_hit_opens_at_once(as_, town):
    assert find(as_, "office", "ak-0001").url == town.unit.get_absolute_url()


def test_a_job_is_found_by_its_number(as_, town):
    assert find(as_, "office", town.job.number).url == town.job.get_absolute_url()


def test_a_manager_finds_own_building_and_not_anothers(as_, town):
    assert "Ropewalk Hall" in find(as_, "manager", "hall").content.decode()
    html = find(as_, "manager", "Mill").content.decode()
    assert "Nothing found" in html


def test_a_manager_does_not_find_a_unit_of_another_building(as_, town):
    position = builders.make_position(town.mill, tag="SD7")
    builders.fit(position, builders.make_unit(serial="MILL-77"))
    assert "Nothing found" in find(as_, "manager", "MILL-77").content.decode()
    assert "Nothing found" not in find(as_, "stranger", "MILL-7").content.decode()


@pytest.mark.parametrize("text", ["", "   ", "%", "'; drop", "x" * 500, "\0", "999999999999999999999999"])
def test_any_text_gets_an_answer(as_, town, text):
    assert find(as_, "office", text).status_code == 200
