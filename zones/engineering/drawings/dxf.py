"""A drawing as DXF (R2010), so that a draughtsman can go on with it: 1:1 in mm, on layers and text styles of its own.

Made of the SVG, the one form that both drawings have: each of its shapes is one entity, each line of text a TEXT. Only
what `svg.py`, `symbols.py` and `overview_svg.py` write is read; anything else is an error, never left out in silence.
"""

import io
import re
from dataclasses import dataclass

import ezdxf
from defusedxml.ElementTree import fromstring
from ezdxf import units
from ezdxf.enums import TextEntityAlignment

from zones.engineering.drawings.svg import INK

# Layer: (colour of the standard palette, what it holds). 7 is black on paper, white on a dark screen.
LAYERS = {
    "FRAMES": (7, "outlines of devices, zones and groups"),
    "CORES": (5, "cores from terminal to terminal"),
    "WAYS": (5, "what leads from input to panel and from circuit to vent"),
    "LINKS": (1, "links fitted by hand"),
    "INSIDE": (8, "joined inside a device"),
    "PARTS": (3, "end-of-line resistors and modules"),
    "TERMINALS": (7, "circles of terminals"),
    "SIGNS": (7, "general symbols and signs"),
    "TAGS": (7, "tags, terminals, cores"),
    "WORDS": (7, "kinds, places, zones"),
    "STAMP": (1, "what is not complete"),
}
_LAYER_OF = {
    "d-frame": "FRAMES",
    "d-outline": "FRAMES",
    "d-panel": "FRAMES",
    "d-group": "FRAMES",
    "d-cell": "FRAMES",
    **dict.fromkeys(("d-feed", "d-input", "d-output", "d-signal", "d-circuit", "d-move"), "WAYS"),
    "d-core": "CORES",
    "d-link": "LINKS",
    "d-internal": "INSIDE",
    "d-element": "PARTS",
    "d-resistor": "PARTS",
}
# Capitals are this part of the size of a letter: DXF gives the height of capitals, SVG the size.
CAPITALS = 0.66
STYLES = {"TAGS": "DejaVuSansMono.ttf", "WORDS": "DejaVuSans.ttf"}  # free typefaces; a program takes its own instead
_WIDTHS = (13, 18, 20, 25, 30, 35, 40, 50, 53, 60, 70)  # line widths that DXF knows here, in 0.01 mm
_ALIGNED = {
    "start": TextEntityAlignment.LEFT,
    "middle": TextEntityAlignment.CENTER,
    "end": TextEntityAlignment.RIGHT,
}
_INHERITED = ("fill", "stroke", "stroke-width", "font-size", "font-family", "text-anchor", "stroke-dasharray")
_STEP = re.compile(r"([MHVLZhvlz])([-\d.,\s]*)")
_NUMBER = re.compile(r"-?(?:\d+\.?\d*|\.\d+)")
_NO_SHAPE = ("title", "desc")
_GROUPS = ("svg", "g", "a")


def drawing_dxf(svg: str, *, title: str) -> bytes:
    """The drawing of an SVG of `wiring_svg` or `overview_svg` as a DXF file.

    Args:    svg: the whole document; title: kept in the properties of the file.
    Raises:  ValueError: the SVG holds an element or a step of a path that is not known here.
    Source:  the DXF reference for R2010 (AC1024), as ezdxf writes and audits it.
    """
    root = fromstring(svg)
    doc = ezdxf.new("R2010", units=units.MM)
    doc.header["$MEASUREMENT"] = 1
    doc.header.custom_vars.append("Title", title)
    for name, (colour, description) in LAYERS.items():
        doc.layers.add(name, color=colour).description = description
    for name, font in STYLES.items():
        doc.styles.add(name, font=font)
    _x, y, _width, height = map(float, root.get("viewBox").split())
    _Writer(doc, doc.modelspace(), 2 * y + height).write(root, {"font-size": "3.8", "fill": "none", "stroke": "none"})
    stream = io.StringIO()
    doc.write(stream)
    return doc.encode(stream.getvalue())


@dataclass
class _Writer:
    """Writes shapes into a model space; y counts upwards there, `top` is what it is counted down from."""

    doc: object
    space: object
    top: float

    def write(self, element, inherited):
        """An element and what is in it."""
        name = element.tag.rpartition("}")[2]
        if name in _NO_SHAPE:
            return
        look = inherited | {key: element.get(key) for key in _INHERITED if element.get(key)}
        if name in _GROUPS:
            for child in element:
                self.write(child, look)
            return
        known = {"rect": self._rect, "polygon": self._polygon, "circle": self._circle, "path": self._path}
        draw = (known | {"text": self._text}).get(name)
        if draw is None or element.get("transform"):
            raise ValueError(f"<{name}> is not known here, or is moved: {element.attrib}")
        if "d-ground" not in (element.get("class") or ""):
            draw(element, look)

    def _at(self, x, y):
        return float(x), self.top - float(y)

    def _look(self, element, look, usual="SIGNS"):
        classes = (element.get("class") or "").split()
        found = {"layer": next((_LAYER_OF[one] for one in classes if one in _LAYER_OF), usual)}
        width = round(100 * float(look.get("stroke-width", "0.3")))
        found["lineweight"] = min(_WIDTHS, key=lambda one: abs(one - width))
        if dashes := look.get("stroke-dasharray"):
            found["linetype"] = self._linetype(dashes)
        return found

    def _linetype(self, dashes):
        name = f"BROKEN_{dashes.replace(' ', '_').replace('.', '')}"
        if name not in self.doc.linetypes:
            on, off = map(float, dashes.split())
            self.doc.linetypes.add(name, pattern=[on + off, on, -off], description="broken")
        return name

    def _rect(self, element, look):
        x, y, width, height = (float(element.get(key)) for key in ("x", "y", "width", "height"))
        corners = [(x, y), (x + width, y), (x + width, y + height), (x, y + height)]
        self._closed(corners, element, look)

    def _polygon(self, element, look):
        numbers = re.findall(r"-?[\d.]+", element.get("points"))
        self._closed(list(zip(numbers[::2], numbers[1::2], strict=True)), element, look)

    def _closed(self, corners, element, look):
        points, attributes = [self._at(*corner) for corner in corners], self._look(element, look)
        if look["fill"] == INK:
            self.space.add_hatch(color=256, dxfattribs=attributes).paths.add_polyline_path(points)
        else:
            self.space.add_lwpolyline(points, close=True, dxfattribs=attributes)

    def _circle(self, element, look):
        centre, radius = self._at(element.get("cx"), element.get("cy")), float(element.get("r"))
        attributes = self._look(element, look, "TERMINALS")
        if look["fill"] == INK:
            attributes["layer"] = "SIGNS"
            half = [(centre[0] - radius, centre[1], 1.0), (centre[0] + radius, centre[1], 1.0)]
            self.space.add_hatch(color=256, dxfattribs=attributes).paths.add_polyline_path(half)
        else:
            self.space.add_circle(centre, radius, dxfattribs=attributes)

    def _path(self, element, look):
        for points, closes in lines_of(element.get("d")):
            if closes:
                self._closed(points, element, look)
            else:
                placed = [self._at(*point) for point in points]
                self.space.add_lwpolyline(placed, dxfattribs=self._look(element, look))

    def _text(self, element, look):
        is_words = "mono" not in look.get("font-family", "mono")
        style = "WORDS" if is_words else "TAGS"
        layer = "STAMP" if element.get("class") == "d-stamp" else style
        text = self.space.add_text(
            _as_written("".join(element.itertext())),
            height=CAPITALS * float(look["font-size"]),
            dxfattribs={"layer": layer, "style": style},
        )
        at = self._at(element.get("x"), element.get("y"))
        text.set_placement(at, align=_ALIGNED[look.get("text-anchor", "start")])


def _as_written(text):
    """Two signs that DXF takes for control codes stand as themselves."""
    return text.replace("^", "^ ").replace("%%", "%%037%%037")


def lines_of(path: str) -> list[tuple[list[tuple[float, float]], bool]]:
    """The lines of a path of straight steps (M, H, V, L, Z and their small letters), each with whether it is closed."""
    if _STEP.sub("", path).strip():
        raise ValueError(f"A step of this path is not known here: {path}")
    lines: list[list] = []
    for step, values in _STEP.findall(path):
        numbers = [float(value) for value in _NUMBER.findall(values)]
        if step in "Zz":
            lines[-1][1] = True
        elif step == "M":
            (x, y), *rest = _points(step, numbers, (0.0, 0.0))
            lines.append([[(x, y), *rest], False])
        else:
            lines[-1][0] += _points(step, numbers, lines[-1][0][-1])
    return [(points, closes) for points, closes in lines]


def _points(step, numbers, at):
    """The points of one step; those of a small letter are counted from the point before."""
    found = []
    pairs = zip(numbers[::2], numbers[1::2], strict=True) if step in "MLl" else ((one, one) for one in numbers)
    for x, y in pairs:
        left, up = at if step.islower() else (0.0, 0.0)
        at = (at[0] if step in "Vv" else left + x, at[1] if step in "Hh" else up + y)
        found.append(at)
    return found
