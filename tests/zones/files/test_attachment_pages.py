"""Files on the pages of their records: attach, read, withdraw."""

from pathlib import Path

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from sites_registry.models import Building
from tests import builders
from tests.zones.files.test_attachments import PDF, picture
from zones.models import Attachment, ControlPanel


def send(client, word, record, name="plan.pdf", content=PDF, **data):
    address = reverse("attachment-create", args=[word, record.pk])
    return client.post(address, {"file": SimpleUploadedFile(name, content), "kind": "drawing", **data})


def owners(town):
    return {
        "building": town.hall,
        "job": town.job,
        "panel": town.panel,
        "unit": town.unit,
        "product-model": town.unit.product_model,
    }


def page_of(record):
    """Files have a page of their own where the record's page is too full for them."""
    if isinstance(record, ControlPanel):
        return reverse("panel-record", args=[record.pk])
    return (
        reverse("building-particulars", args=[record.slug])
        if isinstance(record, Building)
        else record.get_absolute_url()
    )


@pytest.mark.parametrize("word", ["building", "job", "panel", "unit", "product-model"])
@pytest.mark.parametrize("person", ["office", "engineer"])
def test_a_file_is_attached_and_stands_on_the_page_of_its_record(as_, town, word, person):
    record = owners(town)[word]
    response = send(as_(person), word, record, title="Plan of the roof")
    assert response.url == f"{page_of(record)}#files"
    page = as_(person).get(page_of(record)).content.decode()
    assert "Plan of the roof" in page and "Attach a file" in page
    assert Attachment.objects.get().get_absolute_url() in page


@pytest.mark.parametrize("word", ["building", "panel", "unit"])
def test_a_manager_reads_files_and_finds_no_form(as_, town, word):
    field = word.replace("-", "_")
    attachment = builders.make_attachment(**{field: owners(town)[word]})
    page = as_("manager").get(page_of(owners(town)[word])).content.decode()
    assert attachment.get_absolute_url() in page
    assert "Attach a file" not in page and "Withdraw" not in page


@pytest.mark.parametrize(
    ("name", "content", "data", "sentence"),
    [
        ("a.pdf", b"", {}, "is empty (0 bytes)"),
        ("a.pdf", b"MZ...", {}, "is a program by its content"),
        ("a.pdf", PDF + b"x" * 50 * 1024 * 1024, {}, "has 50 MB; the limit is 20 MB"),
        ("a.pdf", PDF, {"kind": "nonsense"}, "nonsense is not one of the available choices"),
        ("a.pdf", PDF, {"title": "x" * 201}, "at most 200 characters"),
        ("a.pdf", PDF, {"title": "a\x00b"}, "Null characters are not allowed"),
    ],
)
def test_what_cannot_be_kept_is_told_at_the_field(as_, town, name, content, data, sentence):
    response = send(as_("office"), "building", town.hall, name, content, **data)
    assert response.status_code == 422
    assert sentence in response.content.decode()
    assert not Attachment.objects.exists()


@pytest.mark.parametrize(("word", "pk"), [("building", 999_999), ("town", 1), ("building", 10**30)])
def test_a_record_that_is_not_there_is_hidden(as_, word, pk):
    assert as_("office").get(f"/attachments/{word}/{pk}/new/").status_code == 404


@pytest.mark.parametrize(
    ("name", "content", "shown"),
    [("plan.pdf", PDF, "inline"), ("photo.png", picture("PNG"), "inline"), ("note.txt", b"Text", "attachment")],
)
def test_pdfs_and_pictures_are_shown_and_others_saved_and_nothing_runs(as_, town, name, content, shown):
    attachment = builders.make_attachment(content, name, building=town.hall)
    response = as_("manager").get(attachment.get_absolute_url())
    assert response["Content-Disposition"] == f'{shown}; filename="{name}"'
    assert response["X-Content-Type-Options"] == "nosniff"
    assert "default-src 'none'" in response["Content-Security-Policy"]
    assert response["Cache-Control"] == "private, no-store"
    assert response.content == content


@pytest.mark.parametrize("harm", ["gone", "cut short", "one bit turned"])
def test_a_file_that_is_not_what_was_kept_is_not_served_but_told(as_, town, caplog, harm):
    attachment = builders.make_attachment(building=town.hall)
    assert as_("office").get(attachment.get_absolute_url()).status_code == 200
    path = Path(attachment.file.path)
    whole = path.read_bytes()
    path.write_bytes(whole[:-1] if harm == "cut short" else bytes([whole[0] ^ 1]) + whole[1:])
    if harm == "gone":
        path.unlink()
    response = as_("office").get(attachment.get_absolute_url())
    assert response.status_code == 500
    assert "missing or damaged, so it is not shown" in response.content.decode()
    assert attachment.file.name not in response.content.decode() and attachment.file.name in caplog.text


def test_the_office_withdraws_any_file_and_still_finds_it(as_, town):
    attachment = builders.make_attachment(building=town.hall, added_by=town.people["engineer"])
    response = as_("office").post(reverse("attachment-withdraw", args=[attachment.pk]), follow=True)
    page = response.content.decode()
    assert "It stays on record." in page and "1 withdrawn file" in page


def test_an_engineer_withdraws_own_files_only(as_, town):
    own = builders.make_attachment(b"own", building=town.hall, added_by=town.people["engineer"])
    other = builders.make_attachment(b"other", building=town.hall, added_by=town.people["office"])
    engineer = as_("engineer")
    assert engineer.post(reverse("attachment-withdraw", args=[own.pk])).status_code == 302
    assert engineer.post(reverse("attachment-withdraw", args=[other.pk])).status_code == 403
    assert list(Attachment.objects.filter(withdrawn_at=None)) == [other]


@pytest.mark.parametrize("count", [1, 10])
@pytest.mark.parametrize(("word", "expected"), [("unit", 14)])
def test_files_cost_one_query_for_any_number(as_, town, count, word, expected, django_assert_max_num_queries):
    for number in range(count):
        builders.make_attachment(f"{number}".encode(), unit=town.unit)
    office = as_("office")
    with django_assert_max_num_queries(expected):
        office.get(town.unit.get_absolute_url())
