"""Paper with long tables: the same sheet as the other engine makes, and nothing that could be lost without a word."""

import io
import subprocess
from datetime import UTC, date, datetime

import pikepdf
import pytest

from sites_registry.documents import typeset
from sites_registry.documents.base import RevisionRow, Revisions, TitleBlock, render_pdf
from sites_registry.documents.typeset import Column, PaperError, table_of, typeset_pdf
from sites_registry.models import Firm
from tests.paper_text import sheets_of, text_of
from tests.sites_registry.documents.margins import words_over_the_margin

NOW = datetime(2026, 11, 25, 14, 32, tzinfo=UTC)
ROW = ["V1", "Stair 2"]


def title_block(**fields):
    return TitleBlock(
        **{
            "title": "Test sheet",
            "number": "T-1",
            "building": "Ropewalk Hall",
            "client": "Quay Housing",
            "issued_on": date(2026, 11, 25),
            "prepared_by": "Orla Finch",
            "firm": Firm(name="Tarn Vents"),
            "address": "https://register.example/x/",
            **fields,
        }
    )


def sheet(*rows, lead="All of it.", **fields):
    columns = (Column("Tag", 24, "code"), Column("Place"))
    data = {"heading": "Test sheet", "lead": lead, **table_of(columns, (["Panel P1", ": 1"], list(rows) or [ROW]))}
    return typeset_pdf("documents/schedule_paper.typ", data, title_block=title_block(**fields), created_at=NOW)


@pytest.fixture
def template(tmp_path, monkeypatch):
    """Sets a template of its own text."""
    monkeypatch.setattr(typeset, "TEMPLATES", tmp_path)

    def made(text):
        (tmp_path / "own.typ").write_text(text)
        return typeset_pdf("own.typ", {}, title_block=title_block(), created_at=NOW)

    return made


def test_it_says_that_it_is_pdf_a_3a_in_english_and_tagged():
    # ISO 19005-3: identification in XMP, an output intent, the tag tree and the language. Declared, not validated.
    with pikepdf.open(io.BytesIO(sheet())) as pdf:
        metadata = pdf.open_metadata()
        assert metadata["pdfaid:part"] == "3" and metadata["pdfaid:conformance"].upper() == "A"
        assert pdf.Root.OutputIntents and pdf.Root.StructTreeRoot
        assert bool(pdf.Root.MarkInfo.Marked) and str(pdf.Root.Lang) == "en-GB"


def test_its_typefaces_are_embedded_and_ours():
    listing = subprocess.run(["pdffonts", "-"], input=sheet(["V1", "■ Ω"]), capture_output=True, check=True).stdout
    fonts = [line.split() for line in listing.decode().splitlines()[2:]]
    assert {row[0].partition("+")[2].split("-")[0] for row in fonts} == {"Sheet", "DejaVuSans"}
    assert {row[-5] for row in fonts} == {"yes"}  # column "emb"


@pytest.mark.parametrize("landscape", [True, False])
def test_both_engines_write_the_same_title_block(landscape):
    fields = {"landscape": landscape, "revision": "as of 25 Nov 2026, 14:32", "stamp": "Wiring incomplete"}
    other = render_pdf("documents/base_document.html", {}, title_block=title_block(**fields), created_at=NOW)
    ours = "".join(text_of(sheet(**fields)).split())
    assert [word for word in text_of(other).split() if word not in ours] == []


@pytest.mark.parametrize(("rows", "shown"), [(3, ["3", "2", "1"]), (17, ["3"]), (18, [])])
def test_the_revision_index_takes_what_is_left_of_the_last_sheet_and_never_one_more(rows, shown):
    revisions = Revisions("–", rows=tuple(RevisionRow(n, "8 Nov 2025", "Orla Finch", f"change {n}") for n in "321"))
    table = [["V1", "Stair"]] * rows
    (lines, *more) = sheets_of(sheet(*table, landscape=True, revisions=revisions))[:-1]
    assert not more and [line[0] for line in lines if "Orla Finch change" in " ".join(line.split())] == shown


def test_text_that_looks_like_markup_comes_out_as_it_was_typed():
    typed = '#panic("x") $x^2$ *bold* _u_ @ref ] \\ //'
    assert typed in text_of(sheet(["V1", typed], lead=typed))


def test_letters_of_other_languages_and_signs_are_set():
    assert "Łódź Ōtsu Ω ≥ ■ ▲ ☑" in text_of(sheet(["V1", "Łódź Ōtsu Ω ≥ ■ ▲ ☑"]))


def test_a_sign_that_no_typeface_has_is_an_empty_square_and_no_hole():
    assert "East \N{WHITE SQUARE}\N{WHITE SQUARE} wing" in text_of(sheet(["V1", "East 東館 wing"]))


def test_the_head_and_the_group_repeat_on_each_sheet():
    sheets = sheets_of(sheet(*[[f"V{number}", "Stair"] for number in range(80)]))[:-1]
    assert len(sheets) > 1
    for lines in sheets:
        assert any("Tag" in line and "Place" in line for line in lines)
        assert any("Panel P1" in line for line in lines)


def test_a_word_longer_than_its_column_is_broken_and_stays_on_the_sheet():
    pdf = sheet(["V1", "x" * 400], landscape=False)
    assert words_over_the_margin(pdf) == []
    assert "".join(text_of(pdf).split()).count("x") >= 400


def test_the_same_data_gives_the_same_bytes():
    assert sheet() == sheet()


def test_a_warning_ends_it_for_a_typeface_that_is_not_found_gives_sheets_without_text(template):
    with pytest.raises(PaperError, match="unknown font family"):
        template('#set text(font: "No Such Face")\nWords.')


@pytest.mark.parametrize("text", ['#read("/../settings.py")', '#read("/etc/hostname")'])
def test_a_template_reads_nothing_outside_its_folder(template, text):
    with pytest.raises(PaperError):
        template(text)


def test_a_paper_that_takes_too_long_ends_alone(template, monkeypatch):
    monkeypatch.setattr(typeset, "PATIENCE_S", 0.01)
    with pytest.raises(PaperError, match="not set within"):
        template("Words.")


def test_a_paper_that_takes_too_much_memory_ends_alone(template):
    with pytest.raises(PaperError):
        template('#let t = "x" * 2000000000\n#t.len()')
