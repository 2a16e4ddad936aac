"""Files kept with a record: what is taken in, what is refused, where the bytes lie, who withdrew them."""

import io
import zipfile

import pytest
from django.core.files.storage import default_storage
from PIL import Image

from tests import builders
from tests.zones.device_lists.lists import xlsx_of
from zones.files.attachments import AttachmentRefused, attach_file, withdraw_attachment
from zones.models import Attachment

PDF = b"%PDF-1.7\n1 0 obj\n<<>>\nendobj\n"
SVG = b'<?xml version="1.0"?><svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>'


def picture(form):
    file = io.BytesIO()
    Image.new("RGB", (8, 8), "red").save(file, form)
    return file.getvalue()


def document():
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w") as archive:
        archive.writestr("word/document.xml", "<w/>")
    return file.getvalue()


def stored_bytes(attachment):
    with attachment.file.open("rb") as file:
        return file.read()


def attach(town, name, content, **fields):
    return attach_file(
        owner_field="building",
        owner=town.hall,
        name=name,
        content=content,
        kind="other",
        by=town.people["office"],
        **fields,
    )


@pytest.mark.parametrize(
    ("name", "content", "media_type"),
    [
        ("a.pdf", PDF, "application/pdf"),
        ("A.PNG", picture("PNG"), "image/png"),
        ("a.jpg", picture("JPEG"), "image/jpeg"),
        ("a.jpeg", picture("JPEG"), "image/jpeg"),
        ("a.webp", picture("WEBP"), "image/webp"),
        ("a.txt", "Prüfbuch <script>".encode(), "text/plain; charset=utf-8"),
        ("a.dxf", b"  0\r\nSECTION\r\n  2\r\nHEADER\r\n", "image/vnd.dxf"),
        ("a.dwg", b"AC1032\x00\x00\x00\x00", "image/vnd.dwg"),
        ("a.xlsx", xlsx_of(("x",)), "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"),
        ("a.docx", document(), "application/vnd.openxmlformats-officedocument.wordprocessingml.document"),
    ],
)
def test_a_file_is_kept_with_the_type_of_its_content(town, name, content, media_type):
    attachment = attach(town, name, content)
    assert (attachment.media_type, attachment.file_name, attachment.size_bytes) == (media_type, name, len(content))
    assert stored_bytes(attachment) == content


@pytest.mark.parametrize(
    ("name", "content", "sentence"),
    [
        ("a.pdf", b"", "'a.pdf' is empty (0 bytes)."),
        ("a.pdf", PDF + b"x" * 21 * 1024 * 1024, "'a.pdf' has 21 MB; the limit is 20 MB."),
        ("a.svg", SVG, "'a.svg' is an SVG drawing by its content, and that can carry scripts. Save it as PDF or PNG."),
        ("a.png", SVG, "'a.png' is an SVG drawing by its content"),
        ("a.txt", b"<!DOCTYPE html><p>x", "'a.txt' is a web page by its content, and that can carry scripts."),
        ("a.pdf", picture("PNG"), "'a.pdf' is a PNG picture by its content. Name it with .png."),
        ("a", PDF, "'a' is a PDF document by its content. Name it with .pdf."),
        ("a.exe", b"MZ\x90\x00", "'a.exe' is a program by its content. Choose PDF, PNG, JPEG, WebP, DXF"),
        ("a.pdf", b"MZ\x90\x00", "'a.pdf' is a program by its content."),
        ("a.gif", b"GIF89a....", "'a.gif' is a GIF picture by its content. Choose PDF"),
        ("a.png", picture("PNG")[:40], "'a.png' cannot be read as a picture: it is damaged or far too large."),
        ("a.pdf", b"\x00\x01\x02\x03" * 40, "by its content. Choose PDF"),
        ("a.docx", b"PK\x03\x04broken", "'a.docx' is of a type that the register does not know by its content."),
    ],
)
def test_other_files_are_refused_with_what_to_do_and_nothing_kept(town, name, content, sentence):
    with pytest.raises(AttachmentRefused) as refusal:
        attach(town, name, content)
    assert sentence in str(refusal.value)
    assert refusal.value.field == "file"
    assert not Attachment.objects.exists()


def test_a_file_of_the_limit_is_kept_and_one_byte_more_is_not(town, settings):
    settings.UPLOAD_LIMIT_MB = 1
    fits = PDF + b"x" * (1024 * 1024 - len(PDF))
    assert attach(town, "a.pdf", fits).size_bytes == 1024 * 1024
    with pytest.raises(AttachmentRefused, match="'b.pdf' has 1 MB; the limit is 1 MB"):
        attach(town, "b.pdf", fits + b"x")


def test_the_bytes_lie_under_their_digest_once_for_all_records(town):
    first = attach(town, "../../etc/a.pdf", PDF)
    second = attach_file(
        owner_field="unit", owner=town.unit, name="b.pdf", content=PDF, kind="manual", by=town.people["office"]
    )
    assert first.file.name == second.file.name == f"attachments/{first.sha256[:2]}/{first.sha256}"
    assert first.file_name == "a.pdf"
    assert len(default_storage.listdir(f"attachments/{first.sha256[:2]}")[1]) == 1


def test_the_same_file_sent_twice_is_kept_once(town):
    assert attach(town, "a.pdf", PDF) == attach(town, "a.pdf", PDF)


def test_an_over_long_name_keeps_its_extension(town):
    name = attach(town, "x" * 300 + ".pdf", PDF).file_name
    assert len(name) <= 200 and name.endswith(".pdf")


def test_a_withdrawn_file_stays_on_record_with_who_withdrew_it(town):
    attachment = attach(town, "a.pdf", PDF)
    withdraw_attachment(attachment=attachment, by=town.people["engineer"])
    withdraw_attachment(attachment=attachment, by=town.people["office"])
    attachment.refresh_from_db()
    assert attachment.withdrawn_at and attachment.withdrawn_by == town.people["engineer"]
    assert stored_bytes(attachment) == PDF
    assert attach(town, "a.pdf", PDF) != attachment


@pytest.mark.parametrize(
    ("owner", "sees"), [("building", True), ("panel", True), ("unit", True), ("product_model", True), ("job", False)]
)
def test_a_manager_sees_the_files_of_own_records_until_they_are_withdrawn(town, owner, sees):
    record = {
        "building": town.hall,
        "panel": town.panel,
        "unit": town.unit,
        "product_model": town.unit.product_model,
        "job": town.job,
    }[owner]
    attachment = builders.make_attachment(**{owner: record})
    visible = Attachment.objects.visible_to
    assert visible(town.people["manager"]).filter(pk=attachment.pk).exists() is sees
    assert not visible(town.people["stranger"]).exists()
    withdraw_attachment(attachment=attachment, by=town.people["office"])
    assert not visible(town.people["manager"]).exists()
    assert visible(town.people["engineer"]).filter(pk=attachment.pk).exists()
