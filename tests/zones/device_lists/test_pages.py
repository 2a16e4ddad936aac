"""The pages of an import: choose, confirm, look, import; and what they say to bad input."""

import io

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from tests import builders
from tests.zones.device_lists.lists import check, csv_of, xlsx_of
from zones.device_lists import staging
from zones.models import ImportRun, Position

LIST = csv_of(("SD1", "smoke detector", "7"), ("SD2", "smoke detector", "1"), headings=("Ref", "Type", "Floor"))


def upload(client, building, content=LIST, name="list.csv", **data):
    file = SimpleUploadedFile(name, content)
    return client.post(reverse("device-list-import", args=[building.slug]), {"file": file, **data})


def address(name, run):
    return reverse(name, args=[run.building.slug, run.pk])


def begun(town, content=LIST):
    return staging.stage_file(building=town.hall, name="list.csv", content=content, by=town.people["office"])


def test_from_the_file_to_the_register_in_four_steps(as_, town):
    office = as_("office")
    response = upload(office, town.hall)
    run = ImportRun.objects.get()
    assert response.url == run.get_absolute_url()
    page = office.get(address("import-run-columns", run)).content.decode()
    assert "Ref" in page and "SD1 · SD2" in page
    response = office.post(
        address("import-run-columns", run), {"column_0": "tag", "column_1": "kind", "column_2": "storey"}
    )
    assert response.url == run.get_absolute_url()
    assert "0 of 2 rows checked" in office.get(response.url).content.decode()
    assert office.post(address("import-run-check", run)).url == run.get_absolute_url()
    page = office.get(run.get_absolute_url()).content.decode()
    assert "Import 2 rows" in page and "Storey</span> 1 → 7" in page
    response = office.post(address("import-run-apply", run), follow=True)
    assert "Imported: list.csv." in response.content.decode()
    assert Position.objects.get(tag="SD2").storey == "1"


def test_the_columns_can_be_corrected(as_, town):
    run = begun(town)
    as_("office").post(address("import-run-columns", run), {"column_0": "tag", "column_1": "kind", "column_2": "room"})
    run.refresh_from_db()
    assert run.column_keys == ["tag", "kind", "room"]


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        ({"column_0": "kind", "column_1": "kind"}, "Kind is chosen for 2 columns. Keep it for one."),
        ({"column_1": "kind"}, "Choose the column that holds the tag"),
        ({"column_0": "tag", "column_1": "nonsense"}, "nonsense is not one of the available choices."),
    ],
)
def test_a_mapping_that_cannot_be_is_told(as_, town, data, sentence):
    run = begun(town)
    response = as_("office").post(address("import-run-columns", run), data)
    assert response.status_code == 422
    assert sentence in response.content.decode()
    run.refresh_from_db()
    assert run.state == ImportRun.State.MAPPING


def test_the_list_may_stand_on_another_sheet_below_another_row(as_, town):
    from openpyxl import Workbook

    workbook = Workbook()
    workbook.active.append(["Ref", "Type", "Floor"])
    workbook.create_sheet("Second").append(["x"])
    workbook["Second"].append(["Ref"])
    workbook["Second"].append(["SD1"])
    file = io.BytesIO()
    workbook.save(file)
    run = staging.stage_file(building=town.hall, name="a.xlsx", content=file.getvalue(), by=town.people["office"])
    assert (run.sheet_index, run.header_row) == (0, 1)
    as_("office").post(address("import-run-table", run), {"sheet": "1", "header_row": "2"})
    run.refresh_from_db()
    assert (run.sheet_index, run.header_row, run.column_keys) == (1, 2, ["tag"])
    as_("office").post(address("import-run-table", run), {"sheet": "0", "header_row": "1"})
    run.refresh_from_db()
    assert (run.sheet_index, run.header_row, run.column_keys) == (0, 1, ["tag", "kind", "storey"])


@pytest.mark.parametrize(
    ("sheet", "header_row"),
    [("7", "1"), ("x", "1"), ("0", "999"), ("0", "NaN"), ("0", "1e999"), ("0", "-1"), ("", "")],
)
def test_a_sheet_or_row_that_is_not_there_is_told(as_, town, sheet, header_row):
    run = begun(town)
    response = as_("office").post(address("import-run-table", run), {"sheet": sheet, "header_row": header_row})
    assert response.status_code == 422
    run.refresh_from_db()
    assert (run.sheet_index, run.header_row) == (0, 1)


def test_the_check_answers_piece_by_piece_and_then_leads_to_the_preview(as_, town, monkeypatch):
    monkeypatch.setattr(staging, "CHUNK", 1)
    monkeypatch.setattr(staging.check_rows, "__kwdefaults__", {"limit": 1})
    run = begun(town)
    staging.confirm_columns(run=run, keys=run.column_keys)
    office = as_("office")
    first = office.post(address("import-run-check", run), headers={"HX-Request": "true"})
    assert "1 of 2 rows checked" in first.content.decode()
    second = office.post(address("import-run-check", run), headers={"HX-Request": "true"})
    assert second["HX-Redirect"] == run.get_absolute_url()


def test_faulty_rows_are_named_and_cannot_be_imported(as_, town):
    run = check(town.hall, csv_of(("SD2", "blind"), ("SD3", "SD"), headings=("Tag", "Kind")))
    page = as_("office").get(run.get_absolute_url()).content.decode()
    assert "Row 2, Kind:" in page and "1 of 2 rows has a fault" in page
    assert "import-run-apply" not in page and "Import 1 row" not in page
    response = as_("office").post(address("import-run-apply", run), follow=True)
    assert "so nothing was imported" in response.content.decode()
    assert not Position.objects.filter(tag="SD3").exists()


def test_the_faulty_rows_come_as_a_list_to_correct(as_, town):
    run = check(town.hall, csv_of(("=SD2", "blind"), ("SD3", "SD"), headings=("Tag", "Kind")))
    response = as_("office").get(address("import-run-faults", run))
    text = response.content.decode("utf-8-sig")
    assert response["Content-Disposition"].startswith('attachment; filename="Ropewalk-Hall_device-list-faulty-rows_')
    assert text.splitlines()[0] == "Row,What is wrong and what to do,Tag,Kind"
    assert text.splitlines()[1].startswith("2,\"Kind: 'blind' is not a kind") and text.splitlines()[1].endswith(
        ",'=SD2,blind"
    )
    assert len(text.splitlines()) == 2


def test_a_list_that_says_nothing_new_says_so(as_, town):
    run = check(town.hall, csv_of(("SD1", "1"), headings=("Tag", "Floor")))
    page = as_("office").get(run.get_absolute_url()).content.decode()
    assert "Importing this list changes nothing: the register holds what it says (1 row)." in page


@pytest.mark.parametrize("query", ["?show=nonsense", "?page=99", "?page=x", "?show=new&page=-1", "?show=%00"])
def test_a_preview_answers_any_query(as_, town, query):
    run = check(town.hall, LIST)
    assert as_("office").get(run.get_absolute_url() + query).status_code == 200


@pytest.mark.parametrize(
    ("name", "content", "sentence"),
    [
        ("list.csv", b"", "is empty (0 bytes)"),
        ("list.xlsx", b"Tag,Kind", "is plain text by its content"),
        ("list.csv", xlsx_of(("SD1",)), "is a spreadsheet by its content"),
        ("big.csv", b"x" * (50 * 1024 * 1024), "has 50 MB; the limit is 20 MB"),
        ("list.pdf", b"%PDF-1.7 ...", "is a PDF document by its content"),
    ],
)
def test_a_file_that_is_no_list_is_refused_at_the_field_and_nothing_kept(as_, town, name, content, sentence):
    response = upload(as_("office"), town.hall, content, name)
    assert response.status_code == 422
    assert sentence in response.content.decode()
    assert not ImportRun.objects.exists()


def test_no_file_at_all_is_told(as_, town):
    response = as_("office").post(reverse("device-list-import", args=[town.hall.slug]))
    assert "Choose the file that holds the device list." in response.content.decode()


def test_the_same_form_sent_twice_stages_the_file_once(as_, town):
    office, key = as_("office"), "2b1f6a3e-7a54-4a0e-9a51-111111111111"
    first = upload(office, town.hall, submission_key=key)
    assert upload(office, town.hall, submission_key=key).url == first.url
    assert ImportRun.objects.count() == 1


def test_the_run_of_another_building_is_hidden(as_, town):
    run = begun(town)
    assert as_("office").get(reverse("import-run-detail", args=[town.mill.slug, run.pk])).status_code == 404


def test_a_begun_import_is_found_again_and_can_be_discarded(as_, town):
    run = begun(town)
    office = as_("office")
    assert "list.csv" in office.get(reverse("device-list-import", args=[town.hall.slug])).content.decode()
    office.post(address("import-run-discard", run))
    assert not ImportRun.objects.exists()


@pytest.mark.parametrize("extension", ["csv", "xlsx"])
def test_the_export_downloads_under_a_name_that_a_person_would_give(as_, town, extension):
    response = as_("manager").get(reverse("device-list-export", args=[town.hall.slug, extension]))
    assert response["Content-Disposition"].startswith('attachment; filename="Ropewalk-Hall_device-list_20')
    assert response["Content-Disposition"].endswith(f'.{extension}"')


def test_the_preview_of_many_rows_pages(as_, town):
    content = csv_of(*[(f"N{n}", "SD") for n in range(130)], headings=("Tag", "Kind"))
    run = check(builders.make_building(), content)
    page = as_("office").get(run.get_absolute_url() + "?page=2").content.decode()
    assert "101–130 of 130 rows" in page
