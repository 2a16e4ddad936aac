"""The firm's logo on paper: put on, put in another's place, taken off; papers that were issued keep theirs."""

import io
from pathlib import Path

import pikepdf
import pytest
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from PIL import Image

from inspections.certificates.document import certificate_pdf
from sites_registry.documents.base import TitleBlock
from sites_registry.documents.logo import LARGEST_PX, logo_of
from sites_registry.models import Firm
from tests import builders

PARTICULARS = {"name": "Tarn Vents", "due_soon_days": "30"}


def picture(colour="green", size=(300, 100), form="PNG"):
    file = io.BytesIO()
    Image.new("RGB", size, colour).save(file, form)
    return file.getvalue()


def send(client, content=None, name="logo.png", **more):
    Firm.objects.get_or_create(pk=1)
    file = {"logo_file": SimpleUploadedFile(name, content)} if content is not None else {}
    address = reverse("firm-update")
    version = client.get(address).context["form"].initial["seen_version"]
    return client.post(address, {**PARTICULARS, "seen_version": version, **file, **more})


def pictures_in(pdf):
    with pikepdf.open(io.BytesIO(pdf)) as read:
        return sum(one.get("/Subtype") == "/Image" for one in read.objects if isinstance(one, pikepdf.Stream))


@pytest.mark.parametrize("paper", ["device-schedule-pdf", "zone-schedule-pdf"])  # one of each engine
def test_a_logo_stands_on_every_paper_until_it_is_taken_off(as_, town, paper):
    client, address = as_("office"), reverse(paper, args=[town.hall.slug])
    without = pictures_in(client.get(address).getvalue())
    assert send(client, picture("green", (4000, 900), "JPEG")).status_code == 302
    assert pictures_in(client.get(address).getvalue()) == without + 1
    assert Image.open(io.BytesIO(logo_of(Firm.current()))).size <= LARGEST_PX
    assert send(client, is_logo_taken_off="on").status_code == 302
    assert pictures_in(client.get(address).getvalue()) == without


@pytest.mark.parametrize(
    "content, words",
    [
        (b"%PDF-1.7 a paper", "The logo cannot be read."),
        (picture()[:80], "cannot be read"),
        (b"x" * 5_000_001, "5.0 MB"),
    ],
)
def test_a_file_that_is_no_logo_is_told_at_its_field_and_changes_nothing(as_, content, words):
    response = send(as_("office"), content)
    assert response.status_code == 422 and words in response.text
    assert (Firm.current().name, Firm.current().logo) == (Firm().name, "")


def test_a_certificate_keeps_the_logo_that_it_was_issued_with(as_, town):
    client = as_("office")
    before = certificate_pdf(town.certificate)
    send(client, picture("green"))
    with_it = builders.make_certificate(builders.make_finished_visit(town.mill))
    green = certificate_pdf(with_it)
    send(client, picture("red"))
    assert certificate_pdf(town.certificate) == before
    assert certificate_pdf(with_it) == green
    assert pictures_in(green) == pictures_in(before) + 1


def test_a_logo_that_is_damaged_is_told_in_the_log_and_stops_no_paper(as_, caplog):
    send(as_("office"), picture())
    firm = Firm.current()
    Path(default_storage.path(firm.logo)).write_bytes(b"half")
    block = TitleBlock(
        title="T", number="1", building="B", client="C", issued_on=builders.days_ago(0).date(), firm=firm
    )
    assert block.logo is None and "without the firm's logo" in caplog.text
