"""How long the drawings take and how large they are; `make bench`. The sizes are those of large panels."""

import time

import pytest

from tests.zones.engineering.drawings.wirings import sound_panel
from zones.engineering.drawings.svg import wiring_svg
from zones.engineering.drawings.wiring_diagram import draw_canvas, draw_sheets


def measured(action):
    start = time.perf_counter()
    result = action()
    return result, time.perf_counter() - start


@pytest.mark.parametrize("count", [4, 40, 200])
def test_wiring_diagram(count):
    wired = sound_panel(count)

    def canvas():
        return wiring_svg(draw_canvas(wired), title="t", description="d", href=lambda key: "/positions/1/")

    text, canvas_s = measured(canvas)
    sheets, sheets_s = measured(lambda: draw_sheets(wired, width_mm=396, height_mm=222))
    print(f"{count} devices: canvas {canvas_s:.3f} s, {len(text) / 1000:.0f} kB; {len(sheets)} sheets {sheets_s:.3f} s")
    assert canvas_s < 1 and sheets_s < 1
