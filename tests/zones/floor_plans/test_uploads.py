"""Plans are taken by their content, drawn in a process with limits, refused in sentences."""

import io
import struct
import zlib

import pikepdf
import pytest
from django.core.files.storage import default_storage
from PIL import Image

from tests.zones.floor_plans.plans import add_plan, drawn
from zones.floor_plans import raster, rasterising
from zones.floor_plans.rasterising import PlanRefused, plan_picture
from zones.models import FloorPlan


def pdf(*sizes, rotate=0, **options):
    """A PDF with a page of each size (points); the left upper quarter of each is black."""
    document = pikepdf.new()
    for width, height in sizes:
        page = document.add_blank_page(page_size=(width, height))
        page.contents_add(b"0 g 0 %d %d %d re f" % (height / 2, width / 2, height / 2))
        page.rotate(rotate, relative=False)
    file = io.BytesIO()
    document.save(file, **options)
    return file.getvalue()


def png_of_size(width, height):
    """The head of a PNG that claims this size (ISO/IEC 15948), and nothing of its pixels."""
    head = struct.pack(">II", width, height) + bytes([8, 0, 0, 0, 0])
    chunks = [(b"IHDR", head), (b"IDAT", zlib.compress(b"\0" * 100)), (b"IEND", b"")]
    written = (
        struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data)) for kind, data in chunks
    )
    return b"\x89PNG\r\n\x1a\n" + b"".join(written)


def picture_of(plan):
    return Image.open(io.BytesIO(plan.content))


def test_a_pdf_page_is_drawn_upright_on_white():
    # ISO 32000-1, 7.7.3.3: /Rotate turns the page clockwise, so its left upper quarter comes to the right.
    shown = plan_picture(pdf((800, 400), rotate=90))
    assert (shown.width_px, shown.height_px) == (raster.FINEST_DPI * 400 // 72 + 1, raster.FINEST_DPI * 800 // 72 + 1)
    picture = picture_of(shown).convert("L")
    width, height = picture.size
    assert [picture.getpixel((width * x // 4, height * y // 4)) for x, y in ((3, 1), (1, 1), (3, 3))] == [0, 255, 255]


def test_a_large_page_is_drawn_as_large_as_one_picture_may_be():
    # A0 of ISO 216: 1189 mm × 841 mm.
    shown = plan_picture(pdf((3370, 2384)))
    assert max(shown.width_px, shown.height_px) == raster.LONGEST_SIDE_PX


def test_of_a_pdf_with_several_pages_the_page_is_asked_for():
    content = pdf((100, 100), (300, 100))
    with pytest.raises(
        PlanRefused, match="The PDF has 2 pages. Say which of them is the plan, from 1 to 2."
    ) as refusal:
        plan_picture(content)
    assert refusal.value.field == "page_number"
    with pytest.raises(PlanRefused, match="there is no page 3. Say one from 1 to 2."):
        plan_picture(content, page=3)
    shown = plan_picture(content, page=2)
    assert shown.width_px > 2 * shown.height_px and shown.pages == 2


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (pdf((100, 100), encryption=pikepdf.Encryption(owner="o", user="u")), "locked with a password"),
        (pdf((100, 100))[:120], "it is damaged"),
        (drawn()[:200], "it is damaged"),
        (png_of_size(30_000, 30_000), "larger than 89 million pixels"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "an SVG drawing by its content. Choose a PDF, PNG"),
    ],
    ids=["password", "broken PDF", "broken picture", "too large", "other content"],
)
def test_what_gives_no_picture_is_refused_in_a_sentence(content, sentence):
    with pytest.raises(PlanRefused, match=sentence):
        plan_picture(content)


def test_a_transparent_picture_is_seen_on_white_and_nothing_rides_along():
    picture = Image.new("RGBA", (40, 20), (0, 0, 0, 0))
    file = io.BytesIO()
    exif = Image.Exif()
    exif[0x010E] = "who drew it"
    picture.save(file, "PNG", exif=exif)
    shown = picture_of(plan_picture(file.getvalue()))
    assert shown.convert("RGB").getpixel((5, 5)) == (255, 255, 255)
    assert not shown.getexif()


def test_a_process_that_dies_at_its_limits_is_a_refusal_too(monkeypatch, tmp_path):
    dying = tmp_path / "dying.py"
    dying.write_text("import os, signal; os.kill(os.getpid(), signal.SIGKILL)")
    monkeypatch.setattr(rasterising, "PROGRAM", dying)
    with pytest.raises(PlanRefused, match="too long or too much memory"):
        plan_picture(drawn())


def test_a_fault_of_the_installation_is_not_told_as_one_of_the_file(monkeypatch, tmp_path):
    lacking = tmp_path / "lacking.py"
    lacking.write_text("import a_library_that_is_not_installed")
    monkeypatch.setattr(rasterising, "PROGRAM", lacking)
    with pytest.raises(RuntimeError, match="a_library_that_is_not_installed"):
        plan_picture(drawn())


@pytest.mark.django_db
def test_a_further_revision_takes_the_place_of_the_one_before_and_keeps_it(town):
    first, second = add_plan(town), add_plan(town, mark="B")
    first.refresh_from_db()
    assert [(one.revision, one.is_in_force) for one in (first, second)] == [(1, False), (2, True)]
    with default_storage.open(first.file.name) as file:
        assert file.read() == drawn()


@pytest.mark.django_db
def test_the_same_drawing_twice_is_one_revision(town):
    assert add_plan(town) == add_plan(town)
    assert FloorPlan.objects.count() == 1
