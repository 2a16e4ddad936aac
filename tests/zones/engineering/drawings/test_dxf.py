"""Drawings as DXF: what ezdxf reads back of them is sound, and the same shapes and lines of text as in the SVG."""

import io
from collections import Counter
from xml.etree import ElementTree

import ezdxf
import pytest

from tests.zones.engineering.drawings.overviews import overview_of as zones_of
from tests.zones.engineering.drawings.test_svg import svg_of
from tests.zones.engineering.drawings.wirings import sound_panel
from zones.engineering.drawings.dxf import LAYERS, drawing_dxf, lines_of
from zones.engineering.drawings.overview_layout import lay_out
from zones.engineering.drawings.overview_svg import overview_svg

SVG = "{http://www.w3.org/2000/svg}"


def zone_overview():
    data = zones_of(3)
    (sheet,) = lay_out(data)
    return overview_svg(sheet, data, title="Zones of P1", description="", href=lambda key: None, with_states=False)


DRAWN = {"wiring diagram": lambda: svg_of(sound_panel(40)), "zone overview": zone_overview}


@pytest.fixture(params=DRAWN, scope="module")
def both(request):
    """The SVG's elements, and the DXF as read back."""
    svg = DRAWN[request.param]()
    text = drawing_dxf(svg, title="Wiring of P1").decode()
    return list(ElementTree.fromstring(svg).iter()), ezdxf.read(io.StringIO(text))  # noqa: S314  our own text


def test_the_audit_of_the_library_finds_nothing(both):
    auditor = both[1].audit()
    assert (auditor.errors, auditor.fixes) == ([], [])


def test_it_is_of_2010_in_millimetres_with_its_title(both):
    assert both[1].dxfversion == "AC1024"
    assert (both[1].header["$INSUNITS"], both[1].header["$MEASUREMENT"]) == (4, 1)
    assert both[1].header.custom_vars.get("Title") == "Wiring of P1"


def test_each_line_of_text_stands_there_once_where_the_picture_has_it(both):
    elements, doc = both
    top = 2 * float(elements[0].get("viewBox").split()[1]) + float(elements[0].get("viewBox").split()[3])
    in_svg = Counter(
        (text_of(one), round(float(one.get("x")), 2), round(top - float(one.get("y")), 2))
        for one in elements
        if one.tag == f"{SVG}text"
    )
    in_dxf = Counter()
    for one in doc.modelspace().query("TEXT"):
        _, at, other = one.get_placement()
        place = other or at
        in_dxf[(one.dxf.text, round(place.x, 2), round(place.y, 2))] += 1
    assert in_dxf == in_svg
    assert in_svg.total() > 50


def text_of(element):
    return "".join(element.itertext())


def test_each_shape_is_one_entity(both):
    """A path is as many as it has lines; what is filled is a hatch; the ground is none."""
    elements, doc = both
    wanted = Counter()
    for one in elements:
        name = one.tag.removeprefix(SVG)
        if name == "path":
            wanted["line"] += len(lines_of(one.get("d")))
        elif name in ("rect", "circle", "polygon") and "d-ground" not in (one.get("class") or ""):
            is_filled = one.get("fill") == "#111"
            wanted["hatch" if is_filled else {"circle": "circle"}.get(name, "line")] += 1
    kinds = {"LWPOLYLINE": "line", "CIRCLE": "circle", "HATCH": "hatch", "TEXT": "text"}
    found = Counter(kinds[one.dxftype()] for one in doc.modelspace())
    del found["text"]
    assert found == wanted


def test_everything_is_on_a_layer_of_its_own(both):
    assert {one.dxf.layer for one in both[1].modelspace()} <= set(LAYERS)


def test_cores_links_parts_and_tags_are_told_apart():
    doc = ezdxf.read(io.StringIO(drawing_dxf(svg_of(sound_panel(4)), title="").decode()))
    assert {"CORES", "INSIDE", "PARTS", "FRAMES", "TERMINALS", "TAGS"} <= {one.dxf.layer for one in doc.modelspace()}


def test_steps_of_a_path_are_read_as_svg_says():
    """SVG 1.1, 8.3: small letters count from the point before."""
    assert lines_of("M1 2H4v3l-1 1L0 0M5 5V7ZM8 8h-1") == [
        ([(1, 2), (4, 2), (4, 5), (3, 6), (0, 0)], False),
        ([(5, 5), (5, 7)], True),
        ([(8, 8), (7, 8)], False),
    ]


@pytest.mark.parametrize(
    "shape", ['<ellipse cx="1" cy="1"/>', '<path d="M0 0C1 1 2 2 3 3"/>', '<rect transform="scale(2)"/>']
)
def test_what_it_cannot_draw_is_an_error_and_not_left_out(shape):
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9">{shape}</svg>'
    with pytest.raises(ValueError, match="not known here"):
        drawing_dxf(svg, title="")
