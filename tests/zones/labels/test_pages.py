"""Sheets of labels: what is chosen, what is refused, and where each label lies on paper."""

import subprocess
from xml.etree import ElementTree

import pikepdf
import pytest
from django.urls import reverse
from django.utils import timezone

from tests import builders
from tests.zones.wiring.wired import wire_town
from zones.engineering.drawings.label_sheets import PAD_MM, QUIET_MODULES, STOCKS
from zones.labels import document as documents
from zones.labels.words import CHOICES, LabelWords
from zones.models import DeviceKind, EndOfLinePart, Position

A4_MM = (210.0, 297.0)  # ISO 216
MM_PER_POINT = 25.4 / 72
DEVICES = {"what": "devices", "stock": "3x8"}


@pytest.fixture
def wired(town, shared):
    return shared.built(wire_town, town)


@pytest.fixture
def page(as_, wired):
    def page(person="engineer", **query):
        return as_(person).get(reverse("label-list", args=[wired.hall.slug]), query)

    return page


@pytest.fixture
def pdf(as_, wired, tmp_path):
    def pdf(**query):
        response = as_("engineer").get(reverse("label-pdf", args=[wired.hall.slug]), query)
        assert response.status_code == 200
        path = tmp_path / "labels.pdf"
        path.write_bytes(response.content)
        return path

    return pdf


def words_of(path):
    """(page, text, x, y) in mm of every word, as poppler reads the file."""
    found = subprocess.run(["pdftotext", "-bbox", path, "-"], capture_output=True, check=True, text=True).stdout
    inner = found.split("<doc>")[1].split("</doc>")[0]
    root = ElementTree.fromstring(f"<doc>{inner}</doc>")  # noqa: S314
    return [
        (number, word.text, float(word.get("xMin")) * MM_PER_POINT, float(word.get("yMin")) * MM_PER_POINT)
        for number, sheet in enumerate(root.iter("page"))
        for word in sheet.iter("word")
    ]


def tags_of(response):
    svg = response.context["preview"]
    texts = ElementTree.fromstring(svg).iter("{http://www.w3.org/2000/svg}text")  # noqa: S314  our own
    return [text.text for text in texts if text.get("class") == "d-tag"]


# What is chosen


def test_devices_are_labelled_in_natural_order_with_zone_line_and_terminals(page):
    Position.objects.filter(tag="M1").update(place="at the top")
    response = page(**DEVICES)
    assert tags_of(response) == ["CP1", "M1", "P1", "SD1"]
    for text in ("zone 1", "P1 line 1", "-X5:1, 2", "P1 circuit 1", "group 1.1"):
        assert text in response.context["preview"]


def test_a_second_language_puts_the_fixed_words_in_both_and_leaves_what_was_typed(page):
    Position.objects.filter(tag="SD1").update(place="beside the door")
    preview = page(**DEVICES, language="en", second_language="pl", tags="SD1").context["preview"]
    for text in ("zone / strefa 1", "linia", "smoke detector /", "czujka", "beside the door"):
        assert text in preview


@pytest.mark.parametrize("code", [code for code, _ in CHOICES])
def test_every_language_has_every_fixed_word(code):
    words, german = LabelWords(code), LabelWords("de")
    for word in (*(label for _, label in DeviceKind.choices), "zone", "to", "end-of-line module here"):
        assert words(word)
    assert german("zone") == "Zone" and LabelWords("en", "de")("zone") == "Zone"  # one look, said once


def test_where_the_run_starts_stands_beside_the_run_not_beside_the_resistor(page):
    """ "end-of-line resistor here, -X5:1" would send somebody to the panel to look for it."""
    preview = page(**DEVICES, tags="SD1").context["preview"]
    assert preview.index("P1 line 1") < preview.index("-X5:1, 2") < preview.index("end-of-line")


def test_where_the_resistor_of_a_line_sits_the_label_says_so(page, wired):
    preview = page(**DEVICES, second_language="de").context["preview"]
    assert (
        preview.count("end-of-line resistor here")
        == EndOfLinePart.objects.filter(first__position__isnull=False).count()
    )


@pytest.mark.parametrize(
    ("query", "tags"),
    [
        ({"tags": "sd1, M1"}, ["M1", "SD1"]),
        ({"storey": "1"}, ["SD1"]),
        ({"zone": "zone"}, ["CP1", "M1", "SD1"]),
        ({"panel": "panel"}, ["CP1", "M1", "P1", "SD1"]),
        ({"zone": "zone", "tags": "P1 SD1"}, ["SD1"]),
    ],
)
def test_a_part_of_the_building_can_be_chosen(page, wired, query, tags):
    query = {name: getattr(wired, value).pk if value in ("zone", "panel") else value for name, value in query.items()}
    assert tags_of(page(**DEVICES, **query)) == tags


def test_the_storeys_to_choose_from_stand_in_the_order_of_the_building(page, wired):
    for number, storey in enumerate(("10", "2", "0", "-1", "roof")):
        builders.make_position(wired.hall, "smoke_detector", tag=f"O{number}", storey=storey)
    shown = [words for _, words in page(**DEVICES).context["form"].fields["storey"].choices]
    wanted = ["storey -1", "ground floor", "storey 2", "storey 10", "roof"]
    assert [words for words in shown if words in wanted] == wanted


def test_a_cable_gets_a_label_for_each_end(page):
    assert tags_of(page(what="cables", stock="3x8")) == ["W1", "W1"]


def test_a_core_is_told_from_both_ends(page):
    response = page(what="cores", stock="3x8", tags="W1")
    assert tags_of(response) == ["W1.1 BN", "W1.1 BN", "W1.2 BN", "W1.2 BN"]
    for text in ("P1 -X5:1", "to SD1 -X1:1", "SD1 -X1:1", "to P1 -X5:1"):
        assert f">{text}<" in response.context["preview"]


def test_the_code_holds_the_address_of_the_position(monkeypatch, page, wired, settings):
    settings.PUBLIC_URL = "https://register.example"
    made = []
    monkeypatch.setattr(documents.segno, "make", lambda text, **rest: made.append(text) or FakeCode())
    page(**DEVICES, tags="SD1")
    assert made == [f"https://register.example{reverse('position-at', args=[wired.detector.pk])}"]


class FakeCode:
    matrix = (b"\x01\x00", b"\x00\x01")


def test_devices_that_were_no_longer_used_get_no_label(page, wired):
    Position.objects.filter(tag="M1").update(retired_on=timezone.localdate())
    assert "M1" not in tags_of(page(**DEVICES))


# On paper


@pytest.mark.parametrize("stock", ["3x8", "2x7", "5x13"])
def test_labels_lie_where_the_sheet_has_them_to_a_tenth_of_a_millimetre(pdf, wired, stock, settings):
    for number in range(70):
        builders.make_position(wired.hall, "smoke_detector", tag=f"N{number:02}", storey="9")
    path = pdf(what="devices", stock=stock, storey="9", start=3)
    grid = STOCKS[stock]
    with pikepdf.open(path) as file:
        assert [[float(v) * MM_PER_POINT for v in each.mediabox] for each in file.pages] == [
            pytest.approx((0, 0, *A4_MM), abs=0.1)
        ] * -(-72 // grid.per_sheet)
    tags = [word for word in words_of(path) if word[1].startswith("N")]
    assert [tag for _, tag, _, _ in tags] == [f"N{number:02}" for number in range(70)]
    per_sheet = [sum(word[0] == sheet for word in tags) for sheet in range(-(-72 // grid.per_sheet))]
    assert per_sheet[0] == min(70, grid.per_sheet - 2) and max(per_sheet) <= grid.per_sheet
    # The distance from the label's left edge to the tag is the same on all: its code with clear space on both sides.
    for at, (sheet, _, x, _) in enumerate(tags, start=2):
        place = grid.place(at % grid.per_sheet)
        assert sheet == at // grid.per_sheet
        assert x - place.x == pytest.approx(tags[0][2] - grid.place(2).x, abs=0.1)


def test_a_label_without_a_code_begins_at_its_edge_less_the_margin(pdf):
    own = {"columns": 5, "rows": 20, "width_mm": 30, "height_mm": 9, "left_mm": 20, "top_mm": 12.5}
    words = words_of(pdf(what="devices", stock="own", tags="SD1", **own))
    (x,) = [x for _, text, x, _ in words if text == "SD1"]
    assert x == pytest.approx(20 + PAD_MM, abs=0.1)
    assert QUIET_MODULES == 4  # ISO/IEC 18004


def test_the_file_has_a_name_that_a_person_would_give(as_, wired):
    response = as_("office").get(reverse("label-pdf", args=[wired.hall.slug]), DEVICES)
    day = timezone.localdate().isoformat()
    assert f'filename="Ropewalk-Hall_labels-devices_{day}.pdf"' in response["Content-Disposition"]


# What is refused


@pytest.mark.parametrize(
    ("query", "field", "sentence"),
    [
        (
            {"tags": "SD1, SD99 X7"},
            "tags",
            "'SD99', 'X7' are no devices of Ropewalk Hall. Correct them, or leave them out.",
        ),
        ({"tags": "SD99"}, "tags", "'SD99' is no device of Ropewalk Hall. Correct it, or leave it out."),
        ({"start": "25"}, "start", "A sheet has 24 labels; 25 is more. Enter a number from 1 to 24."),
        ({"stock": "own"}, "columns", "Own measures need this figure. Measure it on the sheet."),
        (
            {"stock": "own", "columns": 4, "rows": 8, "width_mm": 60, "height_mm": 30, "left_mm": 0, "top_mm": 0},
            "width_mm",
            "4 columns of 60 mm with their edge and gaps take 240 mm; A4 is 210 mm wide. "
            "Enter fewer columns, or smaller measures.",
        ),
        ({"stock": "own", "columns": 99}, "columns", "99 is not possible: it must be from 1 to 20."),
        ({"stock": "own", "width_mm": "3"}, "width_mm", "3 mm is not possible: it must be from 10 to 210 mm."),
        (
            {"stock": "own", "width_mm": "wide"},
            "width_mm",
            "'wide' is not a number. Enter a number in plain digits, such as 12.5.",
        ),
        ({"what": "plants"}, "what", "Select a valid choice. plants is not one of the available choices."),
    ],
)
def test_what_cannot_be_printed_is_refused_at_its_field(page, query, field, sentence):
    response = page(**{**DEVICES, **query})
    assert response.status_code == 422
    assert response.context["form"].errors[field] == [sentence]
    assert "preview" not in response.context


def test_cables_of_a_zone_are_refused_since_a_cable_belongs_to_none(page, wired):
    response = page(what="cables", stock="3x8", zone=wired.zone.pk)
    assert response.context["form"].errors["zone"] == [
        "A cable belongs to no zone: choose a panel or tags, and leave this empty."
    ]


def test_a_choice_that_holds_nothing_says_so(page, wired):
    bare = builders.make_zone(wired.hall, number=9)
    assert "Choose a wider part" in page(**DEVICES, zone=bare.pk).content.decode()


def test_too_many_labels_for_one_file_are_refused(page, monkeypatch):
    monkeypatch.setattr("zones.labels.views.MOST_LABELS", 2)
    assert "4 labels are too many for one file (at most 2)." in page(**DEVICES).content.decode()


def test_the_pdf_of_a_refused_choice_leads_back_to_the_form(as_, wired):
    response = as_("office").get(reverse("label-pdf", args=[wired.hall.slug]), {**DEVICES, "start": "25"})
    assert response.url == reverse("label-list", args=[wired.hall.slug]) + "?what=devices&stock=3x8&start=25"


def test_a_stranger_gets_no_labels(as_, wired):
    for name in ("label-list", "label-pdf"):
        assert as_("stranger").get(reverse(name, args=[wired.hall.slug]), DEVICES).status_code == 404


def test_the_schedules_lead_to_the_labels(as_, wired):
    text = as_("manager").get(reverse("schedule-list", args=[wired.hall.slug])).content.decode()
    assert reverse("label-list", args=[wired.hall.slug]) in text
