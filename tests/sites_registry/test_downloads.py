"""Names and headers of downloads."""

import pytest

from sites_registry.downloads import download, file_name
from tests import builders


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("Ropewalk Hall", "Ropewalk-Hall_device-schedule_2026-11-25.pdf"),
        ("Café O’Brien / Wing 2", "Cafe-Obrien-Wing-2_device-schedule_2026-11-25.pdf"),
        ("東館", "east-wing_device-schedule_2026-11-25.pdf"),
    ],
)
def test_a_file_has_the_name_that_a_person_would_give(db, name, expected):
    building = builders.make_building(name=name, slug="east-wing")
    assert file_name(building, "device schedule", "2026-11-25", "pdf") == expected


def test_a_download_is_saved_under_its_name_and_never_sniffed():
    response = download(b"x", "text/csv; charset=utf-8", "Café.csv")
    assert response["Content-Disposition"] == "attachment; filename*=utf-8''Caf%C3%A9.csv"
    assert response["X-Content-Type-Options"] == "nosniff"
    assert response["Cache-Control"] == "private, no-store"
