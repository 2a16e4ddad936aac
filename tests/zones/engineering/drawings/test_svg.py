"""The SVG text: well-formed, small, with nothing that a content security policy refuses."""

from xml.etree import ElementTree

import pytest

from tests.zones.engineering.drawings.test_wiring_diagram import cable_of, two_devices
from tests.zones.engineering.drawings.wirings import sound_panel
from zones.engineering.drawings.svg import wiring_svg
from zones.engineering.drawings.wiring_diagram import draw_canvas, draw_sheets

SVG = "{http://www.w3.org/2000/svg}"


def svg_of(wired, href=lambda key: f"/positions/{key}/"):
    return wiring_svg(draw_canvas(wired), title="Wiring of P1", description="Two lines.", href=href)


def root_of(wired, **arguments):
    return ElementTree.fromstring(svg_of(wired, **arguments))  # noqa: S314  our own text


@pytest.mark.parametrize("count", [4, 40, 200])
def test_a_diagram_is_well_formed_and_below_a_megabyte(count):
    text = svg_of(sound_panel(count))
    ElementTree.fromstring(text)  # noqa: S314
    assert len(text.encode()) < 1_000_000


def test_it_has_no_style_and_no_script():
    elements = list(root_of(sound_panel(40)).iter())
    assert not {element.tag for element in elements} & {f"{SVG}script", f"{SVG}style", f"{SVG}foreignObject"}
    names = {name for element in elements for name in element.attrib}
    assert not {name for name in names if name == "style" or name.startswith("on")}


def test_it_tells_a_reader_who_does_not_see_it_what_it_is():
    root = root_of(sound_panel(4))
    assert root.get("role") == "group" and root.get("aria-label") == "Wiring of P1"
    assert [root.find(f"{SVG}{name}").text for name in ("title", "desc")] == ["Wiring of P1", "Two lines."]


def test_every_device_links_to_its_page():
    root = root_of(sound_panel(4))
    links = {link.get("href") for link in root.iter(f"{SVG}a")}
    assert links == {f"/positions/{key}/" for key in ("P1", "M1", "M2", "CP1", "SD2")}


def test_a_device_without_a_page_has_no_link():
    assert not list(root_of(sound_panel(4), href=lambda key: None).iter(f"{SVG}a"))


def test_tags_and_designations_stay_text():
    texts = {element.text for element in root_of(sound_panel(4)).iter(f"{SVG}text")}
    assert {"SD2", "-X1:1 +", "W1.1 BN", "10 kΩ"} <= texts


def test_text_with_markup_and_control_characters_is_written_as_text():
    wired = two_devices(cables=cable_of((1, "<b>&\x07", "P1/X1:1", "D1/X1:1", False)))
    assert "W1.1 <b>&" in {element.text for element in root_of(wired).iter(f"{SVG}text")}


def test_a_sheet_takes_the_size_of_the_paper_it_is_given():
    sheet = draw_sheets(sound_panel(4), width_mm=396, height_mm=241)[0]
    root = ElementTree.fromstring(  # noqa: S314
        wiring_svg(sheet, title="t", description="d", href=lambda key: None, size=(396, 241))
    )
    assert (root.get("width"), root.get("height"), root.get("viewBox")) == ("396mm", "241mm", "0 0 396 241")
