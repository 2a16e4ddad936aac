"""The lists for operation: what a row refers to is there, as COBie 2.4 asks (NBIMS-US V3, 4.2; BS 1192-4:2014)."""

import io

import openpyxl
import pytest
from django.urls import reverse

from inspections.open_records.handover_workbook import NOT_KNOWN
from tests import builders
from tests.zones.wiring.wired import wire_town

# Sheet and column → sheet whose first column holds what it names; a comma parts several names.
REFERS_TO = {
    ("Space", "FloorName"): "Floor",
    ("Zone", "SpaceNames"): "Space",
    ("Type", "Manufacturer"): "Contact",
    ("Component", "TypeName"): "Type",
    ("Component", "Space"): "Space",
    ("System", "ComponentNames"): "Component",
    ("Job", "TypeName"): "Type",
}


@pytest.fixture
def sheets(town, as_):
    wire_town(town)
    builders.make_attachment(building=town.hall)
    answer = as_("manager").get(reverse("building-workbook", args=[town.hall.slug]))
    sheets = {}
    for sheet in openpyxl.load_workbook(io.BytesIO(answer.content)):
        head, *rows = sheet.values
        sheets[sheet.title] = [dict(zip(head, row, strict=True)) for row in rows]
    return sheets


def test_what_a_row_refers_to_is_there(sheets):
    for (sheet, column), other in REFERS_TO.items():
        there = {next(iter(row.values())) for row in sheets[other]} | {NOT_KNOWN}
        named = {name for row in sheets[sheet] for name in str(row[column]).split(",")}
        assert named and named <= there, (sheet, column, named - there)
    contacts = {row["Email"] for row in sheets["Contact"]}
    assert {row["CreatedBy"] for rows in sheets.values() for row in rows} <= contacts


def test_names_are_given_once(sheets):
    """The key of most sheets is the name alone."""
    for sheet in ("Contact", "Facility", "Floor", "Space", "Zone", "Type", "Component", "System"):
        names = [next(iter(row.values())) for row in sheets[sheet]]
        assert len(names) == len(set(names)), sheet


def test_a_device_stands_with_its_serial_and_its_day(sheets):
    (row,) = [row for row in sheets["Component"] if row["Name"] == "SD1"]
    assert (row["SerialNumber"], row["InstallationDate"]) == ("AK-0001", "2025-03-03")
    assert {row["Name"] for row in sheets["Document"]} >= {"note.txt"}


def test_nobody_s_log_in_stands_in_it(sheets):
    told = str(sheets)
    assert "engineer@tarn.example" not in told and "office@tarn.example" not in told
