"""Demo: plans of invented storeys, drawn by figures, with the positions on them; one revision still to be confirmed."""

import io
from datetime import timedelta
from itertools import groupby
from math import ceil, sqrt

from PIL import Image, ImageDraw, ImageFont

from zones.floor_plans.keeping import add_floor_plan
from zones.floor_plans.places import Move, change_places

# Building → storeys that have a plan; the last of them got a new revision, whose places nobody has confirmed.
PLANS = {"Weir Street Garage": ("1", "2")}
WIDTH, HEIGHT = 1191, 842  # points: A3
PIXELS = 2  # of a point
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
        name=f"{title.replace(' ', '-').lower()}.png",
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
    """Walls, a corridor, stairs with their treads, names of rooms, as a PNG."""
    picture = Image.new("L", (WIDTH * PIXELS, HEIGHT * PIXELS), "white")
    draw = ImageDraw.Draw(picture)
    for name, left, top, right, bottom in rooms:
        _rectangle(draw, left, top, right, bottom, width=2)
        if "stair" in name.lower():
            _treads(draw, left, right, bottom)
        _text(draw, name, left + 10, top + 8)
    _rectangle(draw, LEFT, TOP, RIGHT, BOTTOM, width=4)
    _text(draw, "Corridor", LEFT + 12, CORRIDOR[0] + 20)
    _text(draw, title, LEFT, BOTTOM + 24)
    file = io.BytesIO()
    picture.save(file, "PNG")
    return file.getvalue()


def _rectangle(draw, *corners, width):
    draw.rectangle([corner * PIXELS for corner in corners], outline="black", width=width * PIXELS)


def _treads(draw, left, right, bottom):
    for number in range(1, 12):
        x = left + min(right - left, 240) * number / 12
        draw.line([part * PIXELS for part in (x, bottom - 60, x, bottom - 4)], fill="black", width=PIXELS)


def _text(draw, words, x, y):
    draw.text((x * PIXELS, y * PIXELS), words, fill="black", font=ImageFont.load_default(16 * PIXELS))
