"""Demo: plans of invented storeys, drawn by figures, with the positions on them; one revision still to be confirmed."""

import io
from datetime import timedelta
from itertools import groupby
from math import ceil, sqrt

import pydyf

from zones.floor_plans.keeping import add_floor_plan
from zones.floor_plans.places import Move, change_places

# Building → storeys that have a plan; the last of them got a new revision, whose places nobody has confirmed.
PLANS = {"Weir Street Garage": ("1", "2")}
WIDTH, HEIGHT = 1191, 842  # points: A3
LEFT, TOP, RIGHT, BOTTOM = 60, 60, 1131, 742
CORRIDOR = (380, 440)
LEFT_WITHOUT = 2  # positions that nobody has placed yet


def draw_floor_plans(building, by, today):
    """Add the plans of a building and place its positions, all but a few; nothing where it has none in the demo."""
    for storey in PLANS.get(building.name, ()):
        plan, rooms = _add(building, storey, by, "A", today - timedelta(days=700))
        moves = [move for room, positions in rooms for move in _moves(room, positions)]
        change_places(plan=plan, by=by, moves=sorted(moves, key=lambda move: move.x)[:-LEFT_WITHOUT])
    if building.name in PLANS:
        _add(building, PLANS[building.name][-1], by, "B", today - timedelta(days=40))


def _add(building, storey, by, issue, drawn_on):
    rooms = _rooms(building, storey)
    title = f"FP-{building.slug[:4].upper()}-{storey} {issue}"
    drawing = _drawing([room for room, _ in rooms], title)
    plan = add_floor_plan(
        building=building,
        storey=storey,
        name=f"{title.replace(' ', '-').lower()}.pdf",
        content=drawing,
        by=by,
        title=title,
        drawn_on=drawn_on,
    )
    return plan, rooms


def _rooms(building, storey):
    """((name, left, top, right, bottom), its positions): a room for each smoke zone, on both sides of a corridor."""
    positions = building.positions.in_use().filter(storey=storey).select_related("smoke_zone")
    ordered = sorted(positions, key=lambda one: (one.smoke_zone.number if one.smoke_zone else 99, one.tag_key))
    groups = [(zone, list(group)) for zone, group in groupby(ordered, key=lambda one: one.smoke_zone)]
    sides = groups[::2], groups[1::2]
    rooms = []
    for side, (top, bottom) in zip(sides, ((TOP, CORRIDOR[0]), (CORRIDOR[1], BOTTOM)), strict=True):
        weights = [3 + len(group) for _, group in side]
        left = LEFT
        for (zone, group), weight in zip(side, weights, strict=True):
            right = left + (RIGHT - LEFT) * weight / sum(weights)
            rooms.append(((zone.name if zone else "Services", left, top, right, bottom), group))
            left = right
    return rooms


def _moves(room, positions):
    """The positions in rows within their room, between its name and the wall of the corridor."""
    _, left, top, right, bottom = room
    width, height = right - left, bottom - top
    columns = max(1, min(len(positions), ceil(sqrt(len(positions) * width / height))))
    rows = ceil(len(positions) / columns)
    for number, position in enumerate(positions):
        row, column = divmod(number, columns)
        x = left + width * (column + 0.5) / columns
        y = top + height * (0.15 + 0.8 * (row + 0.5) / rows)
        yield Move(position.pk, x / WIDTH, y / HEIGHT)


def _drawing(rooms, title):
    """A page of a PDF: walls, a corridor, stairs with their treads, names of rooms."""
    drawing = pydyf.Stream()
    drawing.set_line_width(4)
    drawing.rectangle(LEFT, HEIGHT - BOTTOM, RIGHT - LEFT, BOTTOM - TOP)
    drawing.stroke()
    drawing.set_line_width(2)
    for name, left, top, right, bottom in rooms:
        drawing.rectangle(left, HEIGHT - bottom, right - left, bottom - top)
        drawing.stroke()
        if "stair" in name.lower():
            _treads(drawing, left, right, bottom - 60)
        _text(drawing, name, left + 10, top + 24)
    _text(drawing, "Corridor", LEFT + 12, CORRIDOR[0] + 36)
    _text(drawing, title, LEFT, BOTTOM + 40)
    return _written(drawing)


def _treads(drawing, left, right, top):
    drawing.set_line_width(1)
    for number in range(1, 12):
        x = left + min(right - left, 240) * number / 12
        drawing.move_to(x, HEIGHT - top - 60)
        drawing.line_to(x, HEIGHT - top - 4)
    drawing.stroke()
    drawing.set_line_width(2)


def _text(drawing, words, x, y):
    drawing.begin_text()
    drawing.set_font_size("F1", 16)
    drawing.set_text_matrix(1, 0, 0, 1, x, HEIGHT - y)
    drawing.show_text_string(words.encode("ascii", "replace").decode())
    drawing.end_text()


def _written(drawing):
    document = pydyf.PDF()
    font = pydyf.Dictionary({"Type": "/Font", "Subtype": "/Type1", "Name": "/F1", "BaseFont": "/Helvetica"})
    document.add_object(font)
    document.add_object(drawing)
    page = pydyf.Dictionary(
        {
            "Type": "/Page",
            "Parent": document.pages.reference,
            "MediaBox": pydyf.Array([0, 0, WIDTH, HEIGHT]),
            "Contents": drawing.reference,
            "Resources": pydyf.Dictionary({"Font": pydyf.Dictionary({"F1": font.reference})}),
        }
    )
    document.add_page(page)
    file = io.BytesIO()
    document.write(file)
    return file.getvalue()
