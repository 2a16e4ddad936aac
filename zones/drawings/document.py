"""Wiring diagram and zone overview of a panel: as one SVG for the screen, as A3 sheets for paper.

Symbols are general shapes of IEC 60617, colours of cores the letters of IEC 60757, terminals as IEC 61666 writes them.
"""

from dataclasses import dataclass
from functools import cached_property

from django.conf import settings
from django.urls import reverse
from django.utils import timezone

from sites_registry.documents.base import TitleBlock, render_pdf
from sites_registry.documents.papers import Made, NothingToShow
from zones.as_installed.on_paper import revisions_of
from zones.cause_and_effect.zone_overview import zone_overview_of
from zones.engineering.drawings.dxf import drawing_dxf
from zones.engineering.drawings.overview_layout import lay_out
from zones.engineering.drawings.overview_svg import overview_svg
from zones.engineering.drawings.sheet_frame import DRAWING, DRAWING_MM, frame_svg
from zones.engineering.drawings.svg import times_too_large, wiring_svg
from zones.engineering.drawings.wiring_diagram import draw_canvas, draw_sheets, is_wired
from zones.wiring.records import wired_panel
from zones.wiring.state import state_of, state_of_panel


def page_of(key: str, root: str = "") -> str | None:
    """Address of what a key of a drawing stands for: the page of a position, none for a vent."""
    return root + reverse("position-detail", args=[key[1:]]) if key[:1] == "d" and key[1:].isdigit() else None


@dataclass
class WiringDiagram:
    """The wiring diagram of one panel."""

    panel: object
    word, slug = "Wiring diagram", "wiring-diagram"

    @cached_property
    def data(self):
        return wired_panel(self.panel)

    @property
    def is_empty(self):
        return not is_wired(self.data)

    @property
    def description(self):
        cores = sum(len(cable.cores) for cable in self.data.cables)
        return (
            f"{_count(len(self.data.devices), 'device')}, {_count(len(self.data.cables), 'cable')} and "
            f"{_count(cores, 'core')} as recorded. Rows are circuits and lines, from the panel's terminals at the left."
        )

    @cached_property
    def canvas(self):
        return draw_canvas(self.data)

    @property
    def remarks(self):
        """What is recorded and cannot be drawn, in sentences."""
        return self.canvas.remarks

    @cached_property
    def wiring(self):
        return state_of([self.data])

    def svg(self, root="", stamp=""):
        return wiring_svg(
            self.canvas,
            title=_title(self),
            description=self.description,
            href=lambda key: page_of(key, root),
            stamp=stamp,
        )

    def sheets(self):
        drawn = draw_sheets(self.data, width_mm=DRAWING.width, height_mm=DRAWING.height)
        return [
            (
                _share(sheet),
                wiring_svg(sheet, title=_title(self), description="", href=lambda key: None, size=DRAWING_MM),
            )
            for sheet in drawn
        ]


@dataclass
class ZoneOverviewDrawing:
    """The zone overview of one panel: inputs, circuits, groups, vents."""

    panel: object
    word, slug = "Zone overview", "zone-overview"
    remarks = ()

    @cached_property
    def data(self):
        return zone_overview_of(self.panel)

    @property
    def is_empty(self):
        return self.data.is_empty

    @property
    def description(self):
        data = self.data
        return (
            f"{_count(len(data.inputs), 'input')}, {_count(len(data.circuits), 'circuit')}, "
            f"{_count(len(data.zones), 'zone')} and {_count(len(data.vents), 'vent')} as recorded. Inputs of each zone "
            "at the left, its vents at the right."
        )

    @cached_property
    def wiring(self):
        return state_of_panel(self.panel)

    def svg(self, root="", stamp=""):
        (sheet,) = lay_out(self.data)
        return self._drawn(sheet, lambda key: page_of(key, root), None, stamp)

    def sheets(self):
        drawn = lay_out(self.data, height_mm=DRAWING.height)
        return [(_share(sheet), self._drawn(sheet, lambda key: None, DRAWING_MM)) for sheet in drawn]

    def _drawn(self, sheet, href, size, stamp=""):
        return overview_svg(
            sheet,
            self.data,
            title=_title(self),
            description=self.description,
            href=href,
            size=size,
            with_states=False,
            stamp=stamp,
        )


DRAWINGS = {kind.slug: kind for kind in (WiringDiagram, ZoneOverviewDrawing)}


def drawing_pdf(drawing, *, prepared_by, now):
    """The drawing as A3 landscape sheets with a title block on each; `now` an aware datetime."""
    panel = drawing.panel
    building = panel.building
    title_block = TitleBlock.as_of(
        now,
        building,
        title=drawing.word,
        subtitle=f"panel {panel.tag}",
        number=f"{building.slug}/{panel.tag.lower()}/{drawing.slug}",
        prepared_by=prepared_by,
        address=reverse(drawing.slug, args=[panel.pk]),
        landscape=True,
        revisions=revisions_of(building, now),
        stamp=drawing.wiring.notice(timezone.localdate(now)),
    )
    sheets = drawing.sheets()
    pictures = {f"sheet-{number}": text.encode() for number, (_, text) in enumerate(sheets, start=1)}
    pictures["frame"] = frame_svg().encode()
    shown = [(f"picture:sheet-{number}", share) for number, (share, _) in enumerate(sheets, start=1)]
    context = {"drawing": drawing, "panel": panel, "building": building, "sheets": shown}
    return render_pdf(
        "zones/drawings/drawing_paper.html", context, title_block=title_block, created_at=now, pictures=pictures
    )


def _share(sheet):
    """Per cent of its size at which a drawing is printed: 100 unless it is larger than the paper."""
    return int(100 / times_too_large(sheet.width, sheet.height, DRAWING_MM))


def _title(drawing):
    return f"{drawing.word} of panel {drawing.panel.tag}, {drawing.panel.building.name}"


def _count(number, word):
    return f"{number} {word}" if number == 1 else f"{number} {word}s"


def drawing_asked_for(kind):
    """How a drawing of this kind is made as A3 sheets."""

    def make(panel, asked):
        drawing = _drawn(kind, panel)
        return Made(drawing_pdf(drawing, prepared_by=asked.by, now=asked.now))

    return make


def svg_asked_for(kind):
    """How a drawing of this kind is made as one picture."""

    def make(panel, asked):
        drawing = _drawn(kind, panel)
        stamp = drawing.wiring.notice(timezone.localtime(asked.now).date())
        return Made(drawing.svg(settings.PUBLIC_URL, stamp).encode())

    return make


def dxf_asked_for(kind):
    """How a drawing of this kind is made as a file for a drawing program, 1:1 in mm."""

    def make(panel, asked):
        drawing = _drawn(kind, panel)
        stamp = drawing.wiring.notice(timezone.localtime(asked.now).date())
        return Made(drawing_dxf(drawing.svg(stamp=stamp), title=_title(drawing)))

    return make


def _drawn(kind, panel):
    drawing = kind(panel)
    if drawing.is_empty:
        raise NothingToShow
    return drawing
