"""Where the texts of a plot lie on paper, to see that none lies over another."""

from itertools import combinations

from zones.plots.labels import TEXT_SIZE, text_width


def box_of(mark):
    """left, top, right, bottom of a text, a hair less than a full line high."""
    wide = text_width(mark.text)
    left = {"start": mark.x, "middle": mark.x - wide / 2, "end": mark.x - wide}[mark.anchor]
    return left, mark.y - TEXT_SIZE * 0.8, left + wide, mark.y + TEXT_SIZE * 0.2


def texts_of(plot):
    return [mark for mark in plot.marks if mark.shape == "text"]


def overlapping_texts(plot):
    """Pairs of texts that lie over each other."""
    boxes = [(mark.text, box_of(mark)) for mark in texts_of(plot)]
    return [
        (one, other)
        for (one, a), (other, b) in combinations(boxes, 2)
        if a[0] < b[2] - 0.01 and b[0] < a[2] - 0.01 and a[1] < b[3] - 0.01 and b[1] < a[3] - 0.01
    ]


def texts_outside(plot):
    """Texts that leave the sheet."""
    return [
        mark.text
        for mark in texts_of(plot)
        if (box := box_of(mark))[0] < -0.5 or box[2] > plot.width + 0.5 or box[1] < 0 or box[3] > plot.height + 0.5
    ]
