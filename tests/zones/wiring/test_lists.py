"""A wiring list out and in again: the columns of the terminal schedule, a preview, all or nothing."""

import csv
import io
from types import SimpleNamespace

import pytest
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from openpyxl import Workbook, load_workbook

from tests import builders
from zones.models import Core, CoreEnd
from zones.wiring.lists import read_rows
from zones.wiring.terminals import put_ends

pytestmark = pytest.mark.django_db
HEAD = "Device,Block,Terminal,Function,Core,Colour,Cable,Far end"


def text_of(response):
    return " ".join(response.content.decode().split())


@pytest.fixture
def wired(town):
    """P1 has -X3:1 and 2, SD1 has -X1:1 and 2; W12 has three cores by its type, 1 is recorded."""
    for number in "12":
        setattr(town, f"p{number}", builders.make_terminal(town.panel, block="X3", number=number, function="line"))
        setattr(town, f"d{number}", builders.make_terminal(position=town.detector, block="X1", number=number))
    town.cable = builders.make_cable(town.hall, tag="W12", cores_count=3, from_place="P1", to_place="SD1")
    town.core = builders.make_core(town.cable, number=1, colour="BN")
    return town


def send(client, town, *rows, head=HEAD, name="list.csv"):
    file = SimpleUploadedFile(name, "\n".join([head, *rows]).encode())
    return client.post(reverse("wiring-list-import", args=[town.panel.pk]), {"file": file})


def keep(client, town, preview):
    packed = preview.context["packed"]
    return client.post(reverse("wiring-list-import", args=[town.panel.pk]), {"rows": packed}, follow=True)


def test_a_list_is_shown_first_and_changes_nothing_until_it_is_kept(as_, wired):
    client = as_("engineer")
    preview = send(client, wired, "P1,X3,1,line 1,1,BN,W12,SD1 -X1:1", "P1,X3,2,,2,BU,W12,SD1 -X1:2")
    assert preview.status_code == 200
    assert "2 rows read, 2 would change a terminal" in text_of(preview)
    assert (CoreEnd.objects.count(), Core.objects.count()) == (0, 1)
    assert "2 rows read, 2 terminals changed" in text_of(keep(client, wired, preview))
    assert dict(wired.core.ends.values_list("end", "terminal")) == {"near": wired.p1.pk, "far": wired.d1.pk}
    assert Core.objects.get(number=2).colour == "BU"
    wired.p1.refresh_from_db()
    assert wired.p1.function == "line 1"


def test_kept_twice_it_changes_nothing_more(as_, wired):
    client = as_("engineer")
    preview = send(client, wired, "P1,X3,1,,1,BN,W12,SD1 -X1:1")
    keep(client, wired, preview)
    assert "1 row read, 0 terminals changed" in text_of(keep(client, wired, preview))


def test_cores_may_change_places_within_a_list(as_, wired):
    other = builders.make_core(wired.cable, number=2)
    put_ends(core=wired.core, near=wired.p1, far=wired.d1)
    put_ends(core=other, near=wired.p2, far=wired.d2)
    client = as_("office")
    keep(client, wired, send(client, wired, "P1,X3,1,,2,,W12,", "P1,X3,2,,1,,W12,"))
    assert dict(wired.core.ends.values_list("end", "terminal")) == {"near": wired.p2.pk, "far": wired.d1.pk}


def test_free_takes_a_core_off_and_an_empty_cell_leaves_it(as_, wired):
    put_ends(core=wired.core, near=wired.p1, far=wired.d1)
    client = as_("office")
    assert "nothing would change" in text_of(send(client, wired, "P1,X3,1,,,,,"))
    keep(client, wired, send(client, wired, "P1,X3,1,,free,,,"))
    assert dict(wired.core.ends.values_list("end", "terminal")) == {"far": wired.d1.pk}


REFUSED = {
    "terminal": ("P1,X9,1,,1,,W12,", "P1 -X9:1 is no terminal of this building"),
    "cable": ("P1,X3,1,,1,,W99,", "no cable &#x27;W99&#x27;"),
    "core": ("P1,X3,1,,7,,W12,", "no core 7 on record (it has 3)"),
    "colour": ("P1,X3,1,,1,BU,W12,", "is recorded as BN, not BU"),
    "colour code": ("P1,X3,1,,2,BLUE,W12,", "no colour code of IEC 60757"),
    "far end": ("P1,X3,1,,1,,W12,SD9 -X1:1", "&#x27;SD9 -X1:1&#x27; is no terminal"),
    "half a core": ("P1,X3,1,,1,,,", "Cable and core belong together"),
    "twice": ("P1,X3,2,,,,,", "stands in row 2 too"),
}


@pytest.mark.parametrize("case", REFUSED)
def test_a_row_that_cannot_be_taken_has_its_sentence_and_no_row_is_taken(as_, wired, case):
    row, sentence = REFUSED[case]
    response = send(as_("engineer"), wired, "P1,X3,2,changed,2,BU,W12,SD1 -X1:2", row)
    assert response.status_code == 422
    assert sentence in text_of(response)
    assert "Nothing was changed" in text_of(response)
    assert (CoreEnd.objects.count(), Core.objects.count()) == (0, 1)
    wired.p2.refresh_from_db()
    assert wired.p2.function == "line"


@pytest.mark.parametrize(
    ("content", "name", "sentence"),
    [
        (b"", "list.csv", "is empty"),
        (b"a,b\n1,2", "list.csv", "No row with the headings was found"),
        (HEAD.encode(), "list.csv", "There is no row below the headings"),
        (b"\x89PNG\r\n\x1a\n" + b"0" * 64, "list.csv", "by its content"),
        (HEAD.encode() + b"\nP1,X3,1,,,,,", "list.docx", "Name it with .csv"),
    ],
)
def test_a_file_that_is_no_list_is_told(as_, wired, content, name, sentence):
    file = SimpleUploadedFile(name, content)
    response = as_("office").post(reverse("wiring-list-import", args=[wired.panel.pk]), {"file": file})
    assert response.status_code == 422
    assert sentence in text_of(response)


def test_no_file_and_a_forged_preview_are_told(as_, wired):
    url = reverse("wiring-list-import", args=[wired.panel.pk])
    assert "Choose the file that holds the wiring list" in text_of(as_("office").post(url))
    assert "the preview is too old" in text_of(as_("office").post(url, {"rows": "forged"}))


def test_what_is_exported_comes_back_without_a_change(as_, wired):
    put_ends(core=wired.core, near=wired.p1, far=wired.d1)
    client = as_("manager")
    content = client.get(reverse("wiring-list-export", args=[wired.panel.pk, "csv"])).content
    rows = list(csv.reader(io.StringIO(content.decode("utf-8-sig"))))
    assert rows[1] == ["P1", "X3", "1", "line", "1", "BN", "W12", "SD1 -X1:1"]
    assert ["SD1", "X1", "1", "", "1", "BN", "W12", "P1 -X3:1"] in rows
    file = SimpleUploadedFile("list.csv", content)
    back = as_("office").post(reverse("wiring-list-import", args=[wired.panel.pk]), {"file": file})
    assert "nothing would change" in text_of(back)


def test_a_stamped_spreadsheet_is_taken_back_as_it_is(as_, wired):
    content = as_("office").get(reverse("wiring-list-export", args=[wired.panel.pk, "xlsx"])).content
    file = SimpleUploadedFile("list.xlsx", content)
    assert as_("office").post(reverse("wiring-list-import", args=[wired.panel.pk]), {"file": file}).status_code == 200


def test_a_spreadsheet_is_read_and_written_too(as_, wired):
    response = as_("office").get(reverse("wiring-list-export", args=[wired.panel.pk, "xlsx"]))
    sheet = load_workbook(io.BytesIO(response.content)).active
    assert sheet["B1"].value.startswith("Incomplete: ")
    assert [cell.value for cell in sheet[3]] == HEAD.split(",")
    book = Workbook()
    book.active.append(["Terminal", "Cable", "Core", "To"])
    book.active.append(["-X3:1", "W12", 1, "SD1 -X1:1"])
    content = io.BytesIO()
    book.save(content)
    client = as_("office")
    file = SimpleUploadedFile("list.xlsx", content.getvalue())
    preview = client.post(reverse("wiring-list-import", args=[wired.panel.pk]), {"file": file})
    keep(client, wired, preview)
    assert wired.core.ends.count() == 2
    assert as_("office").get(reverse("wiring-list-export", args=[wired.panel.pk, "pdf"])).status_code == 404


@pytest.mark.parametrize("count", [3_000, 3_001])
def test_a_list_of_3_000_rows_is_read_and_a_longer_one_is_to_be_taken_in_parts(town, count):
    sheet = SimpleNamespace(rows=[(1, HEAD.split(",")), *((n, ["", "X3", "1"]) for n in range(2, count + 2))])
    if count > 3_000:
        with pytest.raises(ValidationError, match="The list has 3001 rows; at most 3000. Take it in parts."):
            read_rows(town.panel, sheet)
    else:
        assert len(read_rows(town.panel, sheet)) == count
