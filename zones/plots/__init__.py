"""Plots as plain data: figures → scales → marks, drawn by templates/components/plots/. No Django, no clock.

General: `scales` (linear, logarithmic), `labels` (placing texts without overlap), `marks` (`Plot` and what it is drawn
with), `line_chart` and `range_chart` (marks from figures of any kind). Of this register: `voltage`, `charge`,
`line_ranges` and `trend` turn what `zones.engineering` computes into such charts; `life_line` is a drawing of its own.

A calculator makes its own in a few lines:

>>> from zones.plots import Axis, LineChart, Series, line_chart
>>> chart = LineChart(
...     key="drop", title="Drop over length", description="Rises from 0 V to 2 V over 40 m.",
...     x=Axis("metres", "m", 0, 40), y=Axis("volts", "V", 0, 2), series=(Series("2.5 mm²", (((0, 0), (40, 2)),)),),
...     columns=("Metres", "Drop (V)"), rows=(("0", "0"), ("40", "2")),
... )
>>> plot = line_chart(chart)
>>> plot.width, [mark.text for mark in plot.marks if mark.shape == "text" and mark.kind == "series-label"]
(320, ['2.5 mm²'])

In a template: ``{% include "components/plots/figure.html" with plot=plot only %}`` (with its table beside it), or
``components/plots/plot.html`` for the drawing alone.
"""

from zones.plots.line_chart import (
    Axis,
    AxisPart,
    BrokenAxis,
    Level,
    LineChart,
    NamedPlace,
    Series,
    YearAxis,
    line_chart,
)
from zones.plots.marks import Plot
from zones.plots.range_chart import RangeChart, ResistanceRange, SpanRow, range_chart

__all__ = [
    "Axis",
    "AxisPart",
    "BrokenAxis",
    "Level",
    "LineChart",
    "NamedPlace",
    "Plot",
    "RangeChart",
    "ResistanceRange",
    "Series",
    "SpanRow",
    "YearAxis",
    "line_chart",
    "range_chart",
]
