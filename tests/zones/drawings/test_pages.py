"""The drawings of a panel: page, SVG and PDF, each for the people who see the panel."""

import io
import subprocess
from xml.etree import ElementTree

import pikepdf
import pytest
from django.urls import reverse
from django.utils import timezone
from PIL import Image

from tests import builders
from tests.zones.wiring.wired import wire_town

KINDS = ("wiring-diagram", "zone-overview")
SVG = "{http://www.w3.org/2000/svg}"
A3_LANDSCAPE_MM = (420.0, 297.0)  # ISO 216
MM_PER_POINT = 25.4 / 72


@pytest.fixture
def wired(town, shared):
    return shared.built(wire_town, town)


def url(kind, panel, form=""):
    return reverse(f"{kind}-{form}" if form else kind, args=[panel.pk])


def texts_of(svg):
    return {element.text for element in ElementTree.fromstring(svg).iter(f"{SVG}text")}  # noqa: S314  our own


@pytest.mark.parametrize("person", ["manager", "engineer", "office"])
@pytest.mark.parametrize("kind", KINDS)
def test_whoever_sees_the_panel_sees_its_drawings(as_, wired, person, kind):
    response = as_(person).get(url(kind, wired.panel))
    assert response.status_code == 200
    assert "SD1" in response.content.decode()


@pytest.mark.parametrize("form", ["", "svg", "pdf"])
@pytest.mark.parametrize("kind", KINDS)
def test_a_stranger_sees_none_of_them(as_, wired, kind, form):
    assert as_("stranger").get(url(kind, wired.panel, form)).status_code == 404


def test_the_wiring_diagram_draws_the_recorded_cores_and_element(as_, wired):
    texts = texts_of(as_("office").get(url("wiring-diagram", wired.panel, "svg")).content)
    assert {"P1", "SD1", "-X5:1", "W1.1 BN", "W1.2 BN", "10 kΩ", "Line 1"} <= texts


@pytest.mark.parametrize("form", ["", "svg", "pdf"])
def test_a_core_on_a_terminal_stored_at_the_panels_own_position_is_drawn(as_, wired, form):
    stray = builders.make_terminal(position=wired.panel.position, block="X9", number="1")
    at_device = builders.make_terminal(position=wired.detector, block="X8", number="1")
    builders.connect(builders.make_core(builders.make_cable(wired.hall, tag="W77"), number=1), stray, at_device)
    response = as_("office").get(url("wiring-diagram", wired.panel, form))
    assert response.status_code == 200
    if form == "svg":
        assert {"-X9:1", "W77.1"} <= texts_of(response.content)


def test_a_device_on_the_diagram_leads_to_its_page(as_, wired):
    page = as_("office").get(url("wiring-diagram", wired.panel)).content.decode()
    assert f'<a href="{reverse("position-detail", args=[wired.detector.pk])}">' in page


def test_links_of_a_saved_diagram_lead_to_the_register(as_, wired, settings):
    settings.PUBLIC_URL = "https://register.example"
    svg = as_("office").get(url("wiring-diagram", wired.panel, "svg")).content.decode()
    assert f'href="https://register.example{reverse("position-detail", args=[wired.detector.pk])}"' in svg


def test_the_zone_overview_leads_from_inputs_to_vents(as_, wired):
    texts = texts_of(as_("office").get(url("zone-overview", wired.panel, "svg")).content)
    assert {"CP1", "SD1", "line 1", "Circuit 1", "Group 1.1", "V1", "M1", "Zone 1 · Main stair"} <= texts


@pytest.mark.parametrize("kind", KINDS)
def test_files_carry_names_that_a_person_would_give(as_, wired, kind):
    day = timezone.localdate().isoformat()
    for form in ("svg", "pdf"):
        response = as_("office").get(url(kind, wired.panel, form))
        assert f'filename="Ropewalk-Hall_{kind}-p1_{day}.{form}"' in response["Content-Disposition"]


@pytest.mark.parametrize("kind", KINDS)
def test_the_pdf_is_a3_landscape_with_a_title_block(as_, wired, kind, tmp_path):
    path = tmp_path / "drawing.pdf"
    path.write_bytes(as_("office").get(url(kind, wired.panel, "pdf")).content)
    with pikepdf.open(path) as pdf:
        sizes = [[float(value) * MM_PER_POINT for value in page.mediabox[2:]] for page in pdf.pages]
    assert sizes == [pytest.approx(A3_LANDSCAPE_MM, abs=0.1)]
    words = subprocess.run(["pdftotext", "-layout", path, "-"], capture_output=True, check=True, text=True).stdout
    assert "Quay Housing" in words and "1 of 1" in words and "SD1" in words
    grey = subprocess.run(["pdftoppm", "-gray", "-r", "127", path], capture_output=True, check=True).stdout
    with Image.open(io.BytesIO(grey)) as sheet:  # five pixels a millimetre: the frame and its border, ISO 5457
        darkest = [sheet.crop((x * 5 - 2, 1000, x * 5 + 3, 1001)).getextrema()[0] for x in (5, 8, 10, 410, 415)]
    assert [grey < 50 for grey in darkest] == [True, False, True, True, True]


def test_capitals_of_the_printed_diagram_are_2_5_mm_high(as_, wired, tmp_path):
    # ISO 3098-0, the smallest lettering for A3 (from memory); measured as poppler reads the file.
    path = tmp_path / "drawing.pdf"
    path.write_bytes(as_("office").get(url("wiring-diagram", wired.panel, "pdf")).content)
    found = subprocess.run(["pdftotext", "-bbox", path, "-"], capture_output=True, check=True, text=True).stdout
    inner = found.split("<doc>")[1].split("</doc>")[0]
    root = ElementTree.fromstring(f"<doc>{inner}</doc>")  # noqa: S314
    words = {word.text: word for word in root.iter("word")}
    width_mm = (float(words["-X5:1"].get("xMax")) - float(words["-X5:1"].get("xMin"))) * MM_PER_POINT
    # Five characters, each 0.6 of the size wide; a capital of Source Code Pro is 0.66 of the size high.
    assert width_mm / 5 / 0.6 * 0.66 >= 2.5


def test_without_a_core_the_diagram_says_what_to_do(as_, town):
    page = as_("engineer").get(url("wiring-diagram", town.panel)).content.decode()
    assert "No core is recorded at this panel" in page and reverse("panel-wiring", args=[town.panel.pk]) in page
    assert "<svg" not in page
    assert as_("engineer").get(url("wiring-diagram", town.panel, "pdf")).status_code == 404


def test_a_manager_is_not_sent_to_record_cores(as_, town):
    page = as_("manager").get(url("wiring-diagram", town.panel)).content.decode()
    assert "No core is recorded at this panel" in page
    assert 'class="empty"' in page and "Wiring of the panel" not in page


def test_without_an_input_or_a_vent_the_overview_says_so(as_, town):
    bare = builders.make_panel(town.hall, tag="P9")
    assert "nothing to draw" in as_("office").get(url("zone-overview", bare)).content.decode()


def test_the_panel_and_the_schedules_lead_to_the_drawings(as_, wired):
    for page in (wired.panel.get_absolute_url(), reverse("schedule-list", args=[wired.hall.slug])):
        text = as_("manager").get(page).content.decode()
        assert all(url(kind, wired.panel) in text for kind in KINDS)
