"""Paper in general: PDF/A identification, tags, embedded fonts, title block, and what rendering may read."""

import io
import re
import subprocess
from datetime import UTC, date, datetime
from types import SimpleNamespace

import pikepdf
import pytest
from weasyprint import HTML
from weasyprint.urls import FatalURLFetchingError

from sites_registry.documents.base import SheetFetcher, TitleBlock, render_pdf, render_plain_pdf, with_units_kept
from sites_registry.models import Firm
from tests.sites_registry.documents.margins import words_over_the_margin

NOW = datetime(2026, 11, 25, 14, 32, tzinfo=UTC)


def title_block(**fields):
    return TitleBlock(
        **{
            "title": "Test sheet",
            "number": "T-1",
            "building": "Ropewalk Hall",
            "client": "Quay Housing",
            "issued_on": date(2026, 11, 25),
            "revision": "B",
            "prepared_by": "Orla Finch",
            "firm": Firm(name="Tarn Vents"),
            "address": "https://register.example/x/",
            **fields,
        }
    )


def sheet(**fields):
    return render_pdf("documents/base_document.html", {}, title_block=title_block(**fields), created_at=NOW)


def words_of(pdf):
    text = subprocess.run(["pdftotext", "-layout", "-", "-"], input=pdf, capture_output=True, check=True).stdout
    return " ".join(text.decode().split())


def test_a_sheet_says_that_it_is_pdf_a_3a_in_english_and_tagged():
    # ISO 19005-3: identification in XMP, an output intent, the tag tree and the language. Declared, not validated.
    with pikepdf.open(io.BytesIO(sheet())) as pdf:
        metadata = pdf.open_metadata()
        assert metadata["pdfaid:part"] == "3" and metadata["pdfaid:conformance"].upper() == "A"
        assert pdf.Root.OutputIntents and pdf.Root.StructTreeRoot
        assert bool(pdf.Root.MarkInfo.Marked) and str(pdf.Root.Lang) == "en-GB"


def test_every_font_of_a_sheet_is_embedded():
    listing = subprocess.run(["pdffonts", "-"], input=sheet(), capture_output=True, check=True).stdout.decode()
    fonts = listing.splitlines()[2:]
    assert fonts
    for font in fonts:
        assert font.split()[-5] == "yes", font  # column "emb"


@pytest.mark.parametrize(
    "written, kept",
    [
        ("<td>10 kΩ</td>", "<td>10\N{NO-BREAK SPACE}kΩ</td>"),
        ("opens in 60 s, at 24.5 V", "opens in 60\N{NO-BREAK SPACE}s, at 24.5\N{NO-BREAK SPACE}V"),
        ("20 °C", "20\N{NO-BREAK SPACE}°C"),
        ("2 sheets, 3 Mar 2026", "2 sheets, 3 Mar 2026"),
        ('<col width="2 m">', '<col width="2 m">'),
    ],
)
def test_a_number_is_not_parted_from_its_unit_at_the_end_of_a_line(written, kept):
    assert with_units_kept(written) == kept


@pytest.mark.parametrize("landscape", [True, False])
def test_the_title_block_states_what_iso_7200_asks_for(landscape):
    # ISO 7200: legal owner, identification number, date of issue, sheet number, title, creator (from memory).
    words = words_of(sheet(landscape=landscape))
    for expected in (
        "Tarn Vents",
        "T-1",
        "25 Nov 2026",
        "1 of 1",
        "Test sheet",
        "Orla Finch",
        "Ropewalk Hall",
        "Quay Housing",
        "Uncontrolled when printed",
        "https://register.example/x/",
    ):
        assert expected in words


@pytest.mark.parametrize("landscape", [True, False])
def test_a_long_name_stays_inside_its_cell_of_the_title_block(landscape):
    """Every line of a name of 80 letters lies above the line about uncontrolled copies, as pdftotext measures it."""
    name = "Long Quay Warehouse on the Water Front with all its Upper and Lower Storage End"
    pdf = sheet(landscape=landscape, building=name, number="long-quay-warehouse-upper/p1/wiring-diagram")
    boxes = subprocess.run(["pdftotext", "-bbox", "-", "-"], input=pdf, capture_output=True, check=True).stdout.decode()
    heights = {word: float(low) for low, word in re.findall(r'yMax="([\d.]+)">([^<]+)</word>', boxes)}
    # Cells are 8 mm high (22.7 pt): the last word of the name stays within one cell of its heading.
    assert 0 < heights["End"] - heights["Building"] < 22.7 - heights_of_label()


def test_a_long_revision_stays_inside_its_cell_of_an_upright_sheet():
    pdf = sheet(landscape=False, revision="as of 29 Nov 2026, 19:28")
    boxes = subprocess.run(["pdftotext", "-bbox", "-", "-"], input=pdf, capture_output=True, check=True).stdout.decode()
    heights = {word: float(low) for low, word in re.findall(r'yMax="([\d.]+)">([^<]+)</word>', boxes)}
    assert 0 < heights["19:28"] - heights["Revision"] < 22.7 - heights_of_label()


@pytest.mark.parametrize(("width", "found"), [("60mm", []), ("16mm", ["2026"])])
def test_a_word_that_runs_over_the_right_margin_is_found(width, found):
    html = f'<body class="portrait"><p style="margin-left: calc(100% - {width}); white-space: nowrap">29 Nov 2026</p>'
    assert words_over_the_margin(render_plain_pdf(html, identifier="x")) == found


def heights_of_label():
    """Height of a heading and the padding of a cell above it: 5.5 pt × 1.2 and 0.8 mm."""
    return 5.5 * 1.2 + 0.8 * 72 / 25.4


def test_the_same_statement_gives_the_same_bytes():
    assert sheet() == sheet()


def test_names_are_escaped():
    assert "<b>Hall</b>" in words_of(sheet(building="<b>Hall</b>"))


@pytest.mark.parametrize(
    "url", ["file:///etc/hostname", "http://127.0.0.1:9/x.png", "static:../settings.py", "picture:unknown", "data:,x"]
)
def test_a_document_that_asks_for_anything_else_is_not_made(url):
    with pytest.raises(FatalURLFetchingError):
        HTML(string=f'<img src="{url}" alt="x">', url_fetcher=SheetFetcher(), base_url="static:").write_pdf()


def test_a_picture_given_by_the_caller_is_shown():
    from PIL import Image

    file = io.BytesIO()
    Image.new("RGB", (20, 20), "red").save(file, "PNG")
    fetcher = SheetFetcher({"photo": file.getvalue()})
    pdf = HTML(string='<img src="picture:photo" alt="x">', url_fetcher=fetcher, base_url="static:").write_pdf()
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        assert opened.pages[0].get_images()


def test_a_sheet_of_records_says_as_of_which_minute_of_the_registers_day_they_stand(settings):
    settings.PUBLIC_URL = "https://register.example"
    block = TitleBlock.as_of(
        datetime(2026, 7, 24, 23, 30, tzinfo=UTC),  # past midnight in London, the register's time zone
        SimpleNamespace(name="Ropewalk Hall", client=SimpleNamespace(name="Quay Housing")),
        title="Device schedule",
        number="T-2",
        prepared_by=SimpleNamespace(full_name="Orla Finch"),
        address="/x/",
        firm=Firm(name="Tarn Vents"),
    )
    assert (block.issued_on, block.revision) == (date(2026, 7, 25), "as of 25 Jul 2026, 00:30")
    assert (block.building, block.client, block.prepared_by) == ("Ropewalk Hall", "Quay Housing", "Orla Finch")
    assert block.address == "https://register.example/x/"
